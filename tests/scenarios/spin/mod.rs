//! SPIN, a model checker for programs in general, gives the same verdicts on random procedures.
//!
//! The model's state is the record, as bits. What each look says, the order of items, the variant and the part of a record that
//! breaks no rule are SPIN's to try; nothing of ours is in the model. Not made up here, because no Promela process says it in
//! few words: stops, interruptions and plans (they ask what somebody *could* do), what a start asserts because it is relied on
//! (what has a normal is required, or nobody sees it), answers that show several conditions, verifiers, `seen_when`, lapses.

mod batch;
mod compare;
mod events;
mod generate;
mod model;
mod promela;
mod rig;
mod steps;
mod yaml;

pub(crate) fn number(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// Every violated precondition, rule, promise and question, everything done while a rule is found broken, every place
/// reached, every variant that finishes and every act that changes something: the same from both. `FROM` and `SEEDS` say which.
#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn the_proof_agrees_with_spin_on_random_procedures() {
    let (from, seeds) = (number("FROM", 0), number("SEEDS", 2_000));
    let tally = compare::compare(from..from + seeds);
    assert!(tally.faulty * 4 > tally.cases, "too few have faults: {tally:?}");
    assert!(tally.faulty * 5 < tally.cases * 4, "too few have none: {tally:?}");
    assert!(tally.offered_again * 50 > tally.cases, "too few offer an item again: {tally:?}");
    assert!(tally.given_up * 200 < tally.cases, "too many are given up: {tally:?}");
    println!("{tally:?}, 0 disagreements");
}
