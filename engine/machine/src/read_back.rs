//! Backwards over the graph of nodes, until nothing more is read.

use crate::effects::Effects;
use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::{Choice, DONE, Node, NodeId, NodeKind, Outcome};
use crate::reads::{AtNode, Block, Items, Offering, Reads};
use crate::vars::Vars;
use std::collections::BTreeMap;

impl Reads {
    /// `at_done` is read there; without `steps` that alone counts, and what a wait for it counts under.
    pub(crate) fn new(machine: &Machine, effects: &Effects, at_done: &[VarId], steps: bool) -> Self {
        let of = |node: &Node| AtNode {
            read: Vars::none(effects.words),
            kept: Vars::none(effects.words),
            waited: Vec::new(),
            offering: Vec::new(),
            block: node.block,
            item: node.item,
        };
        let sustained = effects.sustained.keys().copied().collect();
        let nodes = machine.nodes.iter().map(of).collect();
        let mut all = Self { nodes, blocks: BTreeMap::new(), sustained };
        all.find_blocks(machine, effects.words);
        let at_done = Vars::of(effects.words, at_done.iter().copied());
        loop {
            let mut grown = false;
            for at in (0..machine.nodes.len()).rev() {
                grown |= all.update(machine, effects, NodeId(at as u32), &at_done, steps);
            }
            if !grown {
                return all;
            }
        }
    }

    fn find_blocks(&mut self, machine: &Machine, words: usize) {
        for (at, node) in machine.nodes.iter().enumerate() {
            let (NodeKind::AnyOrder { .. }, Some(id)) = (&node.kind, node.block) else { continue };
            let is_item = |outcome: &&Outcome| outcome.choice.item().is_some();
            let firsts = node.outcomes.iter().filter(is_item).map(|outcome| outcome.to.node).collect();
            let choosing = NodeId(at as u32);
            let block = Block { choosing, firsts, offered: Vec::new(), after: Vars::none(words) };
            self.blocks.insert(id, block);
        }
        for node in &machine.nodes {
            let Some(block) = node.block.and_then(|block| self.blocks.get_mut(&block)) else { continue };
            let effects = node.outcomes.iter().flat_map(|outcome| &outcome.effects);
            for item in effects.filter_map(|&effect| machine.offers(node, effect)) {
                if !block.offered.contains(&item) {
                    block.offered.push(item);
                }
            }
        }
        let waited = vec![Vars::none(words); self.sustained.len()];
        for node in self.nodes.iter_mut().filter(|node| node.item.is_some()) {
            let offered =
                node.block.and_then(|block| self.blocks.get(&block)).map_or(0, |of| of.offered.len());
            node.offering = vec![Offering { kept: Vars::none(words), waited: waited.clone() }; offered];
            node.waited.clone_from(&waited);
        }
    }

    /// What is read from a node on where it is entered from outside its block.
    fn on_entry(&self, node: NodeId) -> Vars {
        let mut set = self.nodes[node.0 as usize].read.clone();
        let block = self.nodes[node.0 as usize].block.and_then(|block| self.blocks.get(&block));
        if let Some(block) = block.filter(|block| block.choosing == node) {
            set.join(&self.with_open(block, Items { open: block.all(), again: 0 }));
        }
        set
    }

