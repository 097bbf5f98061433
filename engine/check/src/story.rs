//! A counterexample as a path that a person can act out.

mod moves;

use crate::context::Context;
use crate::words::{conjunct_words, cube_words, values_words};
use document::Library;
use machine::{
    AbstractState, Bits, Choice, Conjunct, DONE, Effect, Guard, Machine, Node, NodeId, NodeKind, Trace,
    VarId, VarOrigin, Violation, step_number,
};
use proof::Proof;
use std::collections::BTreeSet;

/// The start, each step that matters, and how it ends. Steps that change nothing of what matters are told together.
pub(crate) fn story(context: &Context<'_>, trace: &Trace) -> Vec<String> {
    let matters = matters(context, trace);
    let mut steps: Vec<(String, Vec<String>)> = Vec::new();
    let mut before = &trace.start;
    for step in &trace.moves {
        let node = context.node(step.place.node);
        let parts = moves::parts(context, node, step, before, &matters);
        before = &step.after;
        let is_met = node.is_stood_at() && !matches!(node.kind, NodeKind::AnyOrder { .. });
        if parts.is_empty() && !is_met {
            continue;
        }
        let number = number(node);
        match steps.last_mut() {
            Some((of, known)) if *of == number && !moves::begins(node) => known.extend(parts),
            Some(_) | None => steps.push((number, parts)),
        }
    }
    // The move that does not end what was found broken is told as the end.
    if let Violation::Unmended(node) = trace.violation
        && steps.last().is_some_and(|(of, parts)| parts.is_empty() && *of == number(context.node(node)))
    {
        steps.pop();
    }
    let mut lines = vec![format!("start: {}", facts_of(context, &trace.start, &matters))];
    for run in steps.chunk_by(|one, next| one.1.is_empty() && next.1.is_empty()) {
        let (Some((first, parts)), Some((last, _))) = (run.first(), run.last()) else { continue };
        lines.push(match run.len() {
            1 if parts.is_empty() => format!("{first}: changes nothing of this"),
            1 => format!("{first}: {}", parts.join("; ")),
            count => format!("{first} to {last}: {count} steps that change nothing of this"),
        });
    }
    lines.push(ending(context, trace));
    lines
}

/// The run to a state that was looked for, as [`machine::Machine::seeking`] does, a line a move.
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
    let machine = context.machine;
    let of_rules = |rules: &[usize]| {
        let parts = rules.iter().flat_map(|&rule| &machine.rules[rule].when.0);
        parts.map(|conjunct| conjunct.var).collect()
    };
    let mut vars: BTreeSet<VarId> = match trace.violation {
        Violation::Need { node, need } => [context.node(node).needs[need].conjunct.var].into(),
        Violation::Unseen(at) => [machine.unseen[at].var].into(),
        Violation::Rule(rule) => of_rules(&[rule]),
        Violation::Unmended(_) => of_rules(&found_broken(machine, trace)),
        Violation::Promise(promise) => [machine.promises[promise].conjunct.var].into(),
        Violation::Unanswered(node) => shown(context.node(node)),
        Violation::Lapsed { var, .. } => [var].into(),
        Violation::Stuck(_) | Violation::StuckAfter(_) => {
            let away = away_from_rest(machine, trace);
            let broken: BTreeSet<VarId> = of_rules(&found_broken(machine, trace));
            away.iter().map(|conjunct| conjunct.var).chain(broken).collect()
        }
    };
    for step in &trace.moves {
        let outcome = &context.node(step.place.node).outcomes[step.outcome];
        if let Guard::Is(cube) | Guard::IsNot(cube) = &outcome.guard {
            let variants = cube.0.iter().map(|conjunct| conjunct.var);
            vars.extend(variants.filter(|&var| machine.layout.var(var).origin == VarOrigin::Variant));
        }
    }
    vars
}

