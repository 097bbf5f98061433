//! SPIN, a model checker for programs in general, gives the same verdicts on random procedures.

mod batch;
mod compare;
mod events;
mod generate;
mod model;
mod promela;
mod statements;
mod yaml;

/// Every violated precondition, rule, promise and question, every place reached, every variant that finishes and every
/// act that changes something: the same from both.
#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn the_proof_agrees_with_spin_on_random_procedures() {
    let tally = compare::compare(0..2_000);
    assert!(tally.faulty * 4 > tally.cases, "too few have faults: {tally:?}");
    assert!(tally.faulty * 5 < tally.cases * 4, "too few have none: {tally:?}");
    println!("{tally:?}, 0 disagreements");
}
