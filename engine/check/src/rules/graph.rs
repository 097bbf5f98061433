//! The graph of steps.

use crate::context::Context;
use crate::rounds::way_back;
use crate::rule::{Finding, Rule};
use crate::words::cube_words;
use document::{Place, SourceId};
use machine::{Cube, NodeId, NodeKind, Phase, step_number};
use std::collections::BTreeSet;

pub(super) const RULES: &[Rule] = &[
    rule!("G01", Error, "No way leads to a step", Proof(step_unreachable)),
    rule!(
        "G02",
        Warning,
        "A step is never done, whatever is true and whatever is seen",
        Proof(step_never_reached)
    ),
    rule!("G03", Error, "No way leads from a step to an end", Proof(dead_end)),
    rule!("G04", Error, "Steps lead back to themselves without a bound", Proof(endless_loop)),
    rule!("G05", Error, "No way leads to the end", Proof(never_done)),
    rule!("G06", Error, "With one variant no way ends at done", Proof(variant_never_done)),
    rule!("G08", Warning, "Only a surprise leads to done", Proof(by_surprise_alone)),
];

fn step_unreachable(context: &Context<'_>) -> Vec<Finding<Place>> {
    let unreachable: BTreeSet<NodeId> = context.shape.unreachable.iter().copied().collect();
    let lost = Lost::new(context, |id| !unreachable.contains(&id), |_| true);
    let told = lost.by_cause().into_iter();
    told.map(|(id, also)| {
        let node = context.node(id);
        let message = format!("nothing leads to {}", context.step_words(node));
        Finding::at_place(context.id_place(node), message)
            .cause(context.cause_at(node, ""))
            .also(also)
            .help("lead to it with `then`, `otherwise` or an answer, or take it out")
    })
    .collect()
}

fn step_never_reached(context: &Context<'_>) -> Vec<Finding<Place>> {
    // After a fault runs are cut short: only a clean, whole exploration tells.
    if context.proof.ended.is_some() || !context.proof.refuted.is_empty() {
        return Vec::new();
    }
    let unreachable: BTreeSet<NodeId> = context.shape.unreachable.iter().copied().collect();
    // A step for some variants is done where its variant comes to it. Of a performed one another procedure may do more.
    let is_passed = |id: NodeId| {
        let node = context.node(id);
        node.phase == Phase::Only && node.procedure == context.machine.procedure
    };
    let reached = |id: NodeId| context.proof.reached[id.0 as usize] && !is_passed(id);
    let lost = Lost::new(context, reached, |id| !unreachable.contains(&id));
    let told = lost.by_cause().into_iter();
    told.map(|(id, also)| {
        let node = context.node(id);
        let message = format!(
            "{} is never done: no answer, no look that says otherwise and no variant leads to it",
            context.step_words(node)
        );
        Finding::at_place(context.id_place(node), message)
            .also(also)
            .help("look at the answers, `otherwise` and `only` before it, or take it out")
    })
    .collect()
}

/// The steps that are reached at none of their nodes.
struct Lost<'c, 'a> {
    context: &'c Context<'a>,
    /// Their nodes in written order.
    nodes: BTreeSet<NodeId>,
}

impl<'c, 'a> Lost<'c, 'a> {
    /// A step stands at several nodes: it is reached if one of them is. Only what `counts` is looked at.
    fn new(
        context: &'c Context<'a>,
        reached: impl Fn(NodeId) -> bool,
        counts: impl Fn(NodeId) -> bool,
    ) -> Self {
        let ids = || (0..context.machine.nodes.len() as u32).map(NodeId);
        let is_step = |id: &NodeId| context.node(*id).kind != NodeKind::End;
        let found: BTreeSet<_> = ids().filter(|id| reached(*id)).map(|id| step_key(context, id)).collect();
        let nodes =
            ids().filter(is_step).filter(|id| counts(*id) && !found.contains(&step_key(context, *id)));
        Self { context, nodes: nodes.collect() }
    }

