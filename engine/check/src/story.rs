//! A counterexample as a path that a person can act out.

use crate::context::Context;
use crate::words::{conjunct_words, values_words};
use document::Library;
use document::model::Step;
use machine::{
    Bits, Choice, Conjunct, Guard, Machine, Move, Node, NodeKind, Trace, VarId, VarOrigin, Violation,
    step_number,
};
use proof::Proof;
use std::collections::BTreeSet;

/// The start, each move that matters, and how it ends. Moves that change nothing of what matters are told together.
pub(crate) fn story(context: &Context<'_>, trace: &Trace) -> Vec<String> {
    let matters = matters(context, trace);
    let mut lines = vec![format!("start: {}", facts(context, &trace.start, &matters))];
    let mut quiet: Vec<String> = Vec::new();
    let mut before = &trace.start;
    for step in &trace.moves {
        let node = context.node(step.place.node);
        let told = line_of_move(context, node, step, before, &matters);
        before = &step.after;
        match told {
            Some(told) => {
                flush(&mut quiet, &mut lines);
                lines.push(told);
            }
            None if matches!(node.kind, NodeKind::Route | NodeKind::Enter | NodeKind::AnyOrder { .. }) => {}
            None => quiet.push(number(node)),
        }
    }
    flush(&mut quiet, &mut lines);
    lines.push(ending(context, trace));
    lines
}

/// The run to a state that a machine's only rule speaks of, as [`machine::Machine::forbidding`] makes one, a line a move.
#[must_use]
pub fn story_to(library: &Library, machine: &Machine, trace: &Trace) -> Vec<String> {
    let Some(procedure) = library.procedures.get(&machine.procedure) else { return Vec::new() };
    let Some(equipment) = library.equipment.get(&procedure.model.equipment) else { return Vec::new() };
    let shape = proof::shape(machine);
    let proof = Proof::default();
    let context = Context { library, procedure, equipment, machine, shape: &shape, proof: &proof };
    let mut lines = story(&context, trace);
    // The last line tells how a rule is broken, and here none is.
    lines.pop();
    lines
}

/// The variables of what goes wrong, and the variants that decided the way.
fn matters(context: &Context<'_>, trace: &Trace) -> BTreeSet<VarId> {
    let mut vars: BTreeSet<VarId> = match trace.violation {
        Violation::Need { node, need } => [context.node(node).needs[need].conjunct.var].into(),
        Violation::Rule(rule) => {
            context.machine.rules[rule].when.0.iter().map(|conjunct| conjunct.var).collect()
        }
        Violation::Promise(promise) => [context.machine.promises[promise].conjunct.var].into(),
        Violation::Unanswered(node) => shown(context.node(node)),
        Violation::Lapsed { var, .. } => [var].into(),
        Violation::Stuck(_) => {
            away_from_rest(context.machine, trace).iter().map(|conjunct| conjunct.var).collect()
        }
    };
    for step in &trace.moves {
        let outcome = &context.node(step.place.node).outcomes[step.outcome];
        if let Guard::Is(cube) | Guard::IsNot(cube) = &outcome.guard {
            let variants = cube.0.iter().map(|conjunct| conjunct.var);
            vars.extend(variants.filter(|&var| context.machine.layout.var(var).origin == VarOrigin::Variant));
        }
    }
    vars
}

/// What the answers of a question show.
fn shown(node: &Node) -> BTreeSet<VarId> {
    let guards = node.outcomes.iter().filter_map(|outcome| match &outcome.guard {
        Guard::Is(cube) | Guard::IsNot(cube) => Some(cube),
        Guard::Always => None,
    });
    guards.flat_map(|cube| &cube.0).map(|conjunct| conjunct.var).collect()
}

/// What the state in which work may be left asks for and the end of the trace has not.
pub(crate) fn away_from_rest(machine: &Machine, trace: &Trace) -> Vec<Conjunct> {
    let layout = &machine.layout;
    let rest = machine.rest.iter().flat_map(|rest| &rest.0);
    rest.filter(|conjunct| trace.last().field(layout, conjunct.var) & !conjunct.set != 0).copied().collect()
}

fn facts(context: &Context<'_>, values: &Bits, matters: &BTreeSet<VarId>) -> String {
    let layout = &context.machine.layout;
    let facts: Vec<String> = matters
        .iter()
        .map(|&var| {
            format!("{} is {}", layout.var(var).label, values_words(layout, var, values.field(layout, var)))
        })
        .collect();
    facts.join("; ")
}

fn line_of_move(
    context: &Context<'_>,
    node: &Node,
    step: &Move,
    before: &Bits,
    matters: &BTreeSet<VarId>,
) -> Option<String> {
    let layout = &context.machine.layout;
    let mut parts: Vec<String> = choice(context, node, step).into_iter().collect();
    for &var in matters {
        let (old, new) = (before.field(layout, var), step.after.field(layout, var));
        if old != new {
            parts.push(format!("{} becomes {}", layout.var(var).label, values_words(layout, var, new)));
        }
    }
    if parts.is_empty() { None } else { Some(format!("{}: {}", number(node), parts.join("; "))) }
}

