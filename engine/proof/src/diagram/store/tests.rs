//! Diagrams against plain sets of combinations.

use super::{ALL, Change, NONE, Root, Store};
use crate::meter::{Budget, Meter};
use oracle::Random;
use std::collections::{BTreeMap, BTreeSet};
use std::sync::atomic::{AtomicUsize, Ordering};

/// How many values each variable has.
const WIDTHS: [u32; 4] = [2, 3, 2, 4];

type Values = Vec<u8>;
type Set = BTreeSet<Values>;

fn everything() -> Set {
    WIDTHS.iter().fold(Set::from([Vec::new()]), |all, &width| {
        all.iter().flat_map(|values| (0..width as u8).map(|value| [&values[..], &[value]].concat())).collect()
    })
}

/// The combinations of a diagram; its boxes share none.
fn plain(store: &Store<'_>, root: Root) -> Set {
    let mut all = Set::new();
    for way in store.boxes(root, usize::MAX) {
        let way: BTreeMap<u32, u64> = way.into_iter().collect();
        let inside = |values: &Values| {
            (0..).zip(values).all(|(level, &value)| way.get(&level).is_none_or(|set| set >> value & 1 == 1))
        };
        for values in everything().into_iter().filter(inside) {
            assert!(all.insert(values), "two boxes share a combination");
        }
    }
    all
}

fn changed(set: &Set, level: usize, change: Change) -> Set {
    let each = |values: &Values| -> Vec<Values> {
        let has = |set: u64| set >> values[level] & 1 == 1;
        let with = |set: u64| {
            (0..WIDTHS[level] as u8).filter(move |value| set >> value & 1 == 1).map(|value| {
                let mut values = values.clone();
                values[level] = value;
                values
            })
        };
        match change {
            Change::Keep(set) => {
                if has(set) {
                    vec![values.clone()]
                } else {
                    vec![]
                }
            }
            Change::Write(of, set) => {
                if has(of) {
                    with(set).collect()
                } else {
                    vec![]
                }
            }
            Change::Settle(from, to) => {
                let fallen = if has(from) { with(to).collect() } else { Vec::new() };
                [vec![values.clone()], fallen].concat()
            }
        }
    };
    set.iter().flat_map(each).collect()
}

fn some_change(random: &mut Random, width: u32) -> Change {
    let set = |random: &mut Random| random.next() & ((1 << width) - 1);
    let one = |random: &mut Random| 1 << random.below(width as usize);
    match random.below(3) {
        0 => Change::Keep(set(random)),
        1 => Change::Write(set(random), set(random)),
        _ => Change::Settle(one(random), one(random)),
    }
}

#[test]
fn diagrams_and_plain_sets_agree_on_every_operation() {
    let budget = Budget { boxes: usize::MAX, go_on: &|| true };
    let meter = Meter::new(&budget);
    let mut store = Store::new(&meter, WIDTHS.to_vec());
    let mut known: Vec<(Root, Set)> = vec![(NONE, Set::new()), (ALL, everything())];
    let mut random = Random::new(1);
    for _ in 0..3_000 {
        let (one, mine) = known[random.below(known.len())].clone();
        let (other, theirs) = known[random.below(known.len())].clone();
        let (root, set) = match random.below(4) {
            0 => (store.union(one, other), mine.union(&theirs).cloned().collect()),
            1 => (store.minus(one, other), mine.difference(&theirs).cloned().collect()),
            _ => {
                let mut set = mine;
                let mut changes = Vec::new();
                for level in (0..WIDTHS.len()).filter(|_| random.percent(40)).collect::<Vec<_>>() {
                    let change = some_change(&mut random, WIDTHS[level]);
                    set = changed(&set, level, change);
                    changes.push((level as u32, change));
                }
                (store.changed(one, &changes), set)
            }
        };
        let root = root.expect("no end of the budget");
        assert_eq!(plain(&store, root), set);
        // One set has one diagram.
        for (other, theirs) in &known {
            assert_eq!(*other == root, *theirs == set);
        }
        if known.len() < 60 && !known.iter().any(|(other, _)| *other == root) {
            known.push((root, set));
        }
    }
    assert_eq!(known.len(), 60);
    // As many boxes as asked for, where there are so many.
    for (root, set) in &known {
        let all = store.boxes(*root, usize::MAX).len();
        assert_eq!(
            (store.boxes(*root, 2).len(), store.boxes(*root, 1).len()),
            (all.min(2), usize::from(!set.is_empty()))
        );
    }
}

#[test]
fn a_profile_counts_each_node_once() {
    let budget = Budget { boxes: usize::MAX, go_on: &|| true };
    let meter = Meter::new(&budget);
    let mut store = Store::new(&meter, WIDTHS.to_vec());
    let low = store.changed(ALL, &[(0, Change::Keep(1)), (2, Change::Keep(2))]).expect("a diagram");
    let high = store
        .changed(ALL, &[(0, Change::Keep(2)), (2, Change::Keep(2)), (3, Change::Keep(5))])
        .expect("a diagram");
    assert_eq!(store.profile([low].into_iter()), [1, 0, 1, 0]);
    assert_eq!(store.profile([high].into_iter()), [1, 0, 1, 1]);
    let both = store.union(low, high).expect("a diagram");
    assert_eq!(store.profile([both].into_iter()), [1, 0, 2, 1]);
    assert_eq!(store.profile([low, high, both].into_iter()), [3, 0, 2, 1], "what they share is counted once");
    assert_eq!(store.profile([NONE, ALL].into_iter()), [0; 4]);
    // The node of level 2 and of level 3 are kept once, and the top of each of the three.
    assert_eq!(meter.sets(), 6);
}

#[test]
fn what_is_clear_at_once_takes_no_work() {
    let asked = AtomicUsize::new(0);
    let go_on = || asked.fetch_add(1, Ordering::Relaxed) < usize::MAX;
    let budget = Budget { boxes: usize::MAX, go_on: &go_on };
    let meter = Meter::new(&budget);
    let mut store = Store::new(&meter, vec![2; 12]);
    let one = |store: &mut Store<'_>, at: u32| {
        let changes: Vec<(u32, Change)> =
            (0..12).map(|level| (level, Change::Keep(1 << (at >> level & 1)))).collect();
        store.changed(ALL, &changes).expect("a diagram")
    };
    let sets: Vec<Root> = (0..2_000).map(|at| one(&mut store, at)).collect();
    let before = asked.load(Ordering::Relaxed);
    for &set in &sets {
        let same =
            [store.union(set, ALL), store.union(ALL, set), store.minus(NONE, set), store.minus(set, ALL)];
        assert_eq!(same.map(|root| root.expect("a diagram")), [ALL, ALL, NONE, NONE]);
        let same =
            [store.union(set, NONE), store.union(NONE, set), store.minus(set, NONE), store.union(set, set)];
        assert_eq!(same.map(|root| root.expect("a diagram")), [set; 4]);
        assert_eq!(store.minus(set, set).expect("a diagram"), NONE);
        assert_eq!(store.changed(NONE, &[(0, Change::Keep(1))]).expect("a diagram"), NONE);
    }
    assert_eq!(
        asked.load(Ordering::Relaxed),
        before,
        "the budget is asked after every thousand pieces of work"
    );
}
