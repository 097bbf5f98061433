//! Steps, numbered and with everything that stands in their boxes.

use super::left_out::passed_over;
use super::scope::{Scope, named};
use super::step::{Route, StepBox};
use crate::clean::clean_line;
use crate::count::joined;
use document::model::{Cube, Kind, Name, Step, Target};
use document::pointer;
use machine::step_number;
use std::collections::{BTreeMap, BTreeSet};

/// Where targets lead.
pub(super) struct Routes<'a> {
    numbers: BTreeMap<&'a str, String>,
    /// The steps that are reached by more than their number: the step before is not the only way to them.
    targets: BTreeSet<&'a str>,
}

impl<'a> Routes<'a> {
    pub(super) fn from_steps(steps: &'a [Step]) -> Self {
        let mut routes = Self { numbers: BTreeMap::new(), targets: BTreeSet::new() };
        routes.list("/steps", steps);
        routes
    }

    fn list(&mut self, at: &str, steps: &'a [Step]) {
        for (index, step) in steps.iter().enumerate() {
            let at = pointer(at, index);
            self.numbers.insert(&step.common.id, step_number(&at));
            let answers = step.kind.answers().map(|(_, answer)| answer.target());
            let all = answers.chain(&step.common.then).chain(&step.common.otherwise);
            self.targets.extend(all.map(|target| &*target.0));
            if let Some((segment, inner)) = step.inner() {
                self.list(&format!("{at}{segment}"), inner);
            }
        }
    }

    /// A way on; a target that leads nowhere is a finding when the document is read, and stops the work here.
    pub(super) fn route(&self, when: impl Into<String>, target: &Target) -> Route {
        let (to, step) = match &*target.0 {
            "done" => ("go to Restoration".to_owned(), None),
            id => match self.numbers.get(id) {
                Some(number) => (format!("go to step {number}"), Some(number.clone())),
                None => return stop(&when.into()),
            },
        };
        Route { when: when.into(), to, step, stops: false }
    }
}

/// The way to the stop.
pub(super) fn stop(when: &str) -> Route {
    Route { when: when.to_owned(), to: "stop work".to_owned(), step: None, stops: true }
}

/// More blanks than this fill a page; further rounds go on a second card.
const ROUNDS_MOST: u32 = 5;

/// How a list of steps is gone through.
#[derive(Clone, Copy)]
struct Passage {
    /// Whether the items may be done in any order.
    any_order: bool,
    /// How many times.
    rounds: u32,
}

impl<'a> Scope<'a> {
    pub(super) fn steps(&mut self) -> Vec<StepBox> {
        let steps = &self.procedure.model.steps;
        let routes = Routes::from_steps(steps);
        self.step_list(&routes, "/steps", steps, Passage { any_order: false, rounds: 1 })
    }

    fn step_list(
        &mut self,
        routes: &Routes<'a>,
        at: &str,
        steps: &'a [Step],
        passage: Passage,
    ) -> Vec<StepBox> {
        let mut boxes = Vec::with_capacity(steps.len());
        let mut before: Option<&Step> = None;
        for (index, step) in steps.iter().enumerate() {
            let known = match before {
                Some(before)
                    if !passage.any_order
                        && follows(before)
                        && !routes.targets.contains(&*step.common.id) =>
                {
                    self.step_hazards(before).into_iter().cloned().collect()
                }
                _ => Vec::new(),
            };
            boxes.push(self.step_box(routes, &pointer(at, index), step, &known, passage.rounds));
            before = Some(step);
        }
        boxes
    }

    fn step_box(
        &mut self,
        routes: &Routes<'a>,
        at: &str,
        step: &'a Step,
        known: &[Name],
        rounds: u32,
    ) -> StepBox {
        if self.is_passed_over(step) {
            return passed_over(at, step);
        }
        let body = self.body(routes, at, step);
        let action = self.action(step).map(|(_, action)| action);
        let work = self.work(step);
        let equipment = self.machine();
        let mut requires: Cube = step.common.requires.clone();
        for (name, values) in action.iter().flat_map(|action| &action.requires) {
            requires.entry(name.clone()).or_insert_with(|| values.clone());
        }
        let mut leaves: Cube = step.common.leaves.0.clone();
        for (name, values) in action.iter().flat_map(|action| action.leaves.iter()) {
            leaves.entry(name.clone()).or_insert_with(|| values.clone());
        }
        let tools = step.common.tools.iter().chain(action.iter().flat_map(|action| &action.tools));
        let mut takes = named(tools, |name| equipment.tools.get(name));
        takes.extend(named(&step.common.supplies, |name| equipment.supplies.get(name)));
        takes.extend(named(&step.common.spares, |name| equipment.spares.get(name)));
        let mut optional =
            |key: &str, text: Option<&'a str>| text.map(|text| self.text(&pointer(at, key), text));
        let note = optional("note", step.common.note.as_deref());
        let expect = optional("expect", step.common.expect.as_deref());
        let inner = match step.inner() {
            Some((segment, inner)) => {
                let times = if let Kind::Repeat(repeat) = &step.kind { repeat.at_most } else { 1 };
                let rounds = rounds.saturating_mul(times).min(ROUNDS_MOST);
                let passage = Passage { any_order: matches!(step.kind, Kind::AnyOrder(_)), rounds };
                self.step_list(routes, &format!("{at}{segment}"), inner, passage)
            }
            None => Vec::new(),
        };
        let mut ways = body.routes;
        ways.extend(step.common.then.as_ref().map(|target| routes.route("Then", target)));
        StepBox {
            number: step_number(at),
            id: step.common.id.to_string(),
            kind: body.kind,
            only: only(&self.open_only(&step.common.only)),
            warnings: self.alerts(step, known),
            note,
            needs: self.statements(&requires),
            work: (!work.is_empty())
                .then(|| joined(&work.iter().map(|(name, _)| name.words()).collect::<Vec<_>>(), "and")),
            wear: named(work.iter().flat_map(|(_, work)| &work.wear), |name| equipment.wear.get(name)),
            takes,
            by: step.common.by.as_ref().map(|role| role.words()),
            text: body.text,
            detail: body.detail,
            leaves: self.statements(&leaves),
            expect,
            verified_by: step.common.verified_by.as_ref().map(|role| role.words()),
            routes: ways,
            rounds,
            inner,
        }
    }
}

/// Whether a step always leads to the one written after it, having been done itself.
fn follows(step: &Step) -> bool {
    step.common.then.is_none()
        && step.common.only.is_empty()
        && step.inner().is_none()
        && !matches!(step.kind, Kind::Ask(_))
}

/// "Only for hose 12 m or 20 m, and tip fine."
fn only(cube: &Cube) -> Option<String> {
    if cube.is_empty() {
        return None;
    }
    let parts: Vec<String> = cube
        .iter()
        .map(|(name, values)| {
            let values: Vec<String> = values.0.iter().map(|value| clean_line(value)).collect();
            format!("{} {}", name.words(), joined(&values, "or"))
        })
        .collect();
    Some(format!("Only for {}. For any other, pass over this step.", parts.join(", and ")))
}
