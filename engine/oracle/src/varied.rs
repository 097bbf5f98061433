//! Random documents in which every construct meets every other, about half of them mended until little or nothing is wrong.

mod constructs;
mod crossed;
mod maker;
mod mend;
mod places;
mod rig;
mod steps;

pub use constructs::{CONSTRUCTS, constructs};

use crate::documents::procedure;
use crate::random::Random;
use maker::Maker;
use serde_json::{Value, json};
use steps::Around;

/// Equipment `rig` and its procedures `inner` and `main`, which may perform the other, of a seed. The documents of odd seeds
/// were mended, so that most have no fault or one. The reader accepts all of them.
#[must_use]
pub fn varied_documents(seed: u64) -> Vec<Value> {
    let mut random = Random::new(seed);
    let mild = seed % 2 == 1;
    let documents = documents(&mut Maker::new(random.next(), mild));
    if mild { mend::mended(documents, &mut random) } else { documents }
}

fn documents(maker: &mut Maker) -> Vec<Value> {
    let rig = maker.rig();
    let size = 1 + maker.random.below(2);
    let inner_steps = maker.list(size, Around::performed());
    maker.seen_in_inner = places::looked_at(&inner_steps);
    let inner = procedure("inner", maker.demand(0, 1), json!({}), inner_steps);
    let size = 2 + maker.random.below(4);
    let steps = maker.list(size, Around::main());
    let main = procedure("main", maker.cube(0, 3), maker.demand(0, 2), steps);
    vec![rig, inner, main]
}

#[cfg(test)]
mod tests {
    use super::{CONSTRUCTS, constructs, varied_documents};
    use crate::documents::library;
    use crate::judge::{Judged, Level, Place, explore};
    use std::collections::{BTreeMap, BTreeSet};

    /// What a key ends with: the phase, without its number.
    fn phase(key: &str) -> String {
        let phase = key.split("] ").nth(1).unwrap_or(key);
        let phase = if key.ends_with("→ stop") { "stop" } else { phase };
        phase.trim_end_matches(|end: char| end.is_ascii_digit()).trim().to_owned()
    }

    #[test]
    fn about_half_are_proved_and_the_others_have_every_fault() {
        let (mut clean, mut large, mut faulty) = (0, 0, BTreeMap::<String, usize>::new());
        let (mut clean_phases, mut phases) =
            (BTreeMap::<String, usize>::new(), BTreeMap::<String, usize>::new());
        // Of all, and of those without a fault.
        let (mut offered_again, mut asks_on) = ([0; 2], [0; 2]);
        for seed in 0..400 {
            let documents = varied_documents(seed);
            let all: Vec<_> = documents.iter().collect();
            let library = library(&all).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
            let judged = Judged::new(&library, "main");
            let Ok(found) = explore(&judged, 10_000) else {
                large += 1;
                continue;
            };
            clean += usize::from(found.faults.is_empty());
            let kinds: BTreeSet<String> = found
                .faults
                .iter()
                .map(|fault| fault.to_string().split('(').next().unwrap_or_default().to_owned())
                .collect();
            kinds.into_iter().for_each(|kind| *faulty.entry(kind).or_default() += 1);
            let again = |place: &Place| {
                matches!(place, Place::At(levels, _) if levels.iter().any(
                |level| matches!(level, Level::Item(_, items) if items.again != 0)))
            };
            let offered = usize::from(found.arrivals.keys().any(again));
            let asked = |place: &Place| judged.ways(place).iter().any(|way| way.label.starts_with("is "));
            let asked_on = usize::from(found.arrivals.keys().any(asked));
            let both = if found.faults.is_empty() { [1, 1] } else { [1, 0] };
            for (at, one) in both.into_iter().enumerate() {
                offered_again[at] += offered * one;
                asks_on[at] += asked_on * one;
            }
            let reached: BTreeSet<String> = found.reached.iter().map(|key| phase(key)).collect();
            for phase in reached {
                if found.faults.is_empty() {
                    *clean_phases.entry(phase.clone()).or_default() += 1;
                }
                *phases.entry(phase).or_default() += 1;
            }
        }
        let told = format!(
            "clean {clean}, too large {large}, {faulty:?}, {phases:?}, of the clean {clean_phases:?}, \
             offered again {offered_again:?}, asked on {asks_on:?}"
        );
        assert!((160..=240).contains(&clean) && large <= 4, "{told}");
        assert!(faulty.len() == 8 && faulty.values().all(|&times| times >= 2), "{told}");
        assert!(
            clean_phases.len() == phases.len() && clean_phases.values().all(|&times| times >= 5),
            "{told}"
        );
        assert!(offered_again[0] >= 20 && offered_again[1] >= 10, "{told}");
        assert!(asks_on[0] >= 40 && asks_on[1] >= 20, "{told}");
    }

    /// Seeds after which every pair was met, with room to spare.
    const SEEDS: u64 = 3_000;

    #[test]
    fn every_construct_is_paired_with_every_other() {
        let mut met: BTreeMap<(&str, &str), usize> = BTreeMap::new();
        for seed in 0..SEEDS {
            let documents = varied_documents(seed);
            let all: Vec<_> = documents.iter().collect();
            let library = library(&all).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
            let found = constructs(&library);
            for one in &found {
                for other in found.iter().filter(|other| *other >= one) {
                    *met.entry((one, other)).or_default() += 1;
                }
            }
        }
        let known: BTreeSet<&str> = CONSTRUCTS.into_iter().collect();
        assert_eq!(known.len(), CONSTRUCTS.len(), "one is listed twice");
        let mut table = String::new();
        let mut missing = Vec::new();
        for one in &known {
            table += &format!("{one:28}");
            for other in &known {
                let pair = if one <= other { (*one, *other) } else { (*other, *one) };
                let times = met.get(&pair).copied().unwrap_or_default();
                table += &format!(" {times:4}");
                if times == 0 && one <= other {
                    missing.push(pair);
                }
            }
            table += "\n";
        }
        assert!(met.keys().all(|(one, other)| known.contains(one) && known.contains(other)));
        assert!(missing.is_empty(), "never met: {missing:?}\n{table}");
    }
}
