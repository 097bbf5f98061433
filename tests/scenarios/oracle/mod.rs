//! A slow, obvious checker of whole procedures, one value a variable, against which the proof is held.

mod bundled;
pub(crate) mod compare;
mod directed;
mod documents;
mod groups;
mod moves;
mod place;
mod plan;
pub(crate) mod random;
mod search;
mod small;

use compare::Compared;

/// What was compared, for a person who runs the suite with its output shown.
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
pub(crate) fn report(what: &str, compared: &Compared) {
    let Compared { cases, faulty, wrong, states, moves, given_up } = compared;
    println!(
        "{what}: {cases} compared ({faulty} faulty, {wrong} faults in them, {moves} moves acted out, {states} states; \
         {given_up} too large for the oracle), 0 disagreements"
    );
}