/// What the answers of a question show.
fn shown(node: &Node) -> BTreeSet<VarId> {
    let answers = node.outcomes.iter().filter(|outcome| matches!(outcome.choice, Choice::Answer(_)));
    let effects = answers.flat_map(|outcome| &outcome.effects);
    effects.filter(|effect| matches!(effect, Effect::Look(_))).map(|effect| effect.var()).collect()
}

/// What the state in which work may be left asks for and the end of the trace has not.
pub(crate) fn away_from_rest(machine: &Machine, trace: &Trace) -> Vec<Conjunct> {
    away(machine, trace.last())
}

/// What the state in which work may be left asks for and these values have not.
pub(crate) fn away(machine: &Machine, values: &Bits) -> Vec<Conjunct> {
    let layout = &machine.layout;
    let rest = machine.rest.iter().flat_map(|rest| &rest.0);
    rest.filter(|conjunct| values.field(layout, conjunct.var) & !conjunct.set != 0).copied().collect()
}

/// The rules that a look of the run found broken and that nothing ended before its last move; where that only led on, before
/// its end.
pub(crate) fn found_broken(machine: &Machine, trace: &Trace) -> Vec<usize> {
    let records = records(machine, trace);
    let at = match trace.violation {
        // The last move is what did not end it.
        Violation::Unmended(node) if node != DONE => records.len().saturating_sub(2),
        Violation::Unmended(_)
        | Violation::Need { .. }
        | Violation::Unseen(_)
        | Violation::Rule(_)
        | Violation::Promise(_)
        | Violation::Unanswered(_)
        | Violation::Lapsed { .. }
        | Violation::Stuck(_)
        | Violation::StuckAfter(_) => records.len().saturating_sub(1),
    };
    let found = records.get(at).into_iter().flatten().flat_map(|record| machine.found(record));
    let found: BTreeSet<usize> = found.collect();
    found.into_iter().collect()
}

/// The records of a run: those at its start, and those after each move.
pub(crate) fn records(machine: &Machine, trace: &Trace) -> Vec<Vec<AbstractState>> {
    let start = machine.start_of(&trace.start, trace.violation);
    let mut all: Vec<Vec<AbstractState>> = vec![start.into_iter().collect()];
    for step in &trace.moves {
        let before = all.last().into_iter().flatten();
        let mut after: Vec<AbstractState> = before
            .flat_map(|record| machine.follow(record, step.outcome))
            .filter(|next| next.surprise == step.surprise && next.state.bits == step.after)
            .map(|next| next.state)
            .collect();
        after.sort_unstable();
        after.dedup();
        all.push(after);
    }
    all
}

pub(crate) fn facts_of(context: &Context<'_>, values: &Bits, matters: &BTreeSet<VarId>) -> String {
    let layout = &context.machine.layout;
    let facts: Vec<String> = matters
        .iter()
        .map(|&var| {
            format!("{} is {}", layout.var(var).label, values_words(layout, var, values.field(layout, var)))
        })
        .collect();
    facts.join("; ")
}

/// "4 `open-bowl`", with the round inside a repeat.
fn number(node: &Node) -> String {
    if matches!(node.kind, NodeKind::End) {
        return node.path.clone();
    }
    let mut number = format!("{} `{}`", step_number(&node.pointer), node.path);
    if !node.rounds.is_empty() {
        let rounds: Vec<String> = node.rounds.iter().map(u32::to_string).collect();
        number.push_str(&format!(", round {}", rounds.join(".")));
    }
    number
}

/// Where in a step somebody stands, where that is not its beginning.
fn within(node: &Node) -> &'static str {
    match node.kind {
        NodeKind::InAct { .. } => ", in the middle of the act",
        NodeKind::Verify { .. } => ", before it is verified",
        NodeKind::Tick(tick) if tick.number > 1 => ", between two looks",
        NodeKind::Tick(_)
        | NodeKind::End
        | NodeKind::Route
        | NodeKind::Enter
        | NodeKind::Act
        | NodeKind::Follows { .. }
        | NodeKind::Measure { .. }
        | NodeKind::Wait
        | NodeKind::Ask
        | NodeKind::Hold
        | NodeKind::AnyOrder { .. } => "",
    }
}

