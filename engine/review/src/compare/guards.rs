//! Which gates stand before which steps, whatever way is taken.
//!
//! A step is guarded by a gate if no way leads to it once the gate's good outcomes are taken away. A gate that was
//! passed over, moved behind the act it guarded, or whose failure leads on all the same, guards fewer steps.

use super::change::{Change, Class};
use super::matching::{Matching, Steps};
use super::pair::{Pair, place};
use super::sets::{Count, FIRST, NONE, Set, Sets};
use super::side::Side;
use super::what::What;
use document::model::Kind;
use machine::{Choice, LookKind, Machine, NodeKind};
use petgraph::Direction::Incoming;
use petgraph::graph::{DiGraph, NodeIndex};
use petgraph::visit::{DfsPostOrder, EdgeRef};
use std::collections::{BTreeMap, BTreeSet};

pub(super) fn compare(pair: &Pair<'_>, old: &Steps<'_>, new: &Steps<'_>, matching: &Matching) -> Vec<Change> {
    let (Some(before), Some(after)) = (Ways::of(pair.old, old), Ways::of(pair.new, new)) else {
        return Vec::new();
    };
    // Gates and steps go by their numbers in the new revision; a gate that is gone was told already.
    let gates: Vec<usize> =
        before.gates.iter().filter_map(|gate| matching.new_of.get(gate)).copied().collect();
    let known: BTreeSet<usize> = gates.iter().copied().collect();
    let mut sets = Sets::below(new.all.len());
    let was = before.guarded(&mut sets, |gate| matching.new_of.get(&gate).copied());
    let is = after.guarded(&mut sets, |gate| known.contains(&gate).then_some(gate));
    let (mut lost, mut won) = (Vec::new(), Vec::new());
    for (&step, &old) in &matching.old_of {
        // What nothing leads to is guarded by nothing, and another finding.
        if before.ever[old] && after.ever[step] {
            lost.push((step, sets.without(was[old], is[step])));
            won.push((step, sets.without(is[step], was[old])));
        }
    }
    let (lost, won) = (sets.count(lost), sets.count(won));
    let mut changes = Vec::new();
    for gate in gates {
        let name = &new.all[gate].1.common.id;
        for (counts, class, what, word) in [
            (&lost, Class::Weakened, What::GateBypassed, "no longer stands before"),
            (&won, Class::Strengthened, What::GateReachesFurther, "now stands before"),
        ] {
            let Some(Count { all, first }) = counts.get(&gate) else { continue };
            let named: Vec<String> =
                first.iter().map(|&step| format!("`{}`", new.all[step].1.common.id)).collect();
            let more = if *all > FIRST { format!(" and {} more", all - FIRST) } else { String::new() };
            let message = format!("`{name}` {word} {}{more} on every way", named.join(", "));
            let old_place =
                matching.old_of.get(&first[0]).and_then(|&at| place(pair.old, &old.all[at].0, "id"));
            let new_place = place(pair.new, &new.all[first[0]].0, "id");
            changes.push(Change::safety(class, what, message).at(old_place, new_place));
        }
    }
    changes
}

/// The ways through one revision, its steps by their numbers in written order.
struct Ways<'a> {
    machine: &'a Machine,
    /// For each node the step that it belongs to; none inside a procedure that is performed.
    step_of: Vec<Option<usize>>,
    gates: BTreeSet<usize>,
    /// For each step whether some way leads to it.
    ever: Vec<bool>,
    /// For each step whether it is a place of work: a block in any order is a place to choose, and the question that ends a
    /// round belongs to its repeat.
    acts: Vec<bool>,
    /// For each way on whether it is the good outcome of a gate.
    graph: DiGraph<(), bool>,
    /// All nodes that some way leads to, those that lead to others before them, but for ways back.
    order: Vec<NodeIndex>,
}

