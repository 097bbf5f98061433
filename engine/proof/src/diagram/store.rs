//! Reduced ordered multi-valued decision diagrams: sets of states that no few boxes cover, kept as shared nodes.
//!
//! A node decides one variable and has an edge for each of its values; equal nodes are one node (the unique table), and a
//! node whose edges all lead to the same place is left out. So a set has exactly one diagram, and equal sets are found
//! equal at once. Results of two operands are remembered in the computed table (the terms are Bryant's and Brace's, memory).

use crate::meter::{BudgetExhausted, Meter};
use std::collections::{BTreeSet, HashMap};

/// A set of states: the number of its topmost node.
pub(crate) type Root = u32;

/// No state.
pub(crate) const NONE: Root = 0;
/// Every state.
pub(crate) const ALL: Root = 1;

/// The level below all variables.
const BOTTOM: u32 = u32::MAX;

/// How many results of two operands are remembered.
const COMPUTED_TABLE_LIMIT: usize = 1 << 20;

/// What becomes of one variable.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) enum Change {
    /// Only states with one of these values stay.
    Keep(u64),
    /// Of the states with one of the first values, the variable then has any of the second.
    Write(u64, u64),
    /// States with the first value may also have the second.
    Settle(u64, u64),
}

#[derive(Clone, Copy, PartialEq, Eq, Hash)]
enum Operation {
    Union,
    Minus,
}

/// All nodes of one exploration.
pub(crate) struct Store<'a> {
    meter: &'a Meter<'a>,
    /// How many values the variable of each level has.
    widths: Vec<u32>,
    levels: Vec<u32>,
    firsts: Vec<u32>,
    edges: Vec<Root>,
    unique_table: HashMap<(u32, Box<[Root]>), Root>,
    computed_table: HashMap<(Operation, Root, Root), Root>,
}

impl<'a> Store<'a> {
    /// A store for variables of so many values, the topmost first.
    pub(crate) fn new(meter: &'a Meter<'a>, widths: Vec<u32>) -> Self {
        Self {
            meter,
            widths,
            levels: vec![BOTTOM; 2],
            firsts: vec![0; 2],
            edges: Vec::new(),
            unique_table: HashMap::new(),
            computed_table: HashMap::new(),
        }
    }

    fn level(&self, root: Root) -> u32 {
        self.levels[root as usize]
    }

    fn width(&self, level: u32) -> usize {
        self.widths[level as usize] as usize
    }

    /// Where the edge of a value leads; a diagram that does not ask for the level stays as it is.
    fn edge(&self, root: Root, level: u32, value: usize) -> Root {
        match self.level(root) == level {
            true => self.edges[self.firsts[root as usize] as usize + value],
            false => root,
        }
    }

    fn node(&mut self, level: u32, edges: Vec<Root>) -> Result<Root, BudgetExhausted> {
        if edges.iter().all(|&edge| edge == edges[0]) {
            return Ok(edges[0]);
        }
        let key = (level, edges.into_boxed_slice());
        if let Some(&known) = self.unique_table.get(&key) {
            return Ok(known);
        }
        self.meter.keep(1)?;
        let root = self.levels.len() as Root;
        self.levels.push(level);
        self.firsts.push(self.edges.len() as u32);
        self.edges.extend(&key.1);
        self.unique_table.insert(key, root);
        Ok(root)
    }

    /// The states in either.
    pub(crate) fn union(&mut self, one: Root, other: Root) -> Result<Root, BudgetExhausted> {
        match (one, other) {
            (NONE, root) | (root, NONE) => Ok(root),
            (ALL, _) | (_, ALL) => Ok(ALL),
            _ if one == other => Ok(one),
            _ => self.apply(Operation::Union, one.min(other), one.max(other)),
        }
    }

    /// The states in the first and not in the second.
    pub(crate) fn minus(&mut self, one: Root, other: Root) -> Result<Root, BudgetExhausted> {
        match (one, other) {
            (NONE, _) | (_, ALL) => Ok(NONE),
            (_, NONE) => Ok(one),
            _ if one == other => Ok(NONE),
            _ => self.apply(Operation::Minus, one, other),
        }
    }

    fn apply(&mut self, what: Operation, one: Root, other: Root) -> Result<Root, BudgetExhausted> {
        if let Some(&known) = self.computed_table.get(&(what, one, other)) {
            return Ok(known);
        }
        self.meter.work(1)?;
        let level = self.level(one).min(self.level(other));
        let mut edges = Vec::with_capacity(self.width(level));
        for value in 0..self.width(level) {
            let (one, other) = (self.edge(one, level, value), self.edge(other, level, value));
            edges.push(match what {
                Operation::Union => self.union(one, other)?,
                Operation::Minus => self.minus(one, other)?,
            });
        }
        let root = self.node(level, edges)?;
        if self.computed_table.len() >= COMPUTED_TABLE_LIMIT {
            self.computed_table.clear();
        }
        self.computed_table.insert((what, one, other), root);
        Ok(root)
    }

