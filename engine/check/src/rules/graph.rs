//! The graph of steps.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::words::cube_words;
use document::Place;
use machine::{NodeId, NodeKind, step_number};
use std::collections::BTreeSet;

pub(super) const RULES: &[Rule] = &[
    rule!("G01", Error, "No way leads to a step", Proof(step_unreachable)),
    rule!(
        "G02",
        Warning,
        "A step is never reached, whatever is true at the start",
        Proof(step_never_reached)
    ),
    rule!("G03", Error, "No way leads from a step to an end", Proof(dead_end)),
    rule!("G04", Error, "Steps lead back to themselves without a bound", Proof(endless_loop)),
    rule!("G05", Error, "No way leads to the end", Proof(never_done)),
    rule!("G06", Error, "With one variant no way ends at done", Proof(variant_never_done)),
];

fn step_unreachable(context: &Context<'_>) -> Vec<Finding<Place>> {
    let unreachable: BTreeSet<_> = context.shape.unreachable.iter().copied().collect();
    let key = |id: &machine::NodeId| {
        let node = context.node(*id);
        (node.source, node.pointer.as_str())
    };
    // A step stands at several nodes: it is reached if one of them is.
    let reached: BTreeSet<_> = (0..context.machine.nodes.len() as u32)
        .map(machine::NodeId)
        .filter(|id| !unreachable.contains(id))
        .collect();
    let reached: BTreeSet<_> = reached.iter().map(key).collect();
    let mut told = BTreeSet::new();
    let mut findings = Vec::new();
    for id in &context.shape.unreachable {
        let node = context.node(*id);
        if reached.contains(&key(id)) || !told.insert(key(id)) {
            continue;
        }
        findings.push(
            Finding::at_place(
                context.id_place(node),
                format!("nothing leads to {}", context.step_words(node)),
            )
            .help("lead to it with `then`, `otherwise` or an answer, or take it out"),
        );
    }
    findings
}

fn step_never_reached(context: &Context<'_>) -> Vec<Finding<Place>> {
    // After a fault runs are cut short: only a clean, whole exploration tells.
    if context.proof.ended.is_some() || !context.proof.refuted.is_empty() {
        return Vec::new();
    }
    let unreachable: BTreeSet<_> = context.shape.unreachable.iter().copied().collect();
    let ids = || (0..context.machine.nodes.len() as u32).map(NodeId);
    let key = |id: NodeId| (context.node(id).source, context.node(id).pointer.as_str());
    let reached: BTreeSet<_> = ids().filter(|id| context.proof.reached[id.0 as usize]).map(key).collect();
    let mut told = BTreeSet::new();
    ids()
        .filter(|id| context.node(*id).kind != NodeKind::End && !unreachable.contains(id))
        .filter(|id| !reached.contains(&key(*id)) && told.insert(key(*id)))
        .map(|id| {
            let node = context.node(id);
            Finding::at_place(
                context.id_place(node),
                format!("{} is never reached, whatever is true at the start", context.step_words(node)),
            )
            .help("what would lead to it is never so: look at the answers, `otherwise` and `only` before it")
        })
        .collect()
}

fn dead_end(context: &Context<'_>) -> Vec<Finding<Place>> {
    let mut told = BTreeSet::new();
    let ids = context.shape.endless.iter();
    ids.map(|&id| context.node(id))
        .filter(|node| told.insert((node.source, node.pointer.as_str())))
        .map(|node| {
            let message = format!("from {} no way leads to `done` or `stop`", context.step_words(node));
            Finding::at_place(context.id_place(node), message).help("give the loop it is caught in a way out")
        })
        .collect()
}

fn endless_loop(context: &Context<'_>) -> Vec<Finding<Place>> {
    let loops = context.shape.loops.iter();
    loops
        .filter_map(|nodes| {
            let first = context.node(*nodes.first()?);
            let mut steps: Vec<String> = Vec::new();
            for node in nodes.iter().map(|&id| context.node(id)) {
                let word = format!("{} `{}`", step_number(&node.pointer), node.path);
                if !steps.contains(&word) {
                    steps.push(word);
                }
            }
            let message = format!("{} leads back to itself without a bound", context.step_words(first));
            Some(
                Finding::at_place(context.id_place(first), message)
                    .trace(vec![format!("the loop: {}", steps.join(", "))])
                    .help("put the steps into a `repeat` with `until`, `at_most` and `otherwise`"),
            )
        })
        .collect()
}

fn never_done(context: &Context<'_>) -> Vec<Finding<Place>> {
    if !context.shape.never_done {
        return Vec::new();
    }
    let place = context.procedure.place("/procedure");
    let message = format!("no way leads to the end of `{}`", context.machine.procedure);
    vec![Finding::at_place(place, message).help("let one of the steps lead to `done`, or past the last step")]
}

fn variant_never_done(context: &Context<'_>) -> Vec<Finding<Place>> {
    // After a fault runs are cut short: only a clean, whole exploration tells.
    if context.proof.ended.is_some() || !context.proof.refuted.is_empty() || context.shape.never_done {
        return Vec::new();
    }
    let never = context.proof.never_done.iter();
    never
        .map(|cube| {
            let procedure = &context.machine.procedure;
            let message = if cube.0.is_empty() {
                format!("`{procedure}` never comes to `done`, whatever is found")
            } else {
                let variant = cube_words(&context.machine.layout, cube);
                format!("with {variant}, `{procedure}` never comes to `done`, whatever is found")
            };
            Finding::at_place(context.procedure.place("/procedure"), message)
                .help("look at the checks and the `only` keys on the way: one of them never lets it through")
        })
        .collect()
}
