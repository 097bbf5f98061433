//! Items of an any-order block that are alike: whoever takes one of them takes any.

use machine::{Choice, Conjunct, Effect, Guard, Machine, NodeId, NodeKind, STOP};
use std::collections::BTreeMap;

/// The items of a block that are alike, each with its nodes in the same order.
pub(crate) type Alike = Vec<(u8, Vec<NodeId>)>;

/// Where an outcome leads, counted within the item.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
enum To {
    /// The node of the item that was come to in this place.
    Inside(usize),
    /// Back to where items are chosen, or out of the block.
    Outside(NodeId),
}

/// One way to leave a node of an item.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Way {
    choice: Choice,
    guard: (u8, Vec<(u32, u64)>),
    waits: Vec<(Vec<(u32, u64)>, u64)>,
    effects: Vec<(u8, u32, u64)>,
    duty: u8,
    to: To,
}

/// All that decides what comes of a node, without its name.
#[derive(PartialEq, Eq, PartialOrd, Ord)]
struct Shape {
    is_stood_at: bool,
    kind: u8,
    needs: Vec<(u32, u64)>,
    ways: Vec<Way>,
}

/// The items of a block by what comes of them.
pub(crate) fn alike(machine: &Machine, choosing: NodeId) -> Vec<Alike> {
    let mut classes: BTreeMap<Vec<Shape>, Alike> = BTreeMap::new();
    for outcome in &machine.node(choosing).outcomes {
        if let Choice::Item(item) = outcome.choice {
            let (shapes, nodes) = shapes(machine, choosing, outcome.to.node);
            classes.entry(shapes).or_default().push((item, nodes));
        }
    }
    classes.into_values().collect()
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
            let to = if to == choosing || to == STOP || machine.node(to).block != block {
                To::Outside(to)
            } else {
                let at = nodes.iter().position(|&known| known == to).unwrap_or(nodes.len());
                if at == nodes.len() {
                    nodes.push(to);
                }
                To::Inside(at)
            };
            let guard = match &outcome.guard {
                Guard::Always => (0, Vec::new()),
                Guard::Is(cube) => (1, cube.0.iter().map(conjunct).collect()),
                Guard::IsNot(cube) => (2, cube.0.iter().map(conjunct).collect()),
            };
            let wait =
                |(cube, millis): &(machine::Cube, u64)| (cube.0.iter().map(conjunct).collect(), *millis);
            Way {
                choice: outcome.choice,
                guard,
                waits: outcome.waits.iter().map(wait).collect(),
                effects: outcome.effects.iter().copied().map(effect).collect(),
                duty: duty(outcome.duty),
                to,
            }
        });
        let ways = ways.collect();
        let needs = node.needs.iter().map(|need| conjunct(&need.conjunct)).collect();
        shapes.push(Shape { is_stood_at: node.is_stood_at(), kind: kind(node.kind), needs, ways });
    }
    (shapes, nodes)
}

fn conjunct(of: &Conjunct) -> (u32, u64) {
    (of.var.0, of.set)
}

fn effect(of: Effect) -> (u8, u32, u64) {
    match of {
        Effect::Write(set) => (0, set.var.0, set.set),
        Effect::Open(var) => (1, var.0, 0),
        Effect::Look(set) => (2, set.var.0, set.set),
        Effect::Find(set) => (3, set.var.0, set.set),
        Effect::Lose(var) => (4, var.0, 0),
        Effect::Verify(var) => (5, var.0, 0),
    }
}

fn duty(of: machine::Duty) -> u8 {
    match of {
        machine::Duty::Nothing => 0,
        machine::Duty::May => 1,
        machine::Duty::Mend => 2,
        machine::Duty::Absent => 3,
    }
}

fn kind(of: NodeKind) -> u8 {
    match of {
        NodeKind::End => 0,
        NodeKind::Route => 1,
        NodeKind::Enter => 2,
        NodeKind::Act => 3,
        NodeKind::InAct { .. } => 4,
        NodeKind::Follows { .. } => 5,
        NodeKind::Tick(_) => 6,
        NodeKind::Measure { .. } => 7,
        NodeKind::Wait => 8,
        NodeKind::Ask => 9,
        NodeKind::Hold => 10,
        NodeKind::AnyOrder { .. } => 11,
        NodeKind::Verify { .. } => 12,
    }
}