    fn update(
        &mut self,
        machine: &Machine,
        effects: &Effects,
        id: NodeId,
        at_done: &Vars,
        steps: bool,
    ) -> bool {
        let (at, node) = (id.0 as usize, machine.node(id));
        let (mut read, mut kept) = (self.nodes[at].read.clone(), self.nodes[at].kept.clone());
        if steps {
            node.needs.iter().for_each(|need| read.add(need.conjunct.var));
        }
        if id == DONE {
            read.join(at_done);
        }
        let (mut waited, mut offering) = (self.nodes[at].waited.clone(), self.nodes[at].offering.clone());
        let mut after_all = None;
        for outcome in &node.outcomes {
            let to = outcome.to.node;
            let inside = node.block.is_some() && machine.node(to).block == node.block;
            let ends_item = outcome.to.item.is_some();
            let further = match (ends_item, inside) {
                (true, _) => Vars::none(effects.words),
                (false, true) => self.nodes[to.0 as usize].read.clone(),
                (false, false) => self.on_entry(to),
            };
            match outcome.choice {
                // What items read is counted with those that are open.
                Choice::Item(_) => continue,
                Choice::AllItems => {
                    let after = after_all.get_or_insert_with(|| Vars::none(effects.words));
                    after.join(&effects.before(machine, outcome, further, steps));
                }
                Choice::Done
                | Choice::Pass
                | Choice::Fail
                | Choice::Is(_)
                | Choice::CannotTell
                | Choice::Answer(_)
                | Choice::Applies
                | Choice::PassedOver => read.join(&effects.before(machine, outcome, further, steps)),
            }
            let further = match (ends_item, inside) {
                (true, _) => effects.all(machine),
                (false, true) => self.nodes[to.0 as usize].kept.clone(),
                (false, false) => Vars::none(effects.words),
            };
            let kept_by_it = effects.kept(outcome, further);
            let after = if inside && !ends_item { &self.nodes[to.0 as usize].waited[..] } else { &[] };
            self.waits(effects, outcome, after, &kept_by_it, &mut waited);
            if inside {
                self.offer(machine, effects, (node, outcome), &mut offering);
            }
            kept.join(&kept_by_it);
        }
        let here = &mut self.nodes[at];
        let mut grown = here.read != read || here.kept != kept || here.waited != waited;
        grown |= here.offering != offering;
        (here.read, here.kept, here.waited, here.offering) = (read, kept, waited, offering);
        if let (Some(after), Some(block)) =
            (after_all, node.block.and_then(|block| self.blocks.get_mut(&block)))
        {
            grown |= block.after != after;
            block.after = after;
        }
        grown
    }

    /// Adds what waits rely on before an outcome, where `after` is relied on for them after it, and `kept` is not written any more.
    fn waits(&self, effects: &Effects, outcome: &Outcome, after: &[Vars], kept: &Vars, waited: &mut [Vars]) {
        for (place, (waited, &of)) in waited.iter_mut().zip(&self.sustained).enumerate() {
            if let Some(after) = after.get(place) {
                // What this wait itself counts under is relied on for what a later one counts under.
                waited.join(&effects.under_waits(outcome, effects.kept(outcome, after.clone())));
            }
            if !outcome.waits.is_empty() && kept.has(of) {
                waited.join(&effects.sustained[&of]);
            }
        }
    }

    /// The same of the ways on which a look, at once or later, offers another item again.
    fn offer(
        &self,
        machine: &Machine,
        effects: &Effects,
        (node, outcome): (&Node, &Outcome),
        offering: &mut [Offering],
    ) {
        let Some(block) = node.block.and_then(|block| self.blocks.get(&block)) else { return };
        let next = &self.nodes[outcome.to.node.0 as usize];
        let ends_item = outcome.to.item.is_some();
        for (at, (&item, all)) in block.offered.iter().zip(offering).enumerate() {
            let offers = outcome.effects.iter().any(|&effect| machine.offers(node, effect) == Some(item));
            let (mut kept, mut after) = (Vars::none(effects.words), Vec::new());
            if let Some(later) = next.offering.get(at).filter(|_| !ends_item) {
                kept.join(&later.kept);
                after.clone_from(&later.waited);
            }
            if offers && ends_item {
                kept.join(&effects.all(machine));
            } else if offers {
                kept.join(&next.kept);
                after.iter_mut().zip(&next.waited).for_each(|(after, waited)| after.join(waited));
            }
            let kept = effects.kept(outcome, kept);
            self.waits(effects, outcome, &after, &kept, &mut all.waited);
            all.kept.join(&kept);
        }
    }
}
