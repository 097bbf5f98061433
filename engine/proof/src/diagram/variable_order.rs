//! In which order a diagram asks for its variables: those that matter to each other stand close together.

use machine::{Choice, Guard, Machine, NodeId, NodeKind, Outcome, VarId};
use std::collections::{BTreeMap, BTreeSet};

/// Past so many levels there are no diagrams: each takes a frame of the stack.
const LEVELS_LIMIT: usize = 2_000;

/// How often every variable is moved to where its neighbours are.
const ROUNDS: usize = 20;

/// What a level of a diagram decides.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum LevelVar {
    /// The value of a variable.
    Var(VarId),
    /// Whether that item of that any-order block is done.
    Item(u32, u8),
}

/// The levels, topmost first.
pub(crate) struct VariableOrder {
    pub(crate) vars: Vec<LevelVar>,
    at: BTreeMap<LevelVar, u32>,
    /// How many items each any-order block has.
    items: BTreeMap<u32, u8>,
}

impl VariableOrder {
    /// An order for the machine, unless it has too many variables.
    ///
    /// What one step speaks of forms a group, and so do an item of a block and what it writes. A variable moves to the mean
    /// of its groups, a group to the mean of its members, the smaller groups pulling harder (the heuristic known as FORCE,
    /// Aloul, Markov and Sakallah 2003, memory).
    pub(crate) fn new(machine: &Machine) -> Option<Self> {
        let (groups, items) = groups(machine);
        let mut order: Vec<LevelVar> = Vec::new();
        let mut known = BTreeSet::new();
        let vars = machine.layout.ids().map(LevelVar::Var);
        let bits =
            items.iter().flat_map(|(&block, &items)| (0..items).map(move |at| LevelVar::Item(block, at)));
        for level_var in groups.iter().flatten().copied().chain(vars).chain(bits) {
            if known.insert(level_var) {
                order.push(level_var);
            }
        }
        if order.len() > LEVELS_LIMIT {
            return None;
        }
        let mut best = (span(&groups, &order), order.clone());
        for _ in 0..ROUNDS {
            order = pulled(&groups, &order);
            let span = span(&groups, &order);
            if span < best.0 {
                best = (span, order.clone());
            }
        }
        let vars = best.1;
        let at = vars.iter().enumerate().map(|(at, &level_var)| (level_var, at as u32)).collect();
        Some(Self { vars, at, items })
    }

    pub(crate) fn var(&self, var: VarId) -> u32 {
        self.at[&LevelVar::Var(var)]
    }

    /// The levels of a block's items, by item.
    pub(crate) fn items(&self, block: Option<u32>) -> impl Iterator<Item = (u8, u32)> + '_ {
        let items = block.and_then(|block| self.items.get(&block).copied()).unwrap_or(0);
        let block = block.unwrap_or_default();
        (0..items).map(move |item| (item, self.at[&LevelVar::Item(block, item)]))
    }
}

fn places(order: &[LevelVar]) -> BTreeMap<LevelVar, f64> {
    order.iter().enumerate().map(|(at, &level_var)| (level_var, at as f64)).collect()
}

/// How far the groups reach, all together, in levels.
fn span(groups: &[Vec<LevelVar>], order: &[LevelVar]) -> u64 {
    let places = places(order);
    let reach = |group: &Vec<LevelVar>| {
        let at = || group.iter().map(|level_var| places[level_var]);
        (at().fold(0.0, f64::max) - at().fold(f64::MAX, f64::min)) as u64
    };
    groups.iter().map(reach).sum()
}

fn pulled(groups: &[Vec<LevelVar>], order: &[LevelVar]) -> Vec<LevelVar> {
    let places = places(order);
    let mut pulls: BTreeMap<LevelVar, (f64, f64)> = BTreeMap::new();
    for group in groups {
        let size = group.len() as f64;
        let middle = group.iter().map(|level_var| places[level_var]).sum::<f64>() / size;
        for &level_var in group {
            let (sum, weight) = pulls.entry(level_var).or_default();
            (*sum, *weight) = (*sum + middle / size, *weight + 1.0 / size);
        }
    }
    let mut moved: Vec<(f64, LevelVar)> = order
        .iter()
        .map(|&level_var| {
            (pulls.get(&level_var).map_or(places[&level_var], |(sum, weight)| sum / weight), level_var)
        })
        .collect();
    moved.sort_by(|(a, _), (b, _)| a.total_cmp(b));
    moved.into_iter().map(|(_, level_var)| level_var).collect()
}

/// What belongs together, and how many items each block has.
fn groups(machine: &Machine) -> (Vec<Vec<LevelVar>>, BTreeMap<u32, u8>) {
    let mut groups: BTreeSet<Vec<LevelVar>> = BTreeSet::new();
    let mut in_order = Vec::new();
    let mut add = |group: BTreeSet<LevelVar>| {
        let group: Vec<LevelVar> = group.into_iter().collect();
        if group.len() > 1 && groups.insert(group.clone()) {
            in_order.push(group);
        }
    };
    let mut items = BTreeMap::new();
    for (id, node) in machine.nodes.iter().enumerate() {
        for outcome in &node.outcomes {
            add(written(outcome).map(LevelVar::Var).collect());
            add(written(outcome).chain(tested(outcome)).map(LevelVar::Var).collect());
        }
        if let (NodeKind::AnyOrder { items: count }, Some(block)) = (&node.kind, node.block) {
            items.insert(block, *count);
            for item in 0..*count {
                let written = writes(machine, NodeId(id as u32), item).into_iter().map(LevelVar::Var);
                add(written.chain([LevelVar::Item(block, item)]).collect());
            }
        }
    }
    let causes = machine.lost_when.iter().map(|lost| (&lost.when, Some(lost.var)));
    for (cube, var) in causes.chain(machine.rules.iter().map(|rule| (&rule.when, None))) {
        add(cube.0.iter().map(|conjunct| conjunct.var).chain(var).map(LevelVar::Var).collect());
    }
    (in_order, items)
}

fn written(outcome: &Outcome) -> impl Iterator<Item = VarId> + '_ {
    outcome.havoc.iter().copied().chain(outcome.sets.iter().map(|set| set.var))
}

fn tested(outcome: &Outcome) -> impl Iterator<Item = VarId> + '_ {
    let guard = match &outcome.guard {
        Guard::Is(cube) | Guard::IsNot(cube) => &cube.0[..],
        Guard::Always => &[],
    };
    guard.iter().map(|conjunct| conjunct.var)
}

/// What the nodes of an item write.
fn writes(machine: &Machine, choosing: NodeId, item: u8) -> BTreeSet<VarId> {
    let block = machine.node(choosing).block;
    let first = machine.node(choosing).outcomes.iter().find(|outcome| outcome.choice == Choice::Item(item));
    let mut open: Vec<NodeId> = first.iter().map(|outcome| outcome.to.node).collect();
    let (mut seen, mut vars) = (BTreeSet::new(), BTreeSet::new());
    while let Some(id) = open.pop() {
        if id != choosing && machine.node(id).block == block && seen.insert(id) {
            for outcome in &machine.node(id).outcomes {
                vars.extend(written(outcome));
                open.push(outcome.to.node);
            }
        }
    }
    vars
}

#[cfg(test)]
mod tests;
