//! The proof against an explicit-state interpreter (`oracle`), boxes alone, diagrams alone, and a threshold between them.
//!
//! They agree on what goes wrong (preconditions, rules by the step that breaks them, promises, questions without an
//! answer), on the places reached, on idle acts, on the variants that finish, and on the number of moves of a shortest run,
//! which the interpreter can act out.
//!
//! The suite was tried on broken engines; each of these was caught by the tests named. `small`, `random` and `bundled`
//! are the comparisons of those files, `faults` is a suite of `check`, `walks` one in `tests/`, the others directed cases.
//!
//! | what was broken | caught by |
//! |---|---|
//! | a settling value never falls by itself | small, random, `waits_add_up…`, `ways_with_different_waits…`, walks |
//! | the same, after gates alone | small, random, `a_value_that_was_seen…` |
//! | the same, after preconditions alone | small, random, `a_value_that_was_seen…` |
//! | boxes with unequal clocks merged | small, random, `ways_with_different_waits…` |
//! | a box inside another dropped whatever its clocks | `a_shorter_wait_is_not_covered…` alone |
//! | boxes merged that differ in two variables | small, random, `what_was_decided_together…` |
//! | lost evidence ends no other evidence | small, random, faults, `lost_evidence_ends…` |
//! | evidence lost wherever its cause is possible | small, random, `evidence_is_lost_only…` |
//! | preconditions not live | small, random, bundled, many directed cases |
//! | rules not live | small, random, `what_a_later_step_relies_on…` |
//! | causes of lost evidence not live | random, `what_a_later_step_relies_on…` |
//! | items of a group not cleared | random, `a_group_begins_anew…` |
//! | outside of a cube is only its first part | small, random, `a_failed_gate_knows_no_more…` |
//! | a clock not restarted by a new setting | small, random, `waits_add_up…`, `ways_with_different_waits…` |
//! | a wait as long for every variant | random, `a_wait_counts_for_the_variants…` |
//! | a step's wait counts for what it sets | small, random, bundled, `a_wait_does_not_count…` |
//! | a reading finds nothing out afresh | small, random, bundled, `a_failed_reading…` |
//! | a failed step disturbs nothing | small, random, `a_failed_reading…` |
//! | after a broken rule all states go on | small, random, `items_break_rules_together…` |
//! | after an unmet precondition all states go on | small, random, faults, `an_item_that_nobody_gets_through…` |
//! | a loop is followed once | small, random |
//! | items of a group never depend on each other | random, `items_break_rules_together…` |
//! | items that check the same unknown do not | `items_that_check_what_settles…` alone |
//! | rules do not join items | `items_break_rules_together…` alone |
//! | leaving a group does not join items | random alone |
//! | waits in a group do not join items | random alone |
//! | clusters of items only one after the other | random, `an_item_that_nobody_gets_through…` |
//! | a run follows any way that joined | small, random, faults, `a_failed_gate_knows_no_more…` |
//! | a run ignores what preconditions ask on arrival | small, random, `a_value_that_was_seen…` |
//! | promises asked of stopped runs | small, random, bundled, faults, walks |
//! | the start is one value | small, random, bundled, faults, `an_unknown_start…` |
//! | after the last round as if it had ended | random, bundled, faults, walks |
//! | a run passes through broken rules midway | random alone |
//! | of a settling condition of three values nobody looks | random, `whoever_looks_at_three_values…` |
//! | diagrams: nothing settles by itself | small, random, `a_value_that_was_seen…`, `items_that_check_what_settles…` |
//! | diagrams: nothing settles after preconditions | random alone |
//! | diagrams: sets hide those with less time passed | random, `a_shorter_wait_is_not_covered…`, `waits_of_a_group…` |
//! | diagrams: only the first of what a step wrote is written | random, many directed cases |
//! | diagrams: a part of an outcome is taken from every state | random, many directed cases |
//! | diagrams: after a broken rule all states go on | random, `items_break_rules_together…` |
//! | diagrams: a group ends with items open | random, `a_group_begins_anew…`, `waits_of_a_group…` |
//! | diagrams: items of a group not cleared | random, `a_group_begins_anew…`, `who_leaves_a_group…` |
//!
//! Three changes of the diagrams are caught by nothing, because something else does the same: what settles after a broken
//! rule does so again before the next step is looked at, a clock at its end needs no value taken away from what the machine
//! is asked, and where a run is followed the machine asks the preconditions on arrival. With items never done, or open
//! though they are done, nothing comes to an end within minutes.

mod budget;
mod bundled;
mod compare;
mod directed;
mod found;
mod groups;
mod plans;
mod random;
mod small;
mod stops;
mod work;

use compare::Compared;

/// What was compared, for a person who runs the suite with its output shown.
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn report(what: &str, compared: &Compared) {
    let Compared { cases, faulty, wrong, states, moves, given_up } = compared;
    println!(
        "{what}: {cases} compared ({faulty} faulty, {wrong} faults in them, {moves} moves acted out, {states} states; \
         {given_up} too large for the interpreter), 0 disagreements"
    );
}
