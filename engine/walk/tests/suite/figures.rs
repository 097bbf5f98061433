//! Figures in a walk: those of the machine at hand, in the units that the equipment asks for.

use super::driver::{Driver, begin};
use crate::support::demo;
use document::InputFile;
use journal::Journal;
use walk::Prompt;

fn files() -> Vec<InputFile> {
    let own = demo::text("battery-replacement")
        .replace("that each lead sits on", "after {{ purge_time }} that each lead sits on")
        .replace(
            "the voltage of the new battery, with the probes in the holes of its transport caps",
            "the length of a cap",
        )
        .replace("instrument: voltmeter", "instrument: ruler")
        .replace("at_least: 25.2 V", "at_least: 15 mm")
        .replace("at_most: 26.4 V", "at_most: 21 mm");
    let machine = demo::text("equipment").replacen("revision: 1\n", "revision: 1\nunits: us\n", 1).replace(
        "instruments:\n",
        "instruments:\n  ruler: { unit: mm, resolution: 1 mm, uncertainty: 0.5 mm }\n",
    );
    let file = |name: &str, text: String| InputFile { name: name.to_owned(), bytes: text.into_bytes() };
    vec![file("battery-replacement.yaml", own), file("equipment.yaml", machine)]
}

/// What is said of the hold point, a length and the stages of the clamp on the machine of the given choice of variants.
fn said(choices: usize) -> (Vec<String>, Vec<String>, Vec<String>) {
    let mut driver = Driver { choices, ..Driver::new() };
    let mut journal = Journal::in_memory().expect("a journal");
    let begin = begin("battery-replacement", &files());
    let mut live = walk::begin(&mut journal, "figures", begin, driver.now_ms).expect("the walk begins");
    let (mut holds, mut ranges, mut words) = (Vec::new(), Vec::new(), Vec::new());
    while let Some(input) = driver.input(&live) {
        match live.prompt() {
            Prompt::Sign { check, .. } => holds.extend(check),
            Prompt::Reading(reading) => ranges.extend(reading.accepted),
            Prompt::Fasten(tick) if !words.contains(&tick.words) => words.push(tick.words),
            _ => {}
        }
        // Variants by the choice, the first answer everywhere else.
        if live.walk().variants().len() == 2 {
            driver.choices = 0;
        }
        driver.now_ms += 1_000;
        live.answer(&input, driver.now_ms).expect("taken");
    }
    (holds, ranges, words)
}

/// The time is the table's of the invented machine (4 m, fine: 160 s; 12 m, medium: 165 s); the other figures by NIST SP
/// 811, appendix B.8: 1 in is 25.4 mm, 1 lbf·ft is 1.355818 N·m (2nd hand).
#[test]
fn a_walk_tells_the_figures_of_its_own_machine() {
    for (choices, time) in [(0, "160 s (2 min 40 s)"), (1, "165 s (2 min 45 s)")] {
        let (holds, ranges, words) = said(choices);
        assert!(holds.iter().any(|check| check.contains(&format!("after {time} that each"))), "{holds:?}");
        assert!(ranges.iter().any(|range| range == "15 mm (0.591 in) to 21 mm (0.827 in)"), "{ranges:?}");
        assert!(words.iter().any(|words| words == "to 50 % (1.5 N·m, 1.11 lbf·ft)"), "{words:?}");
    }
}
