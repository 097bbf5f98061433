//! Steps with what they expose to and what stands against it.

use super::model::{Control, ControlKind, Exposure, Verdict, Verdicts};
use crate::page::{people_of, value_words};
use document::model::{Action, Cube, Equipment, Kind, Name, Procedure, Step, Work};
use document::pointer;
use machine::{StepGraph, step_number};
use std::collections::{BTreeMap, BTreeSet};

/// A step with its place.
struct Placed<'a> {
    pointer: String,
    step: &'a Step,
    action: Option<&'a Action>,
    work: Vec<(&'a Name, &'a Work)>,
    needs: Cube,
}

/// All steps of a procedure.
pub(super) struct Steps<'a> {
    equipment: &'a Equipment,
    verdicts: &'a Verdicts,
    steps: Vec<Placed<'a>>,
    /// For every gate, wait and hold point, the steps that cannot be reached without it.
    behind: BTreeMap<usize, BTreeSet<&'a str>>,
}

impl<'a> Steps<'a> {
    pub(super) fn from_procedure(
        equipment: &'a Equipment,
        procedure: &'a Procedure,
        ways: &StepGraph<'a>,
        verdicts: &'a Verdicts,
    ) -> Self {
        let mut steps = Self { equipment, verdicts, steps: Vec::new(), behind: BTreeMap::new() };
        steps.list("/steps", &procedure.steps);
        let stands = |placed: &Placed<'_>| match placed.step.kind {
            Kind::Confirm(_) | Kind::Measure(_) | Kind::Wait(_) | Kind::Hold(_) => true,
            Kind::Do(_)
            | Kind::Action(_)
            | Kind::Ask(_)
            | Kind::Fasten(_)
            | Kind::AnyOrder(_)
            | Kind::Repeat(_)
            | Kind::Perform(_) => false,
        };
        let gates = steps.steps.iter().enumerate().filter(|(_, placed)| stands(placed));
        steps.behind = gates.map(|(at, placed)| (at, ways.only_through(&placed.pointer))).collect();
        steps
    }

    fn list(&mut self, at: &str, steps: &'a [Step]) {
        for (index, step) in steps.iter().enumerate() {
            let at = pointer(at, index);
            let action = step.kind.action().and_then(|name| self.equipment.actions.get(name));
            let named = step.common.work.iter().chain(action.and_then(|action| action.work.as_ref()));
            let work: Vec<(&Name, &Work)> =
                named.filter_map(|name| self.equipment.work.get_key_value(name)).collect();
            let mut needs = step.common.requires.clone();
            let asked = action
                .into_iter()
                .map(|action| &action.requires)
                .chain(work.iter().map(|(_, work)| &work.requires));
            for (name, values) in asked.flatten() {
                needs.entry(name.clone()).or_insert_with(|| values.clone());
            }
            self.steps.push(Placed { pointer: at.clone(), step, action, work, needs });
            if let Some((segment, inner)) = step.inner() {
                self.list(&format!("{at}{segment}"), inner);
            }
        }
    }

    /// What was proved of a rule; one that nothing says of was not proved. What somebody may release is no prohibition, and
    /// whether each such act stands behind its hold point is a finding of its own.
    pub(super) fn verdict(&self, rule: &Name, verdicts: &Verdicts) -> Verdict {
        if self.equipment.never.get(rule).is_some_and(|rule| rule.released_by.is_some()) {
            return Verdict::Released;
        }
        verdicts.rules.get(rule).copied().unwrap_or(Verdict::NotProved)
    }

    /// The steps that expose to a hazard, in their order.
    pub(super) fn exposed_to(&self, hazard: &Name) -> Vec<Exposure> {
        let exposures = self.steps.iter().filter_map(|placed| {
            let by = self.by(placed, hazard);
            (!by.is_empty()).then(|| self.exposure(placed, hazard, by))
        });
        exposures.collect()
    }

    /// By what a step exposes to a hazard.
    fn by(&self, placed: &Placed<'_>, hazard: &Name) -> Vec<String> {
        let mut by = Vec::new();
        for (name, work) in &placed.work {
            if work.hazard.as_ref() == Some(hazard) {
                by.push(format!("work: {}", name.words()));
            }
        }
        if placed.step.common.warn.contains(hazard) {
            by.push("its own warning".to_owned());
        }
        // What a step brings about is told once, whatever number of rules it is a part of.
        let mut parts: Vec<(String, Vec<String>)> = Vec::new();
        for (rule, near) in self.near(placed, hazard) {
            let near = near.join(", ");
            match parts.iter_mut().find(|(part, _)| *part == near) {
                Some((_, rules)) => rules.push(rule.words()),
                None => parts.push((near, vec![rule.words()])),
            }
        }
        by.extend(parts.into_iter().map(|(part, rules)| {
            let noun = if rules.len() == 1 { "rule" } else { "rules" };
            format!("brings about {part} ({noun} {})", rules.join(", "))
        }));
        by
    }

    /// The rules for a hazard of which a step brings about a part, with that part in words.
    fn near(&self, placed: &Placed<'_>, hazard: &Name) -> Vec<(&'a Name, Vec<String>)> {
        let writes = |name: &Name, values: &[String]| {
            let leaves = [Some(&placed.step.common.leaves), placed.action.map(|action| &action.leaves)];
            let left = leaves.into_iter().flatten().filter_map(|cube| cube.get(name));
            let of_action = placed.action.into_iter().flat_map(|action| &action.disturbs);
            left.into_iter().any(|left| left.0.iter().any(|value| values.contains(value)))
                || placed.step.common.disturbs.iter().chain(of_action).any(|disturbed| disturbed == name)
        };
        let rules = self.equipment.never.iter().filter(|(_, rule)| rule.hazard == *hazard);
        let near = rules.map(|(name, rule)| {
            let parts = rule.when.iter().filter(|(name, values)| writes(name, &values.0));
            (name, parts.map(|(name, values)| self.words(name, &values.0)).collect::<Vec<_>>())
        });
        near.filter(|(_, parts)| !parts.is_empty()).collect()
    }

    fn exposure(&self, placed: &Placed<'_>, hazard: &Name, by: Vec<String>) -> Exposure {
        let mut controls = Vec::new();
        let mut add = |kind, text: String| controls.push(Control { kind, text });
        let rules: Vec<&Name> = self.near(placed, hazard).into_iter().map(|(rule, _)| rule).collect();
        let needs_hold = self.verdicts.complete && !self.verdicts.unmet.contains(&placed.pointer);
        if needs_hold {
            for (name, values) in &placed.needs {
                add(ControlKind::Need, self.words(name, &values.0));
            }
        }
        for rule in &rules {
            if self.verdict(rule, self.verdicts) == Verdict::Proved {
                add(ControlKind::Rule, rule.words());
            }
        }
        // What is looked at or waited for counts if it is about what the step needs or the rules speak of.
        let about: BTreeSet<&Name> = placed
            .needs
            .keys()
            .chain(
                rules
                    .iter()
                    .filter_map(|rule| self.equipment.never.get(*rule))
                    .flat_map(|rule| rule.when.keys()),
            )
            .collect();
        for (gate, behind) in &self.behind {
            if behind.contains(placed.pointer.as_str())
                && let Some((kind, text)) = self.steps.get(*gate).and_then(|gate| self.control(gate, &about))
            {
                add(kind, text);
            }
        }
        // A step that looks itself goes on only if it is so.
        let own: BTreeSet<&Name> = match &placed.step.kind {
            Kind::Confirm(cube) => cube.keys().collect(),
            Kind::Measure(measure) => measure.shows.keys().collect(),
            Kind::Do(_)
            | Kind::Action(_)
            | Kind::Wait(_)
            | Kind::Ask(_)
            | Kind::Hold(_)
            | Kind::Fasten(_)
            | Kind::AnyOrder(_)
            | Kind::Repeat(_)
            | Kind::Perform(_) => BTreeSet::new(),
        };
        if let Some((kind, text)) = self.control(placed, &own) {
            add(kind, text);
        }
        if let Some(role) = &placed.step.common.verified_by {
            add(ControlKind::Verification, format!("verified by the {}", role.words()));
        }
        for (name, work) in &placed.work {
            let name = name.words();
            for demand in people_of(work) {
                add(ControlKind::People, format!("{demand} (work: {name})"));
            }
        }
        for name in placed.work.iter().flat_map(|(_, work)| &work.wear) {
            add(
                ControlKind::Wear,
                self.equipment
                    .wear
                    .get(name)
                    .map_or_else(|| name.words(), |text| crate::clean::clean_line(text)),
            );
        }
        let warned = placed.step.common.warn.contains(hazard)
            || placed.work.iter().any(|(_, work)| work.hazard.as_ref() == Some(hazard));
        if warned {
            add(ControlKind::Warning, "before the act".to_owned());
        }
        controls.sort_by_key(|control| control.kind);
        controls.dedup();
        let gap = if !needs_hold && !placed.needs.is_empty() {
            Some("a precondition of the step is not proved".to_owned())
        } else if controls.is_empty() {
            Some("no control was found".to_owned())
        } else if controls.iter().all(|control| control.kind == ControlKind::Warning) {
            Some("a warning alone".to_owned())
        } else if controls
            .iter()
            .all(|control| matches!(control.kind, ControlKind::Warning | ControlKind::People))
        {
            Some("nothing but who does it".to_owned())
        } else {
            None
        };
        Exposure {
            step: step_number(&placed.pointer),
            title: placed.step.common.id.words(),
            by,
            controls,
            gap,
        }
    }

    /// A gate, wait or hold point as a control, if it is about one of the conditions.
    fn control(&self, gate: &Placed<'_>, about: &BTreeSet<&Name>) -> Option<(ControlKind, String)> {
        let number = step_number(&gate.pointer);
        let looked = |cube: &Cube| -> Option<String> {
            let names: Vec<String> =
                cube.keys().filter(|name| about.contains(name)).map(|name| self.label(name)).collect();
            (!names.is_empty()).then(|| names.join(", "))
        };
        match &gate.step.kind {
            Kind::Confirm(cube) => Some((ControlKind::Gate, format!("step {number}: {}", looked(cube)?))),
            Kind::Measure(measure) => {
                Some((ControlKind::Gate, format!("step {number}: {} by a reading", looked(&measure.shows)?)))
            }
            Kind::Wait(wait) => {
                let settles = |name: &&Name| {
                    self.equipment.conditions.get(*name).is_some_and(|condition| condition.settles.is_some())
                };
                let settling: Vec<String> = about
                    .iter()
                    .filter(|name| wait.time.is_some() && settles(name))
                    .map(|name| self.label(name))
                    .collect();
                let what =
                    looked(&wait.until).or_else(|| (!settling.is_empty()).then(|| settling.join(", ")))?;
                Some((ControlKind::Wait, format!("step {number}: {what}")))
            }
            Kind::Hold(hold) => Some((
                ControlKind::Verification,
                format!("hold point, step {number}: released by the {}", hold.released_by.words()),
            )),
            Kind::Do(_)
            | Kind::Action(_)
            | Kind::Ask(_)
            | Kind::Fasten(_)
            | Kind::AnyOrder(_)
            | Kind::Repeat(_)
            | Kind::Perform(_) => None,
        }
    }

    fn label(&self, name: &Name) -> String {
        let label = self.equipment.conditions.get(name).and_then(|condition| condition.label.as_deref());
        label.map_or_else(|| name.words(), crate::clean::clean_line)
    }

    fn words(&self, name: &Name, values: &[String]) -> String {
        let values: Vec<String> = values.iter().map(|value| value_words(value)).collect();
        format!("{}: {}", self.label(name), crate::count::joined(&values, "or"))
    }
}
