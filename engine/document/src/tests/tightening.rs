//! The passes over a group of fasteners.

use crate::model::{Fasteners, Pass};
use crate::{FastenPass, passes, tightening};
use calc::quantity::System;

fn group(yaml: &str) -> Fasteners {
    serde_yaml::from_str(yaml).expect("a group")
}

fn words(passes: &[FastenPass]) -> Vec<&str> {
    passes.iter().map(|pass| pass.words.as_str()).collect()
}

/// 30, 60, 100 % and a round at the end (ASME PCC-1 table 1, 2nd hand; trade texts, read).
#[test]
fn stages_are_passes_and_the_last_one_goes_round() {
    let group = group(
        "{ layout: circle, count: 4, order: crosswise, torque: 3 N·m, stages: [30 %, 60 %, 100 %], final_pass: true }",
    );
    let found = passes(&group, Pass::Tighten, System::Source).expect("passes");
    assert_eq!(
        words(&found),
        ["to 30 % (0.9 N·m)", "to 60 % (1.8 N·m)", "to 100 % (3 N·m)", "check: at 3 N·m it turns no further"]
    );
    let orders: Vec<&[usize]> = found.iter().map(|pass| &*pass.order).collect();
    assert_eq!(orders, [[1, 3, 2, 4], [1, 3, 2, 4], [1, 3, 2, 4], [1, 2, 3, 4]]);
    assert_eq!(passes(&group, Pass::Loosen, System::Source).expect("one")[0].order, [4, 2, 3, 1]);
    assert_eq!(words(&passes(&group, Pass::Seat, System::Source).expect("one")), ["until it is seated"]);
}

/// 1 N·m is 0.737562 lbf·ft (NIST SP 811, read).
#[test]
fn torques_are_told_in_both_systems() {
    let group = group(
        "{ layout: line, count: 2, order: centre-out, torque: 3 N·m, stages: [30 %, 100 %], final_pass: true }",
    );
    assert_eq!(
        words(&passes(&group, Pass::Tighten, System::Us).expect("passes")),
        [
            "to 30 % (0.9 N·m, 0.664 lbf·ft)",
            "to 100 % (3 N·m, 2.21 lbf·ft)",
            "check: at 3 N·m (2.21 lbf·ft) it turns no further"
        ]
    );
}

#[test]
fn a_written_order_is_the_order_and_is_loosened_backwards() {
    let written = group("{ layout: line, count: 3, order: centre-out, sequence: [2, 3, 1], torque: 1 N·m }");
    assert_eq!(tightening(&written).expect("an order").order, [2, 3, 1]);
    assert_eq!(passes(&written, Pass::Loosen, System::Source).expect("one")[0].order, [1, 3, 2]);
    let wrong = group("{ layout: line, count: 3, order: centre-out, sequence: [1, 2, 3] }");
    assert!(tightening(&wrong).expect_err("refused").to_string().contains("nearer the centre"));
}

#[test]
fn a_grid_with_an_inside_is_gone_over_in_its_own_order() {
    let group =
        group("{ layout: grid, rows: 3, columns: 3, order: centre-out, torque: 1 N·m, final_pass: true }");
    let found = passes(&group, Pass::Tighten, System::Source).expect("passes");
    assert_eq!(found.len(), 2);
    assert_eq!(found[0].order, found[1].order);
}
