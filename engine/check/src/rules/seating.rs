//! Fasteners on every way through the graph.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use document::Place;
use document::model::{Fasten, Kind, Pass};
use machine::NodeId;
use std::collections::BTreeSet;

pub(super) const RULES: &[Rule] =
    &[rule!("G07", Error, "Fasteners are tightened before all of them are seated", Proof(not_seated))];

fn not_seated(context: &Context<'_>) -> Vec<Finding<Place>> {
    let mut found = Vec::new();
    let mut told = BTreeSet::new();
    for id in (0..context.machine.nodes.len() as u32).map(NodeId) {
        let Some(loosened) = fasten(context, id).filter(|fasten| fasten.pass == Pass::Loosen) else {
            continue;
        };
        for tight in reached_unseated(context, id, loosened) {
            let (from, to) = (context.node(id), context.node(tight));
            let place = context.key(to, "fasten");
            if told.insert((place, context.key(from, "fasten"))) {
                let name = &loosened.fasteners;
                found.push(
                    Finding::at_place(place,
                        format!(
                            "{} tightens `{name}`, and a way leads here on which they were loosened and not seated",
                            context.step_words(to)
                        ),
                    )
                    .note(context.key(from, "fasten"), "loosened here")
                    .help(format!(
                        "seat all of them first: `fasten: {{ fasteners: {name}, pass: seat }}` on every way from there"
                    )),
                );
            }
        }
    }
    found
}

/// The pass over fasteners that a node makes, if it makes one.
fn fasten<'a>(context: &'a Context<'_>, id: NodeId) -> Option<&'a Fasten> {
    let node = context.node(id);
    let step = context.document(node).model.step_at(&node.pointer)?;
    if let Kind::Fasten(fasten) = &step.kind { Some(fasten) } else { None }
}

/// Every node that tightens the group and can be come to from `from` without one that seats or loosens it in between.
fn reached_unseated(context: &Context<'_>, from: NodeId, group: &Fasten) -> Vec<NodeId> {
    let mut seen = BTreeSet::from([from]);
    let mut open = vec![from];
    let mut tightened = Vec::new();
    while let Some(id) = open.pop() {
        for outcome in &context.node(id).outcomes {
            let next = outcome.to.node;
            if !seen.insert(next) {
                continue;
            }
            match fasten(context, next).filter(|other| other.fasteners == group.fasteners) {
                Some(other) if other.pass == Pass::Tighten => tightened.push(next),
                Some(_) => {}
                None => open.push(next),
            }
        }
    }
    tightened.sort_unstable();
    tightened
}