/// What the person chose or found, where there was more than one way.
fn choice(context: &Context<'_>, node: &Node, step: &Move) -> Option<String> {
    let found = match (&node.kind, node.outcomes[step.outcome].choice) {
        (NodeKind::Measure { attempt, .. }, Choice::Fail) => format!("reading {attempt} is out of range"),
        (NodeKind::Wait(_), Choice::Fail) => "the limit is reached first".to_owned(),
        (NodeKind::RepeatUntil { round, .. }, Choice::Fail) => format!("round {round} does not end it"),
        (NodeKind::RepeatUntil { round, .. }, Choice::Pass) => format!("round {round} ends it"),
        (_, Choice::Fail) => "not confirmed".to_owned(),
        (_, Choice::Answer(answer)) => {
            let step = step_of(context, node)?;
            let (word, _) = step.kind.answers().nth(answer as usize)?;
            format!("answered `{word}`")
        }
        (_, Choice::PassedOver) => "passed over for this variant".to_owned(),
        // The way a step is meant to go needs no telling.
        (_, Choice::Pass | Choice::Done | Choice::Applies | Choice::Item(_) | Choice::AllItems) => {
            return None;
        }
    };
    Some(found)
}

/// The authored step of a node.
pub(crate) fn step_of<'a>(context: &Context<'a>, node: &Node) -> Option<&'a Step> {
    context.library.procedures.get(&node.procedure)?.model.step_at(&node.pointer)
}

/// "4 `open-bowl`", with the round inside a repeat.
fn number(node: &Node) -> String {
    let mut number = format!("{} `{}`", step_number(&node.pointer), node.path);
    if !node.rounds.is_empty() {
        let rounds: Vec<String> = node.rounds.iter().map(u32::to_string).collect();
        number.push_str(&format!(", round {}", rounds.join(".")));
    }
    number
}

fn flush(quiet: &mut Vec<String>, lines: &mut Vec<String>) {
    let line = match (quiet.first(), quiet.last(), quiet.len()) {
        (Some(only), _, 1) => format!("{only}: changes nothing of this"),
        (Some(first), Some(last), count) => {
            format!("{first} to {last}: {count} steps that change nothing of this")
        }
        _ => return,
    };
    lines.push(line);
    quiet.clear();
}

fn ending(context: &Context<'_>, trace: &Trace) -> String {
    let layout = &context.machine.layout;
    let here = |var: VarId| values_words(layout, var, trace.last().field(layout, var));
    match trace.violation {
        Violation::Need { node, need } => {
            let (node, conjunct) = (context.node(node), context.node(node).needs[need].conjunct);
            format!(
                "{}: needs {}, here it is {}",
                number(node),
                conjunct_words(layout, conjunct),
                here(conjunct.var)
            )
        }
        Violation::Rule(rule) => {
            let rule = &context.machine.rules[rule];
            let when: Vec<String> = rule
                .when
                .0
                .iter()
                .map(|conjunct| format!("{} is {}", layout.var(conjunct.var).label, here(conjunct.var)))
                .collect();
            format!("now {}: the rule `{}` is broken", when.join(" and "), rule.name)
        }
        Violation::Promise(promise) => {
            let conjunct = context.machine.promises[promise].conjunct;
            format!("done: {} was due, here it is {}", conjunct_words(layout, conjunct), here(conjunct.var))
        }
        Violation::Unanswered(node) => {
            let facts: Vec<String> = shown(context.node(node))
                .iter()
                .map(|&var| {
                    let value = trace.last().field(layout, var);
                    let settling = context.machine.settling.iter().find(|s| (s.var, s.from) == (var, value));
                    let falls = settling.map(|s| format!(", or already {}", values_words(layout, var, s.to)));
                    format!("{} is {}{}", layout.var(var).label, here(var), falls.unwrap_or_default())
                })
                .collect();
            format!("{}: no answer fits: {}", number(context.node(node)), facts.join(" and "))
        }
        Violation::Lapsed { node, var } => format!(
            "{}: work is interrupted here; {} was {}, and then nobody can tell whether it still is",
            number(context.node(node)),
            layout.var(var).label,
            here(var)
        ),
        Violation::Stuck(node) => {
            let away: Vec<String> = away_from_rest(context.machine, trace)
                .iter()
                .map(|conjunct| {
                    format!("{} (it is {})", conjunct_words(layout, *conjunct), here(conjunct.var))
                })
                .collect();
            format!(
                "{}: work stops here, and no way leads to {}",
                number(context.node(node)),
                away.join(" and ")
            )
        }
    }
}
