//! A procedure with every name looked up, still as the tree people write.

use crate::time;
use document::Library;
use document::model::{Answer, Cube, Equipment, Figure, Kind, Name, Procedure, Step};

/// A conjunction of memberships: each variable has one of the values in its set.
pub type Conjunction = Vec<(usize, u64)>;

/// Equipment and procedure, looked up.
pub struct Model {
    /// Variants first, then conditions: name and number of values.
    pub vars: Vec<(String, Vec<String>)>,
    /// Combinations that must not be, by name.
    pub rules: Vec<(String, Conjunction)>,
    /// Condition, the value that gives way, the value that takes its place, the time in milliseconds.
    pub settles: Vec<(usize, u8, u8, u64)>,
    /// Conditions of which nothing is known any more once a combination comes about by an act.
    pub lost: Vec<(usize, Conjunction)>,
    /// What is asked before the first step.
    pub start: Conjunction,
    /// What must hold at done.
    pub promises: Conjunction,
    pub(crate) steps: Vec<ModelStep>,
    /// The state in which the machine may be left, if one is stated.
    pub rest: Option<Conjunction>,
    /// What restoring acts need and write.
    pub restoring: Vec<(Conjunction, Conjunction)>,
    /// For every variable, whether it matters to leaving the machine.
    pub(crate) leaving: Vec<bool>,
    /// Conditions that lapse at an interruption.
    pub lapsing: Vec<usize>,
    /// Whether a person can look; a variant is always known.
    pub askable: Vec<bool>,
}

/// One step, looked up.
pub(crate) struct ModelStep {
    pub(crate) id: String,
    pub(crate) only: Conjunction,
    pub(crate) needs: Conjunction,
    /// What the step writes when it succeeds.
    pub(crate) effects: Conjunction,
    /// What it makes uncertain even when a reading fails.
    pub(crate) disturbed: Conjunction,
    pub(crate) kind: StepKind,
    pub(crate) then: Option<String>,
    pub(crate) otherwise: Option<String>,
}

pub(crate) enum StepKind {
    Act,
    Confirm(Conjunction),
    Measure { shows: Conjunction, attempts: u32 },
    Wait { times: Vec<(Conjunction, u64)>, until: Conjunction },
    Ask(Vec<(Option<Conjunction>, String)>),
    AnyOrder(Vec<ModelStep>),
    Repeat { until: Conjunction, at_most: u32, steps: Vec<ModelStep> },
    Perform(Vec<ModelStep>),
}

impl StepKind {
    /// The steps that it holds, if it may hold any.
    pub(crate) fn steps(&self) -> Option<&[ModelStep]> {
        match self {
            Self::AnyOrder(steps) | Self::Repeat { steps, .. } | Self::Perform(steps) => Some(steps),
            Self::Act | Self::Confirm(_) | Self::Measure { .. } | Self::Wait { .. } | Self::Ask(_) => None,
        }
    }
}

impl Model {
    /// The procedure of that name.
    #[must_use]
    pub fn new(library: &Library, name: &str) -> Self {
        let procedure = &library.procedures[name].model;
        let equipment = &library.equipment[&procedure.equipment].model;
        let variants = equipment.variants.iter().map(|(name, values)| (name.to_string(), values.clone()));
        let conditions = equipment.conditions.iter().map(|(name, c)| (name.to_string(), c.values.clone()));
        let mut model = Self {
            vars: variants.chain(conditions).collect(),
            rules: Vec::new(),
            settles: Vec::new(),
            lost: Vec::new(),
            start: Vec::new(),
            promises: Vec::new(),
            steps: Vec::new(),
            rest: None,
            restoring: Vec::new(),
            leaving: Vec::new(),
            lapsing: Vec::new(),
            askable: vec![true; equipment.variants.len()],
        };
        model.rules =
            equipment.never.iter().map(|(name, rule)| (name.to_string(), model.test(&rule.when))).collect();
        for (name, condition) in &equipment.conditions {
            let var = model.var(name);
            if let Some(settles) = &condition.settles {
                let after = time::parsed(settles.after.text());
                let value = |value| model.value(var, value) as u8;
                model.settles.push((var, value(&settles.from), value(&settles.to), after));
            }
            for cause in &condition.lost_when {
                model.lost.push((var, model.test(cause)));
            }
            if condition.lapses.is_some() {
                model.lapsing.push(var);
            }
            model.askable.push(condition.ask.is_some());
        }
        model.rest = equipment.safe_state.as_ref().map(|state| model.test(state));
        for action in equipment.actions.values().filter(|action| action.restores) {
            let mut needs = model.test(&action.requires);
            needs.extend(action.work.iter().flat_map(|work| model.test(&equipment.work[work].requires)));
            let mut effects = Conjunction::new();
            model.write(&mut effects, &mut Conjunction::new(), &action.disturbs, &action.leaves);
            model.restoring.push((needs, effects));
        }
        model.leaving = model.matters_to_leaving();
        model.start = model.with_normals(equipment, &procedure.requires);
        model.promises = model.with_normals(equipment, &procedure.leaves);
        model.steps = model.list(library, equipment, procedure, &procedure.steps);
        model
    }

    /// All values of a variable.
    #[must_use]
    pub fn all(&self, var: usize) -> u64 {
        (1 << self.vars[var].1.len()) - 1
    }