    /// The set with each of the variables changed; `changes` by level, at most one a level.
    pub(crate) fn changed(&mut self, root: Root, changes: &[(u32, Change)]) -> Result<Root, BudgetExhausted> {
        self.change(root, changes, &mut HashMap::new())
    }

    fn change(
        &mut self,
        root: Root,
        changes: &[(u32, Change)],
        memo: &mut HashMap<(Root, usize), Root>,
    ) -> Result<Root, BudgetExhausted> {
        let Some(&(level, change)) = changes.first() else { return Ok(root) };
        if root == NONE {
            return Ok(NONE);
        }
        if let Some(&known) = memo.get(&(root, changes.len())) {
            return Ok(known);
        }
        self.meter.work(1)?;
        let top = self.level(root).min(level);
        let rest = if top == level { &changes[1..] } else { changes };
        let mut edges = Vec::with_capacity(self.width(top));
        for value in 0..self.width(top) {
            edges.push(self.change(self.edge(root, top, value), rest, memo)?);
        }
        if top == level {
            self.at_level(change, &mut edges)?;
        }
        let changed = self.node(top, edges)?;
        memo.insert((root, changes.len()), changed);
        Ok(changed)
    }

    fn at_level(&mut self, change: Change, edges: &mut [Root]) -> Result<(), BudgetExhausted> {
        let union_of = |store: &mut Self, edges: &[Root], set: u64| {
            let inside = edges.iter().enumerate().filter(|(value, _)| set >> value & 1 == 1);
            inside.map(|(_, &edge)| edge).try_fold(NONE, |all, edge| store.union(all, edge))
        };
        match change {
            Change::Keep(set) => {
                replace_each(edges, |value, edge| if set >> value & 1 == 1 { edge } else { NONE })
            }
            Change::Write(of, set) => {
                let from = union_of(self, edges, of)?;
                replace_each(edges, |value, _| if set >> value & 1 == 1 { from } else { NONE });
            }
            Change::Settle(from, to) => {
                let fallen = union_of(self, edges, from)?;
                for value in (0..edges.len()).filter(|value| to >> value & 1 == 1) {
                    edges[value] = self.union(edges[value], fallen)?;
                }
            }
        }
        Ok(())
    }

    /// The set as disjoint boxes, each the values of some levels, until there are so many.
    pub(crate) fn boxes(&self, root: Root, limit: usize) -> Vec<Vec<(u32, u64)>> {
        let mut found = Vec::new();
        self.collect(root, limit, &mut Vec::new(), &mut found);
        found
    }

    fn collect(&self, root: Root, limit: usize, way: &mut Vec<(u32, u64)>, found: &mut Vec<Vec<(u32, u64)>>) {
        if root == NONE || found.len() >= limit {
            return;
        }
        if root == ALL {
            found.push(way.clone());
            return;
        }
        let level = self.level(root);
        let edges: Vec<Root> = (0..self.width(level)).map(|value| self.edge(root, level, value)).collect();
        for (at, &edge) in edges.iter().enumerate() {
            if edges[..at].contains(&edge) {
                continue;
            }
            let same = edges.iter().enumerate().filter(|(_, other)| **other == edge);
            way.push((level, same.map(|(value, _)| 1 << value).sum()));
            self.collect(edge, limit, way, found);
            way.pop();
        }
    }

    /// How many nodes of each level the sets have: what it costs to tell their states apart there.
    pub(crate) fn profile(&self, roots: impl Iterator<Item = Root>) -> Vec<usize> {
        let mut counts = vec![0; self.widths.len()];
        let (mut seen, mut open) = (BTreeSet::new(), roots.collect::<Vec<_>>());
        while let Some(root) = open.pop() {
            if root > ALL && seen.insert(root) {
                let level = self.level(root);
                counts[level as usize] += 1;
                open.extend((0..self.width(level)).map(|value| self.edge(root, level, value)));
            }
        }
        counts
    }
}

fn replace_each(edges: &mut [Root], what: impl Fn(usize, Root) -> Root) {
    for (value, edge) in edges.iter_mut().enumerate() {
        *edge = what(value, *edge);
    }
}

#[cfg(test)]
mod tests;
