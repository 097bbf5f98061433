//! Reading one step.

use super::model::{Cube, Judged, ModelStep, StepKind};
use super::offered::own;
use super::read::named;
use crate::time;
use document::model::{Answer, Equipment, Figure, Kind, Name, Procedure, Step, Target};

impl Judged {
    pub(super) fn list(
        &self,
        equipment: &Equipment,
        procedures: &[&Procedure],
        of: &Procedure,
        steps: &[Step],
    ) -> Vec<ModelStep> {
        steps.iter().map(|step| self.step(equipment, procedures, of, step)).collect()
    }

    fn step(
        &self,
        equipment: &Equipment,
        procedures: &[&Procedure],
        of: &Procedure,
        step: &Step,
    ) -> ModelStep {
        let common = &step.common;
        let mut needs = self.cube(&common.requires);
        needs.extend(self.of_work(equipment, &common.work));
        let mut writes = Vec::new();
        let verifies = |work: &Option<Name>| {
            work.as_ref().is_some_and(|work| equipment.work[work].verified_by.is_some())
        };
        let mut verified = common.verified_by.is_some() || verifies(&common.work);
        if let Some(name) = step.kind.action() {
            let action = &equipment.actions[name];
            needs.extend(self.cube(&action.requires));
            needs.extend(self.of_work(equipment, &action.work));
            verified |= verifies(&action.work);
            writes.extend(self.writes(&action.leaves, &action.disturbs));
        }
        writes.extend(self.writes(&common.leaves, &common.disturbs));
        let inner = |steps: &[Step]| self.list(equipment, procedures, of, steps);
        let kind = match &step.kind {
            Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_) => StepKind::Act,
            Kind::Hold(_) => StepKind::Hold,
            Kind::Confirm(cube) => StepKind::Confirm(self.cube(cube)),
            Kind::Measure(measure) => {
                StepKind::Measure { shows: self.cube(&measure.shows), attempts: measure.retests + 1 }
            }
            Kind::Wait(wait) => {
                let times = wait.time.iter().flat_map(|figure| self.times(equipment, of, figure)).collect();
                StepKind::Wait { times, until: self.cube(&wait.until) }
            }
            Kind::Ask(question) => {
                StepKind::Ask(question.answers.values().map(|answer| self.answer(answer)).collect())
            }
            Kind::AnyOrder(items) => {
                let items = inner(items);
                let own = own(&items, &writes);
                StepKind::AnyOrder { items, own }
            }
            Kind::Repeat(repeat) => StepKind::Repeat {
                until: self.cube(&repeat.until),
                at_most: repeat.at_most,
                steps: inner(&repeat.steps),
            },
            Kind::Perform(name) => {
                let other = named(procedures, name);
                needs.extend(self.cube(&other.requires));
                StepKind::Perform(self.list(equipment, procedures, other, &other.steps))
            }
        };
        let looked_at: Vec<usize> = match &kind {
            StepKind::Confirm(cube)
            | StepKind::Measure { shows: cube, .. }
            | StepKind::Wait { until: cube, .. }
            | StepKind::Repeat { until: cube, .. } => cube.iter().map(|&(var, _)| var).collect(),
            StepKind::Ask(answers) => {
                let shown = answers.iter().filter_map(|(shows, _)| shows.as_ref());
                shown.flatten().map(|&(var, _)| var).collect()
            }
            StepKind::Act | StepKind::Hold | StepKind::AnyOrder { .. } | StepKind::Perform(_) => Vec::new(),
        };
        let sees = looked_at.into_iter().flat_map(|var| self.vars[var].seen_when.iter().copied()).collect();
        let target = |target: &Option<Target>| target.as_ref().map(|target| target.0.to_string());
        ModelStep {
            id: common.id.to_string(),
            only: self.cube(&common.only),
            needs,
            sees,
            writes,
            disturbs: common.disturbs.iter().map(|name| self.var(name)).collect(),
            kind,
            then: target(&common.then),
            otherwise: target(&common.otherwise),
            verified,
        }
    }

    fn answer(&self, answer: &Answer) -> (Option<Cube>, String) {
        let shows = match answer {
            Answer::Goes(_) => None,
            Answer::Shows(outcome) => Some(self.cube(&outcome.shows)),
        };
        (shows, answer.target().0.to_string())
    }

    /// The time by variants; the first cube that holds decides.
    fn times(&self, equipment: &Equipment, of: &Procedure, figure: &Figure) -> Vec<(Cube, u64)> {
        let cases = document::figure_cases(equipment, Some(of), figure).expect("a figure");
        let case = |case: &document::Case| {
            let of = |(name, value): (_, &String)| {
                let var = self.var(name);
                (var, self.set(var, std::slice::from_ref(value)))
            };
            let test = case.variants.iter().map(|(name, value)| of((name, value)));
            (test.collect(), time::millis(case.quantity.value(), case.quantity.unit().symbol()))
        };
        cases.iter().map(case).collect()
    }
}
