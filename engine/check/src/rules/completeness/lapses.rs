//! Waits that make a look too old.

use crate::rule::{Finding, Pointer, Rule};
use crate::words::conjunct_words;
use crate::written::WrittenProcedure;
use document::model::{Kind, Lapse, Name, SeenBy};
use machine::{Choice, Machine, Node, NodeId, Outcome, VarId};
use std::collections::{BTreeMap, BTreeSet};

pub(super) const RULES: &[Rule] = &[rule!(
    "C18",
    Warning,
    "A wait is longer than what was looked at before it counts",
    Procedure(look_too_old)
)];

/// How many times a place may be come to anew for one condition. Beyond that what was found so far is told: nothing
/// rests on it, as the walk asks again.
const ARRIVALS_MAX: usize = 100_000;

fn look_too_old(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let Some(machine) = written.compiled else { return Vec::new() };
    // Round and round without a bound every look gets too old: that is told as it is.
    if !proof::shape(machine).loops.is_empty() {
        return Vec::new();
    }
    // One look after a wait serves everything that got too old by it.
    let mut told: BTreeMap<NodeId, Vec<TooOld<'_>>> = BTreeMap::new();
    for (name, condition) in &written.equipment.conditions {
        let Some(Lapse(length)) = &condition.lapses else { continue };
        let (Ok(length), Some(var)) = (length.read(), machine.layout.find(name)) else { continue };
        let ages = Ages { machine, var, counts: length.as_millis() };
        for (wait, used) in ages.too_old() {
            let of = |on: VarId| on == var || machine.rests_on(on).any(|under| under == var);
            let Some(need) = machine.node(used).needs.iter().find(|need| of(need.conjunct.var)) else {
                continue;
            };
            let words = conjunct_words(&machine.layout, need.conjunct);
            let need = if need.conjunct.var == var {
                words
            } else {
                format!("{words} and so {}", machine.layout.var(var).label)
            };
            let at = TooOld { name, need, counts: length.to_string(), used };
            told.entry(wait).or_default().push(at);
        }
    }
    let told = told.into_iter().filter_map(|(wait, all)| {
        let at = own_step(written, machine.node(wait))?;
        Some(Finding::at_key(at, message(machine, &all)).help(help(written, &all)))
    });
    told.collect()
}

/// A condition whose last look is too old after a wait.
struct TooOld<'a> {
    name: &'a Name,
    /// What is needed of it.
    need: String,
    /// For how long a look counts.
    counts: String,
    /// The first node that needs it.
    used: NodeId,
}

fn message(machine: &Machine, all: &[TooOld<'_>]) -> String {
    let step = |node: NodeId| {
        let path = &machine.node(node).path;
        path.rsplit('/').next().unwrap_or(path).to_owned()
    };
    let one = |one: &TooOld<'_>| {
        format!("step `{}` needs {}, which counts for {} after a look", step(one.used), one.need, one.counts)
    };
    let all: Vec<String> = all.iter().map(one).collect();
    format!("after this wait a look is too old: {}", all.join("; "))
}

/// What nobody can see is made so again; what is covered is uncovered first.
fn help(written: &WrittenProcedure<'_>, all: &[TooOld<'_>]) -> String {
    let of = |one: &TooOld<'_>| {
        let name = one.name;
        let condition = written.equipment.conditions.get(name);
        let is_hidden = condition.is_some_and(|condition| condition.seen_by() == SeenBy::Nobody);
        let cover = condition.is_some_and(|condition| !condition.seen_when.is_empty());
        match (is_hidden, cover) {
            (true, _) => format!("make `{name}` so again after the wait: nobody can see it"),
            (false, true) => format!(
                "after the wait, look again: a step with `confirm` of `{name}`, while it can be seen (`seen_when`)"
            ),
            (false, false) => format!("after the wait, look again: a step with `confirm` of `{name}`"),
        }
    };
    all.iter().map(of).collect::<Vec<_>>().join("; ")
}

/// The pointer of the step of the procedure itself at which a node waits: its wait, or what it performs.
fn own_step(written: &WrittenProcedure<'_>, node: &Node) -> Option<String> {
    if node.procedure == written.procedure.procedure {
        return Some(format!("{}/wait", node.pointer));
    }
    let performs = written.steps.iter().filter(|one| matches!(one.step.kind, Kind::Perform(_)));
    let mut performs = performs.filter(|one| node.path.split('/').any(|id| *id == *one.step.common.id));
    performs.next().map(|one| one.key("perform"))
}

/// How old the last look at one condition may be, from place to place.
struct Ages<'m> {
    machine: &'m Machine,
    var: VarId,
    /// How long a look counts, in milliseconds.
    counts: u64,
}

