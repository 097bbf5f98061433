//! Items of an any-order block that are alike: whoever takes one of them takes any.

use machine::{Conjunct, Goto, Machine, NodeId, NodeKind, Outcome, STOP};
use std::mem::{Discriminant, discriminant};

/// The items of a block that are alike, each with its nodes in the same order.
pub(crate) type Alike = Vec<(u8, Vec<NodeId>)>;

/// All that decides what comes of a node, without its name.
#[derive(PartialEq)]
struct Shape {
    is_stood_at: bool,
    kind: Discriminant<NodeKind>,
    needs: Vec<Conjunct>,
    /// The ways to leave it. Where one leads within the item, the node is counted in the order in which they are come to.
    ways: Vec<(bool, Outcome)>,
}

/// The items of a block by what comes of them.
pub(crate) fn alike(machine: &Machine, choosing: NodeId) -> Vec<Alike> {
    let mut classes: Vec<(Vec<Shape>, Alike)> = Vec::new();
    for outcome in &machine.node(choosing).outcomes {
        if let Some(item) = outcome.choice.item() {
            let (shapes, nodes) = shapes(machine, choosing, outcome.to.node);
            match classes.iter_mut().find(|(of, _)| *of == shapes) {
                Some((_, alike)) => alike.push((item, nodes)),
                None => classes.push((shapes, vec![(item, nodes)])),
            }
        }
    }
    classes.into_iter().map(|(_, alike)| alike).collect()
}

/// The nodes of an item in the order in which they are come to, and what each is.
fn shapes(machine: &Machine, choosing: NodeId, first: NodeId) -> (Vec<Shape>, Vec<NodeId>) {
    let block = machine.node(choosing).block;
    let mut nodes = vec![first];
    let mut shapes = Vec::new();
    while let Some(&id) = nodes.get(shapes.len()) {
        let node = machine.node(id);
        let ways = node.outcomes.iter().map(|outcome| {
            let to = outcome.to.node;
            let is_inside = to != choosing && to != STOP && machine.node(to).block == block;
            let to = if is_inside {
                let at = nodes.iter().position(|&known| known == to).unwrap_or(nodes.len());
                if at == nodes.len() {
                    nodes.push(to);
                }
                NodeId(at as u32)
            } else {
                to
            };
            // Which item it ends is what tells one from another.
            (is_inside, Outcome { to: Goto::to(to), ..outcome.clone() })
        });
        let ways = ways.collect();
        let needs = node.needs.iter().map(|need| need.conjunct).collect();
        let kind = discriminant(&node.kind);
        shapes.push(Shape { is_stood_at: node.is_stood_at(), kind, needs, ways });
    }
    (shapes, nodes)
}
