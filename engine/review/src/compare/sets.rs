//! Sets of numbers that share what they have in common.
//!
//! What stands before a step is nearly what stands before the next one. A set is a tree over all numbers, and each different
//! tree is kept once: sets that are equal have one name, and two sets are compared in the time of what tells them apart.

use indexmap::{IndexMap, IndexSet};
use std::collections::BTreeMap;

/// How many of the first that something was counted for are kept.
pub(super) const FIRST: usize = 3;
/// Numbers of one leaf.
const LEAF: usize = u64::BITS as usize;

/// A set, by its name in [`Sets`].
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub(super) struct Set(usize);

/// The set of nothing, and the part of a tree in which nothing is.
pub(super) const NONE: Set = Set(0);

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Tree {
    Leaf {
        /// The number of its first bit.
        first: usize,
        bits: u64,
    },
    /// The lower half of its numbers and the upper one.
    Fork(Set, Set),
}

#[derive(Clone, Copy, Debug, PartialEq, Eq, Hash)]
enum Of {
    Both,
    Either,
    FirstAlone,
}

/// All sets of numbers below a bound that were asked for.
pub(super) struct Sets {
    /// What is made of others comes after them.
    trees: IndexSet<Tree>,
    known: IndexMap<(Of, Set, Set), Set>,
    /// How many numbers a whole tree is over.
    width: usize,
}

/// For how much something counts, and for which first.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub(super) struct Count {
    pub(super) all: usize,
    /// In order.
    pub(super) first: Vec<usize>,
}

impl Sets {
    pub(super) fn below(bound: usize) -> Self {
        let nothing = Tree::Leaf { first: 0, bits: 0 };
        let width = bound.next_power_of_two().max(LEAF);
        Self { trees: IndexSet::from([nothing]), known: IndexMap::new(), width }
    }

    /// The set with a number put in or taken out.
    pub(super) fn put(&mut self, set: Set, number: usize, inside: bool) -> Set {
        self.put_below(set, (0, self.width), number, inside)
    }

    fn put_below(&mut self, set: Set, (from, width): (usize, usize), number: usize, inside: bool) -> Set {
        let (lower, upper) = match self.trees[set.0] {
            Tree::Leaf { bits, .. } if width == LEAF => {
                let bit = 1 << (number - from);
                let bits = if inside { bits | bit } else { bits & !bit };
                return self.leaf(from, bits);
            }
            Tree::Leaf { .. } => (NONE, NONE),
            Tree::Fork(lower, upper) => (lower, upper),
        };
        let half = width / 2;
        let (lower, upper) = if number < from + half {
            (self.put_below(lower, (from, half), number, inside), upper)
        } else {
            (lower, self.put_below(upper, (from + half, half), number, inside))
        };
        self.fork(lower, upper)
    }

    pub(super) fn both(&mut self, one: Set, other: Set) -> Set {
        self.of(Of::Both, one, other)
    }

    pub(super) fn either(&mut self, one: Set, other: Set) -> Set {
        self.of(Of::Either, one, other)
    }

    /// What is in the first and not in the other.
    pub(super) fn without(&mut self, first: Set, other: Set) -> Set {
        self.of(Of::FirstAlone, first, other)
    }

    fn of(&mut self, of: Of, one: Set, other: Set) -> Set {
        match (of, one, other) {
            (Of::Both | Of::Either, one, other) if one == other => return one,
            (Of::FirstAlone, one, other) if one == other => return NONE,
            (Of::Both, NONE, _) | (Of::Both, _, NONE) | (Of::FirstAlone, NONE, _) => return NONE,
            (Of::Either, NONE, set) | (Of::Either | Of::FirstAlone, set, NONE) => return set,
            (Of::Both | Of::Either | Of::FirstAlone, _, _) => {}
        }
        if let Some(&known) = self.known.get(&(of, one, other)) {
            return known;
        }
        let made = match (self.trees[one.0], self.trees[other.0]) {
            (Tree::Fork(lower, upper), Tree::Fork(its_lower, its_upper)) => {
                let (lower, upper) = (self.of(of, lower, its_lower), self.of(of, upper, its_upper));
                self.fork(lower, upper)
            }
            (Tree::Leaf { first, bits: one }, Tree::Leaf { bits: other, .. }) => self.leaf(
                first,
                match of {
                    Of::Both => one & other,
                    Of::Either => one | other,
                    Of::FirstAlone => one & !other,
                },
            ),
            // Trees over the same numbers are of one height.
            (Tree::Fork(..), Tree::Leaf { .. }) | (Tree::Leaf { .. }, Tree::Fork(..)) => NONE,
        };
        self.known.insert((of, one, other), made);
        made
    }

