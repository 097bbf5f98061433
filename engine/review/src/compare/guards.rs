//! Which gates stand before which steps, whatever way is taken.
//!
//! A step is guarded by a gate if no way leads to it once the gate's good outcomes are taken away. A gate that was
//! passed over, moved behind the act it guarded, or whose failure leads on all the same, guards fewer steps.

use super::change::{Change, Class};
use super::matching::{Matching, Steps};
use super::pair::{Pair, place};
use super::side::Side;
use super::what::What;
use document::model::Kind;
use machine::{Choice, LookKind, Machine, NodeKind};
use std::collections::{BTreeMap, BTreeSet};

/// What one revision's gates guard, all by numbers in written order.
struct Guards {
    /// For every gate the steps that it guards.
    of: BTreeMap<usize, BTreeSet<usize>>,
    /// The steps that some way leads to. What nothing leads to is guarded by nothing, and another finding.
    ever: BTreeSet<usize>,
}

pub(super) fn compare(pair: &Pair<'_>, old: &Steps<'_>, new: &Steps<'_>, matching: &Matching) -> Vec<Change> {
    let (Some(before), Some(after)) = (guards(pair.old, old), guards(pair.new, new)) else {
        return Vec::new();
    };
    let mut changes = Vec::new();
    for (&a, was) in &before.of {
        let Some(&b) = matching.new_of.get(&a) else { continue };
        let is = after.of.get(&b).cloned().unwrap_or_default();
        let was: BTreeSet<usize> = was.iter().filter_map(|step| matching.new_of.get(step)).copied().collect();
        let in_both = |step: &&usize| {
            let old = matching.old_of.get(step);
            after.ever.contains(step) && old.is_some_and(|old| before.ever.contains(old))
        };
        let lost: Vec<usize> = was.difference(&is).filter(in_both).copied().collect();
        let won: Vec<usize> = is.difference(&was).filter(in_both).copied().collect();
        let gate = &new.all[b].1.common.id;
        for (steps, class, what, word) in [
            (lost, Class::Weakened, What::GateBypassed, "no longer stands before"),
            (won, Class::Strengthened, What::GateReachesFurther, "now stands before"),
        ] {
            if let Some(&first) = steps.first() {
                let named: Vec<String> =
                    steps.iter().take(3).map(|&step| format!("`{}`", new.all[step].1.common.id)).collect();
                let more =
                    if steps.len() > 3 { format!(" and {} more", steps.len() - 3) } else { String::new() };
                let message = format!("`{gate}` {word} {}{more} on every way", named.join(", "));
                let old_place =
                    matching.old_of.get(&first).and_then(|&at| place(pair.old, &old.all[at].0, "id"));
                changes.push(
                    Change::safety(class, what, message)
                        .at(old_place, place(pair.new, &new.all[first].0, "id")),
                );
            }
        }
    }
    changes
}

fn guards(side: &Side<'_>, steps: &Steps<'_>) -> Option<Guards> {
    let machine = side.checked?.machine.as_ref()?;
    let number: BTreeMap<&str, usize> =
        steps.all.iter().enumerate().map(|(at, (pointer, _))| (pointer.as_str(), at)).collect();
    let own = |node: &machine::Node| {
        if node.procedure == machine.procedure { number.get(node.pointer.as_str()).copied() } else { None }
    };
    // A block in any order is a place to choose, and an ending question of a repeat belongs to the repeat.
    let acts = |at: usize| !matches!(steps.all[at].1.kind, Kind::AnyOrder(_) | Kind::Repeat(_));
    let mut gates: BTreeSet<usize> = BTreeSet::new();
    for node in &machine.nodes {
        gates.extend(own(node).filter(|_| is_gate(node)));
    }
    let open = reached(machine, |_| false);
    let ever =
        (0..machine.nodes.len()).filter(|&at| open[at]).filter_map(|at| own(&machine.nodes[at])).collect();
    let mut guards = Guards { of: BTreeMap::new(), ever };
    for gate in gates {
        let reached = reached(machine, |node| own(node) == Some(gate) && is_gate(node));
        let guarded = (0..machine.nodes.len())
            .filter(|&at| !reached[at])
            .filter_map(|at| own(&machine.nodes[at]))
            .filter(|&at| at != gate && acts(at))
            .collect();
        guards.of.insert(gate, guarded);
    }
    Some(guards)
}

/// Whether it holds people back: a look, a wait, a hold point, and what a second person says of an act that is done. The
/// question that ends a round belongs to its repeat.
fn is_gate(node: &machine::Node) -> bool {
    match node.kind {
        NodeKind::Tick(tick) => match tick.look {
            LookKind::Confirm | LookKind::Until => true,
            LookKind::Round { .. } => false,
        },
        NodeKind::Measure { .. } | NodeKind::Wait | NodeKind::Hold | NodeKind::Verify { .. } => true,
        NodeKind::End
        | NodeKind::Route
        | NodeKind::Enter
        | NodeKind::Act
        | NodeKind::InAct { .. }
        | NodeKind::Follows { .. }
        | NodeKind::Ask
        | NodeKind::AnyOrder { .. } => false,
    }
}

/// What can be reached when the good outcomes of the shut nodes are taken away.
fn reached(machine: &Machine, shut: impl Fn(&machine::Node) -> bool) -> Vec<bool> {
    let mut reached = vec![false; machine.nodes.len()];
    let mut open = vec![machine.entry];
    while let Some(id) = open.pop() {
        if std::mem::replace(&mut reached[id.0 as usize], true) {
            continue;
        }
        let node = machine.node(id);
        let shut = shut(node);
        for outcome in &node.outcomes {
            // A step that is passed over for some machines guards nothing for them.
            let good = match outcome.choice {
                Choice::Done | Choice::Pass | Choice::Answer(_) | Choice::Item(_) | Choice::AllItems => true,
                Choice::Fail | Choice::Is(_) | Choice::CannotTell | Choice::PassedOver | Choice::Applies => {
                    false
                }
            };
            if !(shut && good) {
                open.push(outcome.to.node);
            }
        }
    }
    reached
}
