//! How far places are from an end.

use super::collect::{Collected, LeadsTo};
use machine::{DONE, Place, STOP};
use std::collections::BTreeMap;

/// For every place from which an end can be reached, one more than the rank of some place to which each of its sets leads, whatever the
/// variants are; an end has 0.
pub(super) fn ranks(collected: &Collected) -> BTreeMap<Place, u32> {
    let mut ranks = BTreeMap::new();
    let is_end = |place: &&Place| place.node == DONE || place.node == STOP;
    collected.order.iter().filter(is_end).for_each(|&place| {
        ranks.insert(place, 0);
    });
    loop {
        let before = ranks.len();
        for place in collected.order.iter().rev() {
            if ranks.contains_key(place) {
                continue;
            }
            let rank = |(next, _): &(Place, bool)| ranks.get(next).copied();
            let nearest = |leads_to: &LeadsTo| {
                let always = leads_to.iter().filter(|(_, is_guarded)| !is_guarded).filter_map(rank).min();
                // Of ways for some variants alone all count.
                let guarded = leads_to.iter().filter(|(_, is_guarded)| *is_guarded).map(rank);
                let farthest = guarded.collect::<Option<Vec<u32>>>().and_then(|all| all.into_iter().max());
                always.into_iter().chain(farthest).min()
            };
            let sets = &collected.sets[place];
            let farthest = sets
                .iter()
                .map(|(_, leads_to)| nearest(leads_to))
                .try_fold(0, |most, rank| rank.map(|rank: u32| most.max(rank)));
            if let Some(rank) = farthest {
                ranks.insert(*place, rank + 1);
            }
        }
        if ranks.len() == before {
            return ranks;
        }
    }
}