    fn var(&self, name: &str) -> usize {
        self.vars.iter().position(|(known, _)| known == name).expect("a known condition")
    }

    fn value(&self, var: usize, value: &str) -> usize {
        self.vars[var].1.iter().position(|known| known == value).expect("a known value")
    }

    fn test(&self, cube: &Cube) -> Conjunction {
        let set = |var, values: &[String]| values.iter().map(|value| 1u64 << self.value(var, value)).sum();
        cube.iter().map(|(name, values)| (self.var(name), set(self.var(name), &values.0))).collect()
    }

    fn with_normals(&self, equipment: &Equipment, stated: &Cube) -> Conjunction {
        let mut test = self.test(stated);
        for (name, condition) in equipment.conditions.iter().filter(|(name, _)| !stated.contains_key(*name)) {
            if let Some(normal) = &condition.normal {
                let var = self.var(name);
                test.push((var, 1 << self.value(var, normal)));
            }
        }
        test
    }

    fn list(
        &self,
        library: &Library,
        equipment: &Equipment,
        of: &Procedure,
        steps: &[Step],
    ) -> Vec<ModelStep> {
        steps.iter().map(|step| self.step(library, equipment, of, step)).collect()
    }

    fn step(&self, library: &Library, equipment: &Equipment, of: &Procedure, step: &Step) -> ModelStep {
        let mut needs = self.test(&step.common.requires);
        let mut effects = Conjunction::new();
        let mut disturbed = Conjunction::new();
        let work = |work: &Option<Name>| {
            work.iter().flat_map(|work| self.test(&equipment.work[work].requires)).collect::<Conjunction>()
        };
        needs.extend(work(&step.common.work));
        if let Some(name) = step.kind.action() {
            let action = &equipment.actions[name];
            needs.extend(self.test(&action.requires));
            needs.extend(work(&action.work));
            self.write(&mut effects, &mut disturbed, &action.disturbs, &action.leaves);
        }
        self.write(&mut effects, &mut disturbed, &step.common.disturbs, &step.common.leaves);
        let inner = |steps: &[Step]| self.list(library, equipment, of, steps);
        let kind = match &step.kind {
            Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_) | Kind::Hold(_) => StepKind::Act,
            Kind::Confirm(cube) => StepKind::Confirm(self.test(cube)),
            Kind::Measure(measure) => {
                StepKind::Measure { shows: self.test(&measure.shows), attempts: measure.retests + 1 }
            }
            Kind::Wait(wait) => {
                let times = wait.time.iter().flat_map(|figure| self.times(equipment, of, figure)).collect();
                StepKind::Wait { times, until: self.test(&wait.until) }
            }
            Kind::Ask(question) => {
                StepKind::Ask(question.answers.values().map(|answer| self.answer(answer)).collect())
            }
            Kind::AnyOrder(items) => StepKind::AnyOrder(inner(items)),
            Kind::Repeat(repeat) => StepKind::Repeat {
                until: self.test(&repeat.until),
                at_most: repeat.at_most,
                steps: inner(&repeat.steps),
            },
            Kind::Perform(name) => {
                let other = &library.procedures[name].model;
                needs.extend(self.test(&other.requires));
                StepKind::Perform(self.list(library, equipment, other, &other.steps))
            }
        };
        let target =
            |target: &Option<document::model::Target>| target.as_ref().map(|target| target.0.to_string());
        let (then, otherwise) = (target(&step.common.then), target(&step.common.otherwise));
        ModelStep {
            id: step.common.id.to_string(),
            only: self.test(&step.common.only),
            needs,
            effects,
            disturbed,
            kind,
            then,
            otherwise,
        }
    }

    fn answer(&self, answer: &Answer) -> (Option<Conjunction>, String) {
        let shows = match answer {
            Answer::Goes(_) => None,
            Answer::Shows(outcome) => Some(self.test(&outcome.shows)),
        };
        (shows, answer.target().0.to_string())
    }

    /// Disturbed is any value; what is left counts after that.
    fn write(
        &self,
        effects: &mut Conjunction,
        disturbed: &mut Conjunction,
        disturbs: &[Name],
        leaves: &Cube,
    ) {
        let uncertain: Conjunction =
            disturbs.iter().map(|name| (self.var(name), self.all(self.var(name)))).collect();
        disturbed.extend(&uncertain);
        for (var, set) in uncertain.into_iter().chain(self.test(leaves)) {
            effects.retain(|&(known, _)| known != var);
            effects.push((var, set));
        }
    }

    fn times(&self, equipment: &Equipment, of: &Procedure, figure: &Figure) -> Vec<(Conjunction, u64)> {
        let cases = document::figure_cases(equipment, Some(of), figure).expect("a figure");
        cases
            .iter()
            .map(|case| {
                let test = case
                    .variants
                    .iter()
                    .map(|(name, value)| (self.var(name), 1 << self.value(self.var(name), value)));
                let time = time::millis(case.quantity.value(), case.quantity.unit().symbol());
                (test.collect(), time)
            })
            .collect()
    }
}

/// Whether every membership holds.
#[must_use]
pub fn holds(test: &Conjunction, values: &[u8]) -> bool {
    test.iter().all(|&(var, set)| set >> values[var] & 1 == 1)
}
