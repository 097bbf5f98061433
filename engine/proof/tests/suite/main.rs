//! The proof: small cases worked out by hand and all small procedures, each also against the judge (`oracle::judge`), which keeps
//! every path apart; its budget, its work, and plans for stopping.

mod budget;
mod bundled;
mod compare;
mod directed;
mod found;
mod groups;
mod offered;
mod parts;
mod plans;
mod small;
mod stops;
mod untold;
mod work;

use compare::Compared;

/// What was compared, for a person who runs the suite with its output shown.
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn report(what: &str, compared: &Compared) {
    let Compared { cases, faulty, wrong, records, boxes, moves, given_up, by_parts } = compared;
    println!(
        "{what}: {cases} compared ({faulty} faulty, {wrong} faults in them, {moves} moves replayed, {records} records, \
         {boxes} boxes, {by_parts} proved by parts too; {given_up} too large for the judge), 0 disagreements"
    );
}
