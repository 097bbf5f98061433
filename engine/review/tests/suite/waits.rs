//! The longest that a person may have to wait in one run, on procedures small enough to add up by hand.

use document::InputFile;
use review::{Waits, longest_waits};

const TANK: &str = "\
equipment: tank
title: Tank
revision: 1
roles: { technician: Does the work. }
conditions:
  level: { values: [low, high], ask: { low: Is it low? } }
";

/// A procedure of these steps.
fn longest(steps: &str) -> Waits {
    let head = "procedure: fill\ntitle: Fill\nequipment: tank\nrevision: 1\npurpose: P.\nscope: S.\n\
        performers: { technician: 1 }\ntime: 1 h\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
        spares: none\nwear: none\nsteps:\n";
    let file = |text: String| InputFile { name: "a.yaml".to_owned(), bytes: text.into_bytes() };
    let reading = document::read(&[file(TANK.to_owned()), file(format!("{head}{steps}"))]);
    assert_eq!(reading.findings, Vec::new(), "{steps}");
    let machine = machine::compile(&reading.library, &"fill".into()).expect("it compiles");
    longest_waits(&reading.library, &machine)
}

#[test]
fn a_wait_counts_with_its_limit_where_it_has_one() {
    let until = "until: { level: low }";
    for (wait, seconds) in [
        ("for: 40 s".to_owned(), 40),
        (format!("{until}, limit: 5 min"), 300),
        (format!("for: 40 s, {until}, limit: 5 min"), 300),
    ] {
        let otherwise = if wait.contains("until") { ", otherwise: stop" } else { "" };
        let waits = longest(&format!("  - {{ id: drain, wait: {{ {wait} }}{otherwise} }}\n"));
        assert_eq!(waits.total_ms, seconds * 1000, "{wait}");
        assert_eq!(waits.steps, [("drain".to_owned(), seconds * 1000)], "{wait}");
    }
}

#[test]
fn waits_on_one_way_add_up_and_of_two_ways_the_longer_counts() {
    let waits = longest(
        "  - { id: first, wait: { for: 10 s } }\n  - { id: which, ask: Which?, answers: { left: long, right: short } }\n  \
         - { id: long, wait: { until: { level: low }, limit: 2 min }, otherwise: stop, then: done }\n  \
         - { id: short, wait: { for: 60 s } }\n",
    );
    assert_eq!(waits.total_ms, 130_000);
    assert_eq!(waits.steps, [("first".to_owned(), 10_000), ("long".to_owned(), 120_000)]);
}
