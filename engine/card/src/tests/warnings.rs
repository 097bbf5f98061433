//! Hazards at the front and at their steps.

use super::{page, step, try_page};
use crate::page::{SignalWord, StepBox};

fn short(step: &StepBox) -> Vec<(&str, &str, bool)> {
    let alerts = step.warnings.iter();
    alerts.map(|one| (one.warning.word.word(), one.warning.hazard.as_str(), one.compact)).collect()
}

#[test]
fn the_front_has_every_hazard_once_gravest_first() {
    let page = page();
    let shown: Vec<(&str, &str)> =
        page.hazards.iter().map(|warning| (warning.word.word(), warning.hazard.as_str())).collect();
    // The shock comes from a rule: a step opens the cover, and the performed procedure makes the supply live. No step
    // touches the brake, so its rule is left out.
    assert_eq!(
        shown,
        [
            ("DANGER", "A falling lid."),
            ("WARNING", "Bare terminals."),
            ("CAUTION", "Liquid."),
            ("NOTICE", "A dry pump."),
        ]
    );
    for warning in &page.hazards {
        assert_eq!(warning.symbol, warning.word != SignalWord::Notice, "ANSI Z535.4-2007 4.14.4 (read)");
    }
}

#[test]
fn a_warning_is_short_only_straight_after_the_same_in_full() {
    let page = page();
    assert_eq!(short(step(&page, "loosen")), [("CAUTION", "Liquid.", false)]);
    assert_eq!(
        short(step(&page, "lift")),
        [("DANGER", "A falling lid.", false), ("CAUTION", "Liquid.", true), ("NOTICE", "A dry pump.", false),]
    );
    // Items in any order have no step before them.
    assert_eq!(short(step(&page, "rinse")), [("CAUTION", "Liquid.", false)]);
}

#[test]
fn a_step_that_is_reached_from_elsewhere_warns_in_full() {
    let service = super::SERVICE.replace("yes: measure", "yes: lift");
    let page = try_page(&service).unwrap();
    assert_eq!(short(step(&page, "lift"))[1], ("CAUTION", "Liquid.", false));
    let service = super::SERVICE
        .replace("    leaves: { cover: loose }\n", "    leaves: { cover: loose }\n    only: { tip: fine }\n");
    let page = try_page(&service).unwrap();
    assert_eq!(
        short(step(&page, "lift"))[1],
        ("CAUTION", "Liquid.", false),
        "the step before may be passed over"
    );
}
