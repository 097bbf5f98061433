//! Which items of a block a view follows: those that have nothing to do with what it speaks of are left out.

use machine::{Machine, Node, NodeKind, Outcome, STOP, VarId, Vars};
use std::collections::BTreeSet;

/// Blocks of which some items can be left out, with those that are followed, one bit each: the item `wanted` among them.
pub(super) fn followed(machine: &Machine, vars: &Vars, wanted: Option<(u32, u8)>) -> Vec<(u32, u32)> {
    let mut all = Vec::new();
    for node in &machine.nodes {
        let (NodeKind::AnyOrder { .. }, Some(block)) = (node.kind, node.block) else { continue };
        let items: Vec<u8> = node.outcomes.iter().filter_map(|outcome| outcome.choice.item()).collect();
        let mut out: BTreeSet<u8> = items
            .iter()
            .copied()
            .filter(|&item| wanted != Some((block, item)) && is_beside(machine, vars, block, item))
            .collect();
        loop {
            let stays = |item: &u8| offered_by(machine, block, *item).iter().all(|of| out.contains(of));
            let fewer: BTreeSet<u8> = out.iter().copied().filter(stays).collect();
            if fewer.len() == out.len() {
                break;
            }
            out = fewer;
        }
        if !out.is_empty() {
            let kept = items.iter().filter(|item| !out.contains(item));
            all.push((block, kept.fold(0, |all, item| all | 1 << item)));
        }
    }
    all.sort_unstable();
    all
}

/// What looks of items that are followed are about, if they may offer another one again.
pub(super) fn deciding(machine: &Machine, followed: &[(u32, u32)]) -> BTreeSet<VarId> {
    let is_followed = |block: u32, item: u8| {
        followed.iter().find(|(of, _)| *of == block).is_none_or(|(_, items)| items >> item & 1 == 1)
    };
    let mut all = BTreeSet::new();
    for node in &machine.nodes {
        let Some((block, item)) = node.block.zip(node.item) else { continue };
        let effects = node.outcomes.iter().flat_map(|outcome| &outcome.effects);
        let offering = effects
            .filter(|effect| machine.offers(node, **effect).is_some_and(|other| is_followed(block, other)));
        if is_followed(block, item) {
            all.extend(offering.map(|effect| effect.var()));
        }
    }
    all
}

/// The blocks in which a node of an item left out leads to the stop.
pub(super) fn stopped_beside(machine: &Machine, followed: &[(u32, u32)]) -> BTreeSet<u32> {
    let is_out =
        |block: u32, item: u8| followed.iter().any(|(of, items)| *of == block && items >> item & 1 == 0);
    let stops = |node: &&Node| node.outcomes.iter().any(|outcome| outcome.to.node == STOP);
    let items = machine.nodes.iter().filter(stops).filter_map(|node| node.block.zip(node.item));
    items.filter(|&(block, item)| is_out(block, item)).map(|(block, _)| block).collect()
}

/// Whether one view follows whatever the other follows.
pub(super) fn are_within(one: &[(u32, u32)], other: &[(u32, u32)]) -> bool {
    other.iter().all(|(block, theirs)| one.iter().any(|(of, mine)| of == block && mine & !theirs == 0))
}

/// The nodes of an item.
fn nodes(machine: &Machine, block: u32, item: u8) -> impl Iterator<Item = &Node> {
    machine.nodes.iter().filter(move |node| node.block == Some(block) && node.item == Some(item))
}

/// Whether an item leads nowhere out of its block but to the stop, and changes nothing of these variables.
fn is_beside(machine: &Machine, vars: &Vars, block: u32, item: u8) -> bool {
    let outcomes = || nodes(machine, block, item).flat_map(|node| &node.outcomes);
    let stays = outcomes()
        .all(|outcome| outcome.to.node == STOP || machine.node(outcome.to.node).block == Some(block));
    let ends = |written| machine.consequences(written).changed.into_iter().any(|var| vars.has(var));
    let written = outcomes().flat_map(|outcome| &outcome.effects).map(|effect| effect.var()).collect();
    let waits = outcomes().any(|outcome| !outcome.waits.is_empty());
    let settled = || machine.settling.iter().map(|settling| settling.var).collect();
    let tests = outcomes().flat_map(Outcome::tested).any(|var| vars.has(var));
    let meets = tests || ends(written) || waits && ends(settled());
    stays && !meets
}

/// The items that a look of an item may offer again.
fn offered_by(machine: &Machine, block: u32, item: u8) -> BTreeSet<u8> {
    let offers = nodes(machine, block, item).flat_map(|node| {
        let effects = node.outcomes.iter().flat_map(|outcome| &outcome.effects);
        effects.filter_map(|&effect| machine.offers(node, effect))
    });
    offers.collect()
}