    /// The first step of each part that is lost, with the places of the others, which are lost with it: mending the
    /// first mends them.
    fn by_cause(&self) -> Vec<(NodeId, Vec<Place>)> {
        let mut inner = BTreeSet::new();
        for &id in &self.nodes {
            let outcomes = self.context.node(id).outcomes.iter().map(|outcome| outcome.to.node);
            inner.extend(outcomes.filter(|to| *to != id));
        }
        // Steps that only lead to each other have no first one but by their order.
        let (first, rest): (Vec<NodeId>, Vec<NodeId>) = self.nodes.iter().partition(|id| !inner.contains(id));
        let mut told = BTreeSet::new();
        let mut causes = Vec::new();
        for id in first.into_iter().chain(rest) {
            if !told.insert(step_key(self.context, id)) {
                continue;
            }
            let (mut also, mut open, mut seen) = (Vec::new(), vec![id], BTreeSet::new());
            while let Some(at) = open.pop() {
                if !self.nodes.contains(&at) || !seen.insert(at) {
                    continue;
                }
                if told.insert(step_key(self.context, at)) {
                    also.push(self.context.id_place(self.context.node(at)));
                }
                open.extend(self.context.node(at).outcomes.iter().map(|outcome| outcome.to.node));
            }
            also.sort_unstable();
            causes.push((id, also));
        }
        causes
    }
}

/// By what the nodes of one step are the same.
fn step_key<'c>(context: &'c Context<'_>, id: NodeId) -> (SourceId, &'c str) {
    let node = context.node(id);
    (node.source, node.pointer.as_str())
}

fn dead_end(context: &Context<'_>) -> Vec<Finding<Place>> {
    let mut told = BTreeSet::new();
    let ids = context.shape.endless.iter();
    ids.map(|&id| context.node(id))
        .filter(|node| told.insert((node.source, node.pointer.as_str())))
        .map(|node| {
            let message = format!("from {} no way leads to `done` or `stop`", context.step_words(node));
            Finding::at_place(context.id_place(node), message)
                .cause(context.cause_at(node, ""))
                .help("give the loop it is caught in a way out")
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
            let back = way_back(context.library, context.machine, context.shape, nodes);
            let help = back.map_or_else(
                || "put the steps into a `repeat` with `until`, `at_most` and `otherwise`".to_owned(),
                |back| back.help(),
            );
            Some(
                Finding::at_place(context.id_place(first), message)
                    .cause(context.cause_at(first, ""))
                    .trace(vec![format!("the loop: {}", steps.join(", "))])
                    .help(help),
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
            let of = with_variants(context, cube);
            let message = format!("{of}`{procedure}` never comes to `done`, whatever is found");
            Finding::at_place(context.procedure.place("/procedure"), message)
                .help("look at the checks and the `only` keys on the way: one of them never lets it through")
        })
        .collect()
}

/// "with hose 12 m, "; nothing where variants do not decide it.
fn with_variants(context: &Context<'_>, variants: &Cube) -> String {
    if variants.0.is_empty() {
        return String::new();
    }
    format!("with {}, ", cube_words(&context.machine.layout, variants))
}

fn by_surprise_alone(context: &Context<'_>) -> Vec<Finding<Place>> {
    if context.shape.never_done {
        return Vec::new();
    }
    let told = context.proof.by_surprise.iter().map(|one| {
        let procedure = &context.machine.procedure;
        let of = with_variants(context, &one.variants);
        let Some(look) = one.look else {
            let message =
                format!("{of}`{procedure}` comes to `done` only where a look says otherwise than the record");
            return Finding::at_place(context.procedure.place("/procedure"), message).help(BY_SURPRISE);
        };
        let node = context.node(look);
        let message = format!(
            "{of}`{procedure}` comes to `done` only where {} finds otherwise than is on record",
            context.step_words(node)
        );
        Finding::at_place(context.key(node, &context.look_key(node)), message)
            .cause(context.cause_at(node, "only a surprise"))
            .help(BY_SURPRISE)
    });
    told.collect()
}

const BY_SURPRISE: &str = "an act before the look is missing, or the look asks for the wrong value";
