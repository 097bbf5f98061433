//! How the machine is left where work stops: from each step, from whatever is found, and where nothing helps.

use super::pieces::Question;
use super::plan::{self, PlanLine, PlanLineKind};
use super::proved::ProofNote;
use super::scope::Scope;
use crate::count::capital;
use document::model::Step;
use document::pointer;
use machine::{Conjunct, Machine, NodeId, VarId, step_number};
use proof::{Leaving, PlanStep, Planner, Universal, longest};
use serde::Serialize;
use std::collections::BTreeMap;

/// How the machine is left where work stops.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Stop {
    /// How the plans are followed; none where nothing was proved.
    pub how: Option<String>,
    /// What is done first, from step to step.
    pub rows: Vec<StopRow>,
    /// What is looked at last, each with a tick.
    pub looks: Vec<Question>,
    /// What is so then and nobody can look at.
    pub unseen: Vec<String>,
    /// The plan for the whole machine, whatever is found; none if there is none.
    pub whole: Option<Vec<PlanLine>>,
    /// What is done where the machine cannot be brought to rest.
    pub cannot: String,
}

/// How the machine is left from some steps.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct StopRow {
    /// The steps: "Step 3", "Steps 4 to 6", "From step 7 to after the last".
    pub at: String,
    /// What is done there before the looks.
    pub lines: Vec<PlanLine>,
    /// Whether there is a way.
    pub is_known: bool,
}

/// A plan of no more moves than this on its longest way is written at its step (common practice, no source).
const SHORT: usize = 4;

/// The name of the place after the last step.
const AFTER: &str = "";

impl Stop {
    /// What stands above the last looks.
    #[must_use]
    pub fn looks_head(&self) -> &'static str {
        match (&self.how, &self.whole) {
            (None, _) => "If work stops, leave the machine so:",
            (Some(_), Some(_)) => {
                "Then look at each. With any answer but the one shown, follow the plan for the whole machine:"
            }
            (Some(_), None) => {
                "Then look at each. With any answer but the one shown, the machine cannot be brought to rest from here:"
            }
        }
    }
}

impl StopRow {
    /// What is done, in one line.
    #[must_use]
    pub fn words(&self) -> String {
        self.lines.iter().map(|line| line.text.as_str()).collect::<Vec<_>>().join(" ")
    }
}