impl<'a> Ways<'a> {
    fn of(side: &Side<'a>, steps: &Steps<'_>) -> Option<Self> {
        let machine = side.machine()?;
        let number: BTreeMap<&str, usize> =
            steps.all.iter().enumerate().map(|(at, (pointer, _))| (pointer.as_str(), at)).collect();
        let own = |node: &machine::Node| {
            if node.procedure == machine.procedure {
                number.get(node.pointer.as_str()).copied()
            } else {
                None
            }
        };
        let step_of: Vec<Option<usize>> = machine.nodes.iter().map(own).collect();
        let mut gates = BTreeSet::new();
        let mut graph = DiGraph::with_capacity(machine.nodes.len(), machine.nodes.len());
        machine.nodes.iter().for_each(|_| {
            graph.add_node(());
        });
        for (at, node) in machine.nodes.iter().enumerate() {
            let gate = step_of[at].filter(|_| is_gate(node));
            gates.extend(gate);
            for outcome in &node.outcomes {
                let good = gate.is_some() && is_good(outcome.choice);
                graph.add_edge(NodeIndex::new(at), NodeIndex::new(outcome.to.node.0 as usize), good);
            }
        }
        let mut order = Vec::new();
        let mut visited = DfsPostOrder::new(&graph, NodeIndex::new(machine.entry.0 as usize));
        while let Some(node) = visited.next(&graph) {
            order.push(node);
        }
        order.reverse();
        let mut ever = vec![false; steps.all.len()];
        for step in order.iter().filter_map(|node| step_of[node.index()]) {
            ever[step] = true;
        }
        let acts = |(_, step): &(_, &document::model::Step)| {
            !matches!(step.kind, Kind::AnyOrder(_) | Kind::Repeat(_))
        };
        let acts = steps.all.iter().map(acts).collect();
        Some(Self { machine, step_of, gates, ever, acts, graph, order })
    }

    /// For each step the gates that stand before some place of it on every way there, by the names given to them; of a place
    /// that no way leads to all of them. A gate without a name is left out, and none stands before itself.
    fn guarded(&self, sets: &mut Sets, name: impl Fn(usize) -> Option<usize>) -> Vec<Set> {
        let names: Vec<Option<usize>> = (0..self.ever.len())
            .map(|step| if self.gates.contains(&step) { name(step) } else { None })
            .collect();
        let all = names.iter().flatten().fold(NONE, |all, &name| sets.put(all, name, true));
        let passed = self.passed(sets, &names);
        let mut guarded = vec![NONE; self.ever.len()];
        for (step, passed) in self.step_of.iter().zip(passed) {
            if let Some(step) = step.filter(|&step| self.acts[step]) {
                guarded[step] = sets.either(guarded[step], passed.unwrap_or(all));
            }
        }
        for (guarded, name) in guarded.iter_mut().zip(&names) {
            if let Some(name) = name {
                *guarded = sets.put(*guarded, *name, false);
            }
        }
        guarded
    }

    /// For each node the gates that were passed on every way to it; none for a node that no way leads to.
    ///
    /// Each node is looked at once, and again where a way back brings less. Where every loop is entered at its head none does.
    fn passed(&self, sets: &mut Sets, names: &[Option<usize>]) -> Vec<Option<Set>> {
        let mut place = vec![0; self.machine.nodes.len()];
        for (at, node) in self.order.iter().enumerate() {
            place[node.index()] = at;
        }
        let mut passed: Vec<Option<Set>> = vec![None; self.machine.nodes.len()];
        let mut open: BTreeSet<usize> = (0..self.order.len()).collect();
        while let Some(at) = open.pop_first() {
            let node = self.order[at];
            // Nothing was passed at the start.
            let mut found = (at == 0).then_some(NONE);
            for way in self.graph.edges_directed(node, Incoming) {
                let Some(mut before) = passed[way.source().index()] else { continue };
                let gate = self.step_of[way.source().index()].and_then(|step| names[step]);
                if let (true, Some(gate)) = (*way.weight(), gate) {
                    before = sets.put(before, gate, true);
                }
                found = Some(found.map_or(before, |found| sets.both(found, before)));
            }
            if passed[node.index()] != found {
                passed[node.index()] = found;
                open.extend(self.graph.neighbors(node).map(|next| place[next.index()]));
            }
        }
        passed
    }
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

/// Whether a node is left by an outcome because what it holds people back for is so.
fn is_good(choice: Choice) -> bool {
    match choice {
        Choice::Done | Choice::Pass | Choice::Answer(_) | Choice::Item(_) | Choice::AllItems => true,
        // A step that is passed over for some machines guards nothing for them.
        Choice::Fail | Choice::Is(_) | Choice::CannotTell | Choice::PassedOver | Choice::Applies => false,
    }
}

#[cfg(test)]
mod tests {
    use super::{Sets, Side, Steps, Ways, is_gate, is_good};
    use crate::compare::sets::{NONE, Set};
    use document::InputFile;
    use document::model::Kind;
    use std::collections::BTreeSet;
    use std::fmt::Write;

