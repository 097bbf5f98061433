//! The statements that every place has in common.

use super::model::{Model, PURGE, Step, Test, Time, all, values};
use super::promela::{ROUNDS, alternatives};

/// Preconditions with who asks for them.
pub(crate) type Needs = Vec<(&'static str, (usize, u8))>;

/// The conditions of one procedure.
pub(crate) struct World<'a> {
    pub(crate) model: &'a Model,
}

impl World<'_> {
    pub(crate) fn holds(&self, test: &Test) -> String {
        let parts: Vec<String> =
            test.iter().map(|&(at, set)| format!("({})", alternatives(at, set))).collect();
        if parts.is_empty() { "true".to_owned() } else { parts.join(" && ") }
    }

    /// Gives a condition any value of a set, and its clock starts anew.
    pub(crate) fn choose(&self, at: usize, set: u8) -> String {
        let clock =
            if self.model.conditions[at].settles.is_some() { format!("t{at} = 0; ") } else { String::new() };
        let ways: Vec<String> = values(set).map(|value| format!("c{at} = {value}")).collect();
        match &ways[..] {
            [only] => format!("{only}; {clock}"),
            _ => format!("if :: {} fi; {clock}", ways.join(" :: ")),
        }
    }

    /// Finds the conditions of a test out: each may have any value.
    pub(crate) fn afresh(&self, test: &Test) -> String {
        test.iter().map(|&(at, _)| self.choose(at, all(&self.model.conditions[at]))).collect()
    }

    /// What a step leaves and, where it does not say, disturbs.
    pub(crate) fn effects(&self, step: &Step) -> Test {
        let disturbed = step.disturbs.iter().filter(|&&at| step.leaves.iter().all(|&(left, _)| left != at));
        let disturbed = disturbed.map(|&at| (at, all(&self.model.conditions[at])));
        disturbed.chain(step.leaves.iter().copied()).collect()
    }

    /// What a step disturbs whether it passes or fails.
    pub(crate) fn disturbed(&self, step: &Step) -> Test {
        step.disturbs.iter().map(|&at| (at, all(&self.model.conditions[at]))).collect()
    }

    /// Any settling value among some conditions may fall.
    pub(crate) fn fall(&self, among: impl Fn(usize) -> bool) -> String {
        let mut text = String::new();
        for (at, condition) in self.model.conditions.iter().enumerate().filter(|(at, _)| among(*at)) {
            if let Some((from, to, _)) = condition.settles {
                text += &format!("if :: c{at} == {from} -> c{at} = {to}; t{at} = 0 :: true fi; ");
            }
        }
        text
    }

    /// Time surely passes; what has had its time has fallen.
    pub(crate) fn wait(&self, time: Time) -> String {
        let mut text = match time {
            Time::Seconds(time) => format!("d = {time}; "),
            Time::Purge => format!("if :: tip == 0 -> d = {} :: else -> d = {} fi; ", PURGE[0], PURGE[1]),
        };
        for (at, condition) in self.model.conditions.iter().enumerate() {
            if let Some((from, to, after)) = condition.settles {
                text += &format!(
                    "if :: c{at} == {from} -> t{at} = t{at} + d; if :: t{at} >= {after} -> c{at} = {to}; t{at} = 0 \
                     :: else fi :: else fi; "
                );
            }
        }
        text
    }

    /// Evidence ends whose cause was written and is true: all that is due at once, then what that makes due.
    fn lose(&self) -> String {
        let lost = || {
            self.model.conditions.iter().enumerate().filter(|(_, condition)| !condition.lost_when.is_empty())
        };
        if lost().next().is_none() {
            return String::new();
        }
        let mut text = String::from("l = 0;\n  do :: d = 0;\n");
        for (at, condition) in lost() {
            let causes = condition.lost_when.iter().fold(0, |mask, (var, _)| mask | 1 << var);
            text += &format!(
                "    if :: !(l & {bit}) && (w & {causes}) && {} -> d = d | {bit} :: else fi;\n",
                self.holds(&condition.lost_when),
                bit = 1 << at
            );
        }
        text += "    if :: d == 0 -> break :: else fi;\n";
        for (at, condition) in lost() {
            let choose = self.choose(at, all(condition));
            let bit = 1 << at;
            text += &format!("    if :: d & {bit} -> l = l | {bit}; w = w | {bit}; {choose}:: else fi;\n");
        }
        text + "  od;"
    }

    /// A broken rule is noted if the step wrote something it speaks of, and ends the run.
    fn rules(&self) -> String {
        let mut text = String::new();
        for (at, rule) in self.model.rules.iter().enumerate() {
            let written = rule.iter().fold(0, |mask, (var, _)| mask | 1 << var);
            text += &format!(
                "  if :: (w & {written}) && {} -> c_code {{ seen[now.by + {at}] = 1; }}; bad = 1 :: else fi;\n",
                self.holds(rule)
            );
        }
        text + "  if :: bad -> goto X :: else fi;\n"
    }

    /// The process around its places: one atomic move a place, after which the state is kept.
    pub(crate) fn frame(&self, name: &str, places: &[String]) -> String {
        let all = self.fall(|_| true);
        let mut text = format!("proctype {name}() {{\nZ: true;\natomic {{\n  {all}\n  if\n");
        for at in 0..places.len() {
            text += &format!("  :: nx == {at} -> goto L{at}\n");
        }
        text += "  fi;\n";
        for (at, place) in places.iter().enumerate() {
            text += &format!("L{at}: {place}\n");
        }
        text += &format!(
            "A: {}\nB: {all}\n{}",
            if self.lose().is_empty() { "skip;".to_owned() } else { self.lose() },
            self.rules()
        );
        text += "Y: w = 0; by = 0; l = 0; d = 0;\n";
        for (at, condition) in self.model.conditions.iter().enumerate() {
            if let Some((from, ..)) = condition.settles {
                text += &format!("  if :: c{at} != {from} -> t{at} = 0 :: else fi;\n");
            }
        }
        text += "  goto Z;\nX: nx = 0; by = 0; w = 0; l = 0; d = 0; m = 0; bad = 0; tip = 0;\n  ";
        for at in 0..ROUNDS {
            text += &format!("c{at} = 0; t{at} = 0; r{at} = 0; ");
        }
        text + "\n}\n}\n"
    }
}