fn ending(context: &Context<'_>, trace: &Trace) -> String {
    let layout = &context.machine.layout;
    let here = |var: VarId| values_words(layout, var, trace.last().field(layout, var));
    let at = |node: NodeId| format!("{}{}", number(context.node(node)), within(context.node(node)));
    match trace.violation {
        Violation::Need { node, need } => {
            let conjunct = context.node(node).needs[need].conjunct;
            format!(
                "{}: needs {}, here it is {}",
                at(node),
                conjunct_words(layout, conjunct),
                here(conjunct.var)
            )
        }
        Violation::Unseen(unseen) => {
            let conjunct = context.machine.unseen[unseen];
            let needed = conjunct_words(layout, conjunct);
            format!("needed is {needed}, which nobody can see; it may be {}", here(conjunct.var))
        }
        Violation::Rule(rule) => {
            let rule = &context.machine.rules[rule];
            let is_so = |part: &Conjunct| format!("{} is {}", layout.var(part.var).label, here(part.var));
            let when: Vec<String> = rule.when.0.iter().map(is_so).collect();
            format!("now {}: the rule `{}` is broken", when.join(" and "), rule.name)
        }
        Violation::Unmended(node) => {
            let broken = broken_words(context, trace);
            if node == DONE {
                format!("done: a look there has shown that {broken}, and no act has ended it")
            } else {
                format!(
                    "{}: a look there has shown that {broken}, and this does not end it",
                    number(context.node(node))
                )
            }
        }
        Violation::Promise(promise) => {
            let conjunct = context.machine.promises[promise].conjunct;
            format!("done: {} was due, here it is {}", conjunct_words(layout, conjunct), here(conjunct.var))
        }
        Violation::Unanswered(node) => {
            let records = records(context.machine, trace).pop().unwrap_or_default();
            let open = records.iter().find_map(|record| context.machine.unanswered(record));
            let is = |&var: &VarId| {
                let values = open.as_ref().unwrap_or(trace.last()).field(layout, var);
                format!("{} is {}", layout.var(var).label, values_words(layout, var, values))
            };
            let facts: Vec<String> = shown(context.node(node)).iter().map(is).collect();
            format!("{}: no answer fits where {}", at(node), facts.join(" and "))
        }
        Violation::Lapsed { node, var } => format!(
            "{}: work is interrupted here; {} was {}, and then nobody can tell whether it still is",
            at(node),
            layout.var(var).label,
            here(var)
        ),
        Violation::Stuck(node) => {
            format!("{}: work stops here, and {}", at(node), stuck_words(context, trace))
        }
        Violation::StuckAfter(node) => {
            format!("{}: from here it leads to the stop, and {}", at(node), stuck_words(context, trace))
        }
    }
}

/// "the rule `no-charge` is broken: supply live and cover open".
pub(crate) fn broken_words(context: &Context<'_>, trace: &Trace) -> String {
    let rules = found_broken(context.machine, trace).into_iter().map(|rule| &context.machine.rules[rule]);
    let words = |rule: &machine::Rule| {
        format!("the rule `{}` is broken ({})", rule.name, cube_words(&context.machine.layout, &rule.when))
    };
    rules.map(words).collect::<Vec<_>>().join(" and ")
}

fn stuck_words(context: &Context<'_>, trace: &Trace) -> String {
    let layout = &context.machine.layout;
    let away = away_from_rest(context.machine, trace).into_iter().map(|conjunct| {
        let here = values_words(layout, conjunct.var, trace.last().field(layout, conjunct.var));
        format!("{} (it is {here})", conjunct_words(layout, conjunct))
    });
    let away: Vec<String> = away.collect();
    if away.is_empty() {
        format!("no way ends what a look has shown: {}", broken_words(context, trace))
    } else {
        format!("no way leads to {}", away.join(" and "))
    }
}
