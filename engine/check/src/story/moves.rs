//! What is told of one move of a run.

use crate::context::Context;
use crate::words::values_words;
use machine::{Bits, Choice, Effect, LookKind, Move, Node, NodeKind, Outcome, Tick, VarId};
use std::collections::BTreeSet;

/// What the person chose or found, and what changes of what matters. Of a look that contradicts the record it is told what
/// is seen and what the record said.
pub(super) fn parts(
    context: &Context<'_>,
    node: &Node,
    step: &Move,
    before: &Bits,
    matters: &BTreeSet<VarId>,
) -> Vec<String> {
    let layout = &context.machine.layout;
    let outcome = &node.outcomes[step.outcome];
    let contradicted = if step.surprise { contradicted(context, outcome, before) } else { Vec::new() };
    let mut told: BTreeSet<VarId> = contradicted.iter().map(|(var, _)| *var).collect();
    let seen: Vec<String> = contradicted.into_iter().map(|(_, words)| words).collect();
    let chosen = match (&node.kind, outcome.choice) {
        (NodeKind::Tick(tick), Choice::Fail) => {
            let seen = if seen.is_empty() { vec![found(context, tick, step)] } else { seen };
            told.insert(tick.asked.var);
            Some(format!("{}: {}", not_so(tick.look), seen.join("; ")))
        }
        (NodeKind::Tick(tick), Choice::Is(value)) => {
            let seen = if seen.is_empty() { vec![seen_to_be(context, tick, value)] } else { seen };
            told.insert(tick.asked.var);
            Some(format!("{}: {}", not_so(tick.look), seen.join("; ")))
        }
        (_, choice) => {
            let chosen = chosen(context, node, choice);
            match (chosen, seen.is_empty()) {
                (chosen, true) => chosen,
                (Some(chosen), false) => Some(format!("{chosen}: {}", seen.join("; "))),
                (None, false) => Some(format!("a look shows that {}", seen.join(" and "))),
            }
        }
    };
    let mut parts: Vec<String> = chosen.into_iter().collect();
    for &var in matters.iter().filter(|var| !told.contains(var)) {
        let (old, new) = (before.field(layout, var), step.after.field(layout, var));
        if old == new {
            continue;
        }
        let looked = outcome.effects.iter().any(|effect| match effect {
            Effect::Look(seen) | Effect::Find(seen) => seen.var == var,
            Effect::Write(_) | Effect::Open(_) | Effect::Lose(_) | Effect::Verify(_) => false,
        });
        let how = match (looked, new.count_ones()) {
            (true, _) => "is seen to be",
            (false, 1) => "becomes",
            (false, _) => "may now be",
        };
        parts.push(format!("{} {how} {}", layout.var(var).label, values_words(layout, var, new)));
    }
    parts
}

/// Whether a step begins at its node. What comes after in the same step is told in the same line.
pub(super) fn begins(node: &Node) -> bool {
    match node.kind {
        NodeKind::Tick(tick) => tick.number == 1,
        NodeKind::Measure { attempt, .. } => attempt == 1,
        NodeKind::InAct { .. } | NodeKind::Follows { .. } | NodeKind::Verify { .. } => false,
        NodeKind::End
        | NodeKind::Route
        | NodeKind::Enter
        | NodeKind::Act
        | NodeKind::Wait
        | NodeKind::Ask
        | NodeKind::Hold
        | NodeKind::AnyOrder { .. } => true,
    }
}

/// What a look shows that the record had ruled out, in words.
fn contradicted(context: &Context<'_>, outcome: &Outcome, before: &Bits) -> Vec<(VarId, String)> {
    let layout = &context.machine.layout;
    let shown = outcome.effects.iter().filter_map(|effect| match effect {
        Effect::Look(seen) => Some(*seen),
        // What is found out afresh contradicts nothing.
        Effect::Find(_) | Effect::Write(_) | Effect::Open(_) | Effect::Lose(_) | Effect::Verify(_) => None,
    });
    let against = shown.filter(|seen| before.field(layout, seen.var) & seen.set == 0);
    let words = |var: VarId, set: u64| {
        let (seen, was) = (values_words(layout, var, set), before.field(layout, var));
        let was = values_words(layout, var, was);
        format!("{} is {seen}, though by the record it was {was}", layout.var(var).label)
    };
    against.map(|seen| (seen.var, words(seen.var, seen.set))).collect()
}

fn found(context: &Context<'_>, tick: &Tick, step: &Move) -> String {
    let (layout, var) = (&context.machine.layout, tick.asked.var);
    format!("{} is {}", layout.var(var).label, values_words(layout, var, step.after.field(layout, var)))
}

/// What somebody saw it to be who was asked on: that was the answer, whether it lasts or not.
fn seen_to_be(context: &Context<'_>, tick: &Tick, value: u32) -> String {
    let (layout, var) = (&context.machine.layout, tick.asked.var);
    format!("{} is seen to be {}", layout.var(var).label, values_words(layout, var, 1 << value))
}

fn not_so(look: LookKind) -> String {
    match look {
        LookKind::Confirm => "not confirmed".to_owned(),
        LookKind::Until => "the limit is reached first".to_owned(),
        LookKind::Round { round, .. } => format!("round {round} does not end it"),
    }
}

/// What the person chose or found, where there was more than one way.
fn chosen(context: &Context<'_>, node: &Node, choice: Choice) -> Option<String> {
    let layout = &context.machine.layout;
    let chosen = match (&node.kind, choice) {
        (NodeKind::Measure { attempt, .. }, Choice::Fail) => format!("reading {attempt} is out of range"),
        (NodeKind::Measure { attempt, .. }, Choice::CannotTell) => {
            format!("reading {attempt} cannot be taken")
        }
        (NodeKind::Tick(tick), Choice::CannotTell) => {
            let asked = values_words(layout, tick.asked.var, tick.asked.set);
            format!("nobody can tell whether {} is {asked}", layout.var(tick.asked.var).label)
        }
        (NodeKind::Tick(tick), Choice::Pass) => match tick.look {
            LookKind::Round { round, .. } if tick.number == tick.of && !tick.failed => {
                format!("round {round} ends it")
            }
            LookKind::Round { .. } | LookKind::Confirm | LookKind::Until => return None,
        },
        (NodeKind::Verify { .. }, Choice::Fail) => "not verified".to_owned(),
        (_, Choice::Fail | Choice::Is(_)) => "not so".to_owned(),
        (_, Choice::CannotTell) => "nobody can tell".to_owned(),
        (_, Choice::Answer(answer)) => {
            let step = context.step_of(node)?;
            let (word, _) = step.kind.answers().nth(answer as usize)?;
            format!("answered `{word}`")
        }
        (_, Choice::PassedOver) => "passed over for this variant".to_owned(),
        // The way a step is meant to go needs no telling.
        (_, Choice::Pass | Choice::Done | Choice::Applies | Choice::Item(_) | Choice::AllItems) => {
            return None;
        }
    };
    Some(chosen)
}
