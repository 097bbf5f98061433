//! The order of the parts, which is that of the trade: hazards and preconditions before the steps, each warning before
//! its act (P-01: NUREG-0899, 2nd hand).

use super::page;
use crate::{html::html, text::text};

fn in_order(shown: &str, parts: &[&str]) {
    let mut from = 0;
    for part in parts {
        let at = shown[from..].find(part).unwrap_or_else(|| panic!("{part:?} does not follow in\n{shown}"));
        from += at + part.len();
    }
}

const PARTS: [&str; 26] = [
    "NOT APPROVED",
    "service",
    "sha256:00ff",
    "Checked against the stated rules: 123 obligations hold on every path,",
    "second program.",
    "Assumed",
    "come first",
    "About this procedure",
    "Keep the pump running",
    "technician",
    "40 min",
    "Continuous",
    "Have at hand",
    "Torque driver",
    "None",
    "Face shield",
    "Hazards",
    "DANGER",
    "Before you start",
    "Figures",
    "Steps",
    "Look and confirm",
    "If something goes wrong",
    "Restoration",
    "Card complete",
    "Technician 2",
];

#[test]
fn parts_stand_in_the_order_of_the_trade() {
    let title = ["Service &amp; test the pump", "Service & test the pump"];
    for (shown, title) in [html(&page()).unwrap(), text(&page())].iter().zip(title) {
        assert!(shown.contains(title));
        in_order(shown, &PARTS);
    }
}

#[test]
fn a_warning_its_note_and_its_needs_stand_before_the_act() {
    for shown in [html(&page()).unwrap(), text(&page())] {
        in_order(
            &shown[shown.find("If something").map_or(0, |_| shown.find("Steps").unwrap())..],
            &[
                "A falling lid",
                "It is light.",
                "cover: loose",
                "Lift the",
                "The pump can be seen.",
                "Verified by the officer",
            ],
        );
    }
}

#[test]
fn headings_go_down_one_level_at_a_time() {
    let shown = html(&page()).unwrap();
    let mut last = 0;
    for piece in shown.split("<h").skip(1) {
        let Some(level) = piece.chars().next().and_then(|digit| digit.to_digit(10)) else { continue };
        assert!(level <= last + 1, "h{level} after h{last}");
        last = level;
    }
    assert_eq!(shown.matches("<h1").count(), 1);
    for landmark in ["<html lang=\"en\">", "<header>", "<main>"] {
        assert!(shown.contains(landmark), "{landmark}");
    }
}

#[test]
fn nothing_calls_the_result_safe() {
    for shown in [html(&page()).unwrap(), text(&page())] {
        let words = shown.to_lowercase();
        assert!(!words.contains(" safe ") && !words.contains(" safe."));
        assert!(!words.contains("lockout"));
    }
}