impl Scope<'_> {
    /// How the machine is left; none where the equipment states no state in which it may be left.
    pub(super) fn stopping(&mut self, proof: Option<&ProofNote<'_>>) -> Option<Stop> {
        let state = self.machine().safe_state.as_ref()?;
        let cannot = self.cannot();
        let Some(ProofNote { machine, proof, second: _ }) = proof else {
            let looks = self.questions(state);
            return Some(Stop {
                how: None,
                rows: Vec::new(),
                looks,
                unseen: Vec::new(),
                whole: None,
                cannot,
            });
        };
        let mut planner = Planner::new(machine)?;
        let whole = match planner.universal() {
            Universal::Plan(steps) => Some(steps.clone()),
            Universal::Impossible(_) | Universal::Unknown => None,
        };
        let (mut looks, mut unseen, mut looked_at) = (Vec::new(), Vec::new(), Vec::new());
        for &part in rest_of(machine) {
            let sight = machine.sight(part.var);
            if !sight.is_asked || is_shut_off(rest_of(machine), &sight.when.0) {
                unseen.push(self.statement_of(machine, part));
                continue;
            }
            let mut look = self.plan_question(machine, part.var, part.set);
            if !sight.when.0.is_empty() {
                look.hint = Some(
                    "Where the plan says that it is not to be seen then, it is so by the record.".to_owned(),
                );
            }
            looks.push(look);
            looked_at.push(part.var);
        }
        let mut rows: Vec<StopRow> = Vec::new();
        let mut of: Vec<(String, String)> = Vec::new();
        for (number, nodes) in self.places(machine, proof.stood.nodes()) {
            let leaving = planner.leave_nodes(&proof.stood, &nodes);
            let (lines, is_known) = self.row(machine, &leaving, whole.as_deref(), &looked_at);
            match (rows.last(), of.last_mut()) {
                (Some(row), Some((_, last))) if row.lines == lines && row.is_known == is_known => {
                    number.clone_into(last);
                }
                _ => {
                    rows.push(StopRow { at: String::new(), lines, is_known });
                    of.push((number.clone(), number));
                }
            }
        }
        for (row, (first, last)) in rows.iter_mut().zip(&of) {
            row.at = match (first.as_str(), last.as_str()) {
                (AFTER, _) => "After the last step".to_owned(),
                (first, AFTER) => format!("From step {first} to after the last"),
                (first, last) if first == last => format!("Step {first}"),
                (first, last) => format!("Steps {first} to {last}"),
            };
        }
        let broken = planner.where_found_broken();
        for (rules, steps) in &broken {
            rows.push(self.broken_row(machine, rules, steps, whole.is_some()));
        }
        let whole = whole.map(|steps| {
            let mut lines = self.plan(machine, &steps, plan::BEGIN_WHOLE);
            if !looks.is_empty() {
                let text = plan::LOOK_AT_EACH.to_owned();
                lines.push(PlanLine { depth: 0, kind: PlanLineKind::End, text });
            }
            lines
        });
        let mut how = vec![plan::HOW, if whole.is_some() { plan::FOUND_WHOLE } else { plan::FOUND }];
        how.extend((!broken.is_empty()).then_some(plan::FOUND_BROKEN));
        let again = self.taking_up(machine);
        how.push(&again);
        let how = how.join(" ");
        Some(Stop { how: Some(how.trim_end().to_owned()), rows, looks, unseen, whole, cannot })
    }

    /// Keep away, and who is called.
    fn cannot(&self) -> String {
        let call = match &self.machine().release {
            Some(role) => format!("call the {}", role.words()),
            None => "call whoever releases machines here".to_owned(),
        };
        format!("Keep away from the machine. Put up a barrier and keep others away. Then {call}.")
    }

    /// What is done where one of these rules was just seen to be broken, before all else.
    fn broken_row(
        &mut self,
        machine: &Machine,
        rules: &[usize],
        steps: &[PlanStep],
        has_whole: bool,
    ) -> StopRow {
        let seen = |rule: &usize| {
            let parts = machine.rules[*rule].when.0.iter().map(|&part| self.statement_of(machine, part));
            parts.collect::<Vec<_>>().join(" and ")
        };
        let seen = format!("If {}:", rules.iter().map(seen).collect::<Vec<_>>().join("; or "));
        let anew = if has_whole { plan::BEGIN_WHOLE } else { plan::CANNOT };
        // What no act ends stays as it is; all the same the rest is brought as near to rest as it goes.
        let is_ended = steps[..] != [PlanStep::Cannot];
        let mut lines = vec![PlanLine { depth: 0, kind: PlanLineKind::If, text: seen }];
        if is_ended {
            lines.extend(self.plan(machine, steps, anew));
        }
        let ends = if has_whole && !is_ended { plan::WHOLE_AND_CANNOT } else { anew };
        lines.push(PlanLine { depth: 0, kind: PlanLineKind::End, text: capital(ends) });
        StopRow { at: "Just seen".to_owned(), lines, is_known: true }
    }

    /// What is done at a step, and whether that is known.
    fn row(
        &mut self,
        machine: &Machine,
        leaving: &Leaving,
        whole: Option<&[PlanStep]>,
        looked_at: &[VarId],
    ) -> (Vec<PlanLine>, bool) {
        let line = |text: &str| PlanLine { depth: 0, kind: PlanLineKind::End, text: text.to_owned() };
        let (moves, looks) = match (leaving, whole) {
            (Leaving::Plan { moves, looks }, _) => (moves, looks),
            (Leaving::Stuck(_) | Leaving::Unknown, Some(_)) => return (vec![line(plan::BEGIN_WHOLE)], true),
            (Leaving::Stuck(_) | Leaving::Unknown, None) => {
                return (vec![line("No way is known: stay away and call for help.")], false);
            }
        };
        // The whole plan is as good, and what is long is not written at step after step.
        if moves[..] == [PlanStep::Universal] || whole.is_some() && longest(moves) > SHORT {
            return (vec![line(plan::BEGIN_WHOLE)], true);
        }
        let anew = if whole.is_some() { plan::BEGIN_WHOLE } else { plan::CANNOT };
        let mut lines = self.plan(machine, moves, anew);
        if lines.is_empty() {
            lines.push(line("Nothing to do first."));
        }
        let seen = |var: &&VarId| {
            looks.iter().any(|look| matches!(look, PlanStep::Again { var: of, .. } if of == *var))
        };
        let covered: Vec<String> = looked_at
            .iter()
            .filter(|var| !seen(var))
            .map(|var| machine.layout.var(*var).label.clone())
            .collect();
        if !covered.is_empty() {
            let text = format!("Not to be seen then, and so by the record: {}.", covered.join(", "));
            lines.push(PlanLine { depth: 0, kind: PlanLineKind::Aside, text });
        }
        (lines, true)
    }

    /// The places at which work can be stopped, by the number of the procedure's own step in whose course they lie.
    fn places(&self, machine: &Machine, nodes: impl Iterator<Item = NodeId>) -> Vec<(String, Vec<NodeId>)> {
        let mut own = Vec::new();
        own_steps("", "/steps", &self.procedure.model.steps, &mut own);
        let mut places: BTreeMap<usize, Vec<NodeId>> = BTreeMap::new();
        for id in nodes {
            let node = machine.node(id);
            // What a performed procedure does lies in the course of the step that performs it.
            let within = |(path, _): &(String, String)| {
                node.path
                    .strip_prefix(path.as_str())
                    .is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
            };
            let at = own.iter().rposition(within).unwrap_or(own.len());
            places.entry(at).or_default().push(id);
        }
        let number = |at: usize| own.get(at).map_or_else(|| AFTER.to_owned(), |(_, number)| number.clone());
        places.into_iter().map(|(at, nodes)| (number(at), nodes)).collect()
    }
}

/// The state in which the machine may be left.
fn rest_of(machine: &Machine) -> &[Conjunct] {
    machine.rest.as_ref().map_or(&[], |rest| &rest.0)
}

/// Whether nobody can see it where the machine is at rest: what a look needs is then surely not so.
fn is_shut_off(rest: &[Conjunct], needed: &[Conjunct]) -> bool {
    let clash = |need: &Conjunct| rest.iter().any(|part| part.var == need.var && part.set & need.set == 0);
    needed.iter().any(clash)
}

/// The steps of a procedure in their order, by the names down to them, each with its number.
fn own_steps(path: &str, at: &str, steps: &[Step], own: &mut Vec<(String, String)>) {
    for (index, step) in steps.iter().enumerate() {
        let at = pointer(at, index);
        let path =
            if path.is_empty() { step.common.id.to_string() } else { format!("{path}/{}", step.common.id) };
        own.push((path.clone(), step_number(&at)));
        if let Some((segment, inner)) = step.inner() {
            own_steps(&path, &format!("{at}{segment}"), inner, own);
        }
    }
}