    const EQUIPMENT: &str = "equipment: rig\ntitle: A rig\nrevision: 1\nconditions:\n  a: { values: [off, on], ask: Off? }\n  \
         b: { values: [off, on], ask: Off? }\nroles: { technician: Works. }\n";

    /// Steps of all kinds with ways to and fro, others for each seed.
    fn procedure(seed: u64, count: usize) -> String {
        let mut state = seed.wrapping_mul(0x9E37_79B9_7F4A_7C15) | 1;
        let mut below = |most: usize| {
            state ^= state << 13;
            state ^= state >> 7;
            state ^= state << 17;
            (state % most as u64) as usize
        };
        let mut text = "procedure: main\ntitle: A procedure\nequipment: rig\nrevision: 1\npurpose: Work.\nscope: All.\n\
             performers: { technician: 2 }\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
             spares: none\nwear: none\nsteps:\n"
            .to_owned();
        for at in 0..count {
            let to = format!("s{}", below(count));
            let what = match below(9) {
                0 | 1 => "do: Turn it.".to_owned(),
                2 => format!("confirm: {{ a: off, b: off }}, otherwise: {to}"),
                3 => format!("confirm: {{ a: off }}, otherwise: {to}"),
                4 => format!("ask: \"Is it?\", answers: {{ \"yes\": {to}, \"no\": s{} }}", below(count)),
                5 => "wait: { for: 30 s }".to_owned(),
                6 => format!("do: Turn it., then: {to}"),
                7 => format!(
                    "repeat: {{ steps: [{{ id: r{at}, do: Turn it. }}], until: {{ a: off }}, at_most: 2 }}, otherwise: {to}"
                ),
                _ => format!(
                    "any_order: [{{ id: i{at}, confirm: {{ b: off }}, otherwise: stop }}, {{ id: j{at}, do: Turn it. }}]"
                ),
            };
            let _ = writeln!(text, "  - {{ id: s{at}, {what} }}");
        }
        text
    }

    /// The gates that stand before each step are those without whose good outcomes some place of it is not come to.
    #[test]
    fn what_stands_before_a_step_is_what_shuts_it_off() {
        let mut guarded = 0;
        for seed in 0..200 {
            let file =
                |name: &str, text: String| InputFile { name: name.to_owned(), bytes: text.into_bytes() };
            let text = procedure(seed, 3 + seed as usize % 12);
            let reading =
                document::read(&[file("rig.yaml", EQUIPMENT.to_owned()), file("main.yaml", text.clone())]);
            let budget = check::Budget { boxes: 10_000, go_on: &|| true };
            let checked =
                check::check_one(&reading.library, &reading.findings, &"main".into(), &budget).unwrap();
            let side = Side::find(&reading.library, "main", Some(&checked)).unwrap();
            let steps = Steps::collect(&side.procedure.model);
            let Some(ways) = Ways::of(&side, &steps) else { panic!("{text}{:?}", reading.findings) };
            let mut sets = Sets::below(steps.all.len());
            let found = ways.guarded(&mut sets, Some);
            let mut wanted = vec![NONE; steps.all.len()];
            for &gate in &ways.gates {
                for step in shut_off(&ways, &steps, gate) {
                    wanted[step] = sets.put(wanted[step], gate, true);
                    guarded += 1;
                }
            }
            let told = |all: &[Set]| format!("{all:?}");
            assert_eq!(told(&found), told(&wanted), "seed {seed}\n{text}");
        }
        assert!(guarded > 1_000, "{guarded}");
    }

    fn shut_off(ways: &Ways<'_>, steps: &Steps<'_>, gate: usize) -> BTreeSet<usize> {
        let nodes = &ways.machine.nodes;
        let mut reached = vec![false; nodes.len()];
        let mut open = vec![ways.machine.entry.0 as usize];
        while let Some(at) = open.pop() {
            if !std::mem::replace(&mut reached[at], true) {
                let shut = ways.step_of[at] == Some(gate) && is_gate(&nodes[at]);
                let on = nodes[at].outcomes.iter().filter(|outcome| !(shut && is_good(outcome.choice)));
                open.extend(on.map(|outcome| outcome.to.node.0 as usize));
            }
        }
        let acts = |step: &usize| !matches!(steps.all[*step].1.kind, Kind::AnyOrder(_) | Kind::Repeat(_));
        let not = (0..nodes.len()).filter(|&at| !reached[at]).filter_map(|at| ways.step_of[at]);
        not.filter(|&step| step != gate).filter(acts).collect()
    }
}