    fn leaf(&mut self, first: usize, bits: u64) -> Set {
        if bits == 0 { NONE } else { self.tree(Tree::Leaf { first, bits }) }
    }

    fn fork(&mut self, lower: Set, upper: Set) -> Set {
        if (lower, upper) == (NONE, NONE) { NONE } else { self.tree(Tree::Fork(lower, upper)) }
    }

    fn tree(&mut self, tree: Tree) -> Set {
        Set(self.trees.insert_full(tree).0)
    }

    /// For every number in how many of the sets it is, each set told with what it stands for.
    pub(super) fn count(&self, sets: impl IntoIterator<Item = (usize, Set)>) -> BTreeMap<usize, Count> {
        let mut open: BTreeMap<Set, Count> = BTreeMap::new();
        for (of, set) in sets.into_iter().filter(|&(_, set)| set != NONE) {
            open.entry(set).or_default().add(&Count { all: 1, first: vec![of] });
        }
        let mut counts: BTreeMap<usize, Count> = BTreeMap::new();
        // From what is made of others to these.
        while let Some((set, count)) = open.pop_last() {
            match self.trees[set.0] {
                Tree::Fork(lower, upper) => {
                    for part in [lower, upper].into_iter().filter(|&part| part != NONE) {
                        open.entry(part).or_default().add(&count);
                    }
                }
                Tree::Leaf { first, bits } => {
                    for bit in (0..LEAF).filter(|bit| bits >> bit & 1 == 1) {
                        counts.entry(first + bit).or_default().add(&count);
                    }
                }
            }
        }
        counts
    }
}

impl Count {
    fn add(&mut self, more: &Self) {
        self.all += more.all;
        self.first.extend(&more.first);
        self.first.sort_unstable();
        self.first.truncate(FIRST);
    }
}

#[cfg(test)]
mod tests {
    use super::{FIRST, NONE, Set, Sets};
    use std::collections::BTreeSet;

    type Plain = BTreeSet<usize>;

    fn made(sets: &mut Sets, plain: &Plain) -> Set {
        plain.iter().fold(NONE, |set, &number| sets.put(set, number, true))
    }

    /// Some numbers below a bound, others for each seed.
    fn some(seed: usize, bound: usize) -> Plain {
        (0..bound).filter(|at| (at * at + seed * at + seed).is_multiple_of(2 + seed % 5)).collect()
    }

    #[test]
    fn sets_are_what_they_are_elsewhere() {
        for bound in [1, 63, 64, 65, 200, 1000] {
            let mut sets = Sets::below(bound);
            let plain: Vec<Plain> = (0..12).map(|seed| some(seed, bound)).collect();
            let named: Vec<Set> = plain.iter().map(|plain| made(&mut sets, plain)).collect();
            for (one, &set) in plain.iter().zip(&named) {
                for (other, &its) in plain.iter().zip(&named) {
                    let both = one & other;
                    assert_eq!(sets.both(set, its), made(&mut sets, &both), "{one:?} and {other:?}");
                    let either = one | other;
                    assert_eq!(sets.either(set, its), made(&mut sets, &either), "{one:?} or {other:?}");
                    let rest = one - other;
                    assert_eq!(sets.without(set, its), made(&mut sets, &rest), "{one:?} without {other:?}");
                }
                let less: Plain = one.iter().skip(1).copied().collect();
                let first = one.first().copied().unwrap_or(0);
                assert_eq!(sets.put(set, first, false), made(&mut sets, &less));
            }
            let counts = sets.count(named.iter().copied().enumerate());
            for number in 0..bound {
                let within: Vec<usize> = (0..plain.len()).filter(|&at| plain[at].contains(&number)).collect();
                let count = counts.get(&number).cloned().unwrap_or_default();
                assert_eq!((count.all, &count.first[..]), (within.len(), &within[..within.len().min(FIRST)]));
            }
        }
    }
}
