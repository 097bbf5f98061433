//! Ten times as many random procedures against SPIN.

#[path = "../scenarios/spin/batch.rs"]
mod batch;
#[path = "../scenarios/spin/compare.rs"]
mod compare;
#[path = "../scenarios/spin/events.rs"]
mod events;
#[path = "../scenarios/spin/generate.rs"]
mod generate;
#[path = "../scenarios/spin/model.rs"]
mod model;
#[path = "../scenarios/spin/promela.rs"]
mod promela;
#[path = "../scenarios/spin/rig.rs"]
mod rig;
#[path = "../scenarios/spin/steps.rs"]
mod steps;
#[path = "../scenarios/spin/yaml.rs"]
mod yaml;

/// Other seeds than the ordinary suite's.
#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn the_proof_agrees_with_spin_on_twenty_thousand_procedures() {
    let tally = compare::compare(100_000..120_000);
    assert_eq!(tally.cases, 20_000);
    assert!(tally.faulty * 4 > tally.cases, "too few have faults: {tally:?}");
    println!("{tally:?}, 0 disagreements");
}