/// The time since the last look, and the wait by which it became too old.
#[derive(Clone, Copy, Default, PartialEq, Eq)]
struct Age {
    millis: u64,
    over: Option<NodeId>,
}

impl Ages<'_> {
    /// Each wait after which the look is too old, with the first step behind it that needs the condition.
    fn too_old(&self) -> BTreeMap<NodeId, NodeId> {
        let bits = self.item_bits();
        let mut oldest: BTreeMap<(NodeId, u64), Age> = BTreeMap::new();
        let mut open = vec![((self.machine.entry, 0), Age::default())];
        let mut found: BTreeMap<NodeId, NodeId> = BTreeMap::new();
        for _ in 0..ARRIVALS_MAX {
            let Some((place @ (id, items), age)) = open.pop() else { break };
            if oldest.get(&place).is_some_and(|known| known.over.is_some() || known.millis >= age.millis) {
                continue;
            }
            oldest.insert(place, age);
            let node = self.machine.node(id);
            if let Some(wait) = age.over.filter(|_| self.is_needed(node)) {
                found.entry(wait).or_insert(id);
            }
            let of_block = node.block.and_then(|block| bits.get(&block));
            for outcome in &node.outcomes {
                let bit = |item: u8| of_block.and_then(|items| items.get(&item)).copied();
                let all = of_block.map_or(0, |items| items.values().fold(0, |all, bit| all | bit));
                match outcome.choice {
                    // An item that neither waits nor looks nor needs changes nothing, whenever it is done.
                    Choice::Item(item) if bit(item).is_none_or(|bit| items & bit != 0) => continue,
                    Choice::AllItems if items != all => continue,
                    Choice::Item(_)
                    | Choice::AllItems
                    | Choice::Done
                    | Choice::Pass
                    | Choice::Fail
                    | Choice::Is(_)
                    | Choice::CannotTell
                    | Choice::Answer(_)
                    | Choice::Applies
                    | Choice::PassedOver => {}
                }
                let to = outcome.to.node;
                let stays = self.machine.node(to).block == node.block;
                let done = outcome.to.item.and_then(bit).unwrap_or(0);
                let items = if stays { items | done } else { 0 };
                open.push(((to, items), self.after(id, outcome, age)));
            }
        }
        found
    }

    fn after(&self, id: NodeId, outcome: &Outcome, age: Age) -> Age {
        if self.looks(outcome) {
            return Age::default();
        }
        let wait = outcome.waits.iter().map(|(_, millis)| *millis).max().unwrap_or(0);
        let millis = age.millis.saturating_add(wait).min(self.counts.saturating_add(1));
        let over = age.over.or_else(|| (millis > self.counts).then_some(id));
        Age { millis, over }
    }

    /// Whether a step needs the condition, or one that is known only as long as it is.
    fn is_needed(&self, node: &Node) -> bool {
        let mut needs = node.needs.iter().map(|need| need.conjunct.var);
        needs.any(|var| var == self.var || self.machine.rests_on(var).any(|under| under == self.var))
    }

    /// Whether the condition is looked at, or an act leaves it so: it counts from then on.
    fn looks(&self, outcome: &Outcome) -> bool {
        outcome.effects.iter().any(|effect| effect.var() == self.var)
    }

    /// A bit for each item of an any-order block that has to do with the age of the look, by block and item.
    fn item_bits(&self) -> BTreeMap<u32, BTreeMap<u8, u64>> {
        let mut bits: BTreeMap<u32, BTreeMap<u8, u64>> = BTreeMap::new();
        for node in &self.machine.nodes {
            let Some(block) = node.block else { continue };
            for outcome in &node.outcomes {
                let Choice::Item(item) = outcome.choice else { continue };
                if self.matters(outcome.to.node, block) {
                    bits.entry(block).or_default().insert(item, 1u64.checked_shl(item.into()).unwrap_or(0));
                }
            }
        }
        bits
    }

    /// Whether an item of a block, from this node on, waits, looks at the condition or needs it.
    fn matters(&self, first: NodeId, block: u32) -> bool {
        let (mut seen, mut open) = (BTreeSet::new(), vec![first]);
        while let Some(id) = open.pop() {
            let node = self.machine.node(id);
            if node.block != Some(block) || !seen.insert(id) {
                continue;
            }
            let moves = |outcome: &Outcome| !outcome.waits.is_empty() || self.looks(outcome);
            if self.is_needed(node) || node.outcomes.iter().any(moves) {
                return true;
            }
            let inside = node.outcomes.iter().filter(|outcome| outcome.to.item.is_none());
            open.extend(inside.map(|outcome| outcome.to.node));
        }
        false
    }
}
