//! The matrix of the demo pump.

use super::{ControlKind, Verdict, Verdicts, build, csv, html, text};
use crate::tests::{SERVICE, library};
use document::model::Name;

fn verdicts() -> Verdicts {
    let rules = [(Name::from("open-while-live"), Verdict::Proved), (Name::from("rolling"), Verdict::Proved)];
    Verdicts { rules: rules.into_iter().collect(), complete: true, ..Verdicts::default() }
}

fn matrix(service: &str, verdicts: &Verdicts) -> super::Matrix {
    let library = library(service);
    let machine = machine::compile(&library, &"service".into()).expect("it compiles");
    build(&library, &"service".into(), &machine, verdicts).expect("a matrix")
}

#[test]
fn every_hazard_has_its_steps_and_their_controls() {
    let matrix = matrix(SERVICE, &verdicts());
    let splash = matrix.hazards.iter().find(|row| row.name == "splash").expect("a row");
    let steps: Vec<&str> = splash.exposures.iter().map(|one| one.step.as_str()).collect();
    assert_eq!(steps, ["2", "3", "5.1", "5.2"], "each step of the type of work");
    let controls: Vec<(ControlKind, &str)> =
        splash.exposures[0].controls.iter().map(|one| (one.kind, one.text.as_str())).collect();
    assert_eq!(
        controls,
        [
            (ControlKind::Need, "supply switch: isolated"),
            (ControlKind::Gate, "step 1: supply switch"),
            (ControlKind::Wear, "Gloves, at least 0.4 mm thick"),
            (ControlKind::Warning, "before the act"),
        ]
    );
    let shock = matrix.hazards.iter().find(|row| row.name == "shock").expect("a row");
    let rules: Vec<(&str, String)> =
        shock.rules.iter().map(|rule| (rule.name.as_str(), rule.words())).collect();
    assert_eq!(rules, [("open while live", "proved on every path".to_owned())]);
    assert_eq!(shock.exposures[0].by, ["brings about cover: loose or open (rule open while live)"]);
}

#[test]
fn gaps_stand_first() {
    let matrix = matrix(SERVICE, &verdicts());
    let words: Vec<(&str, usize)> = matrix.hazards.iter().map(|row| (row.word.word(), row.gaps)).collect();
    assert_eq!(
        words,
        [("DANGER", 0), ("WARNING", 0), ("CAUTION", 0), ("NOTICE", 0)],
        "no gaps: gravest first"
    );
    // A step with nothing but its warning.
    let alone = SERVICE.replace("do: Tell the officer.", "do: Tell the officer.\n    warn: [roll-away]");
    let mut known = verdicts();
    known.rules.remove("rolling");
    let matrix = self::matrix(&alone, &known);
    let first = &matrix.hazards[0];
    assert_eq!((first.name.as_str(), first.gaps), ("roll away", 2), "{first:?}");
    assert_eq!(first.exposures[0].gap.as_deref(), Some("a warning alone"));
    assert_eq!(first.rules[0].verdict, Verdict::NotProved);
    let shown = text(&matrix);
    assert!(
        shown.contains("WARNING roll away [2 GAPS]") && shown.contains("! GAP: a warning alone"),
        "{shown}"
    );
    assert!(shown.lines().all(|line| line.chars().count() <= 78), "{shown}");
}

#[test]
fn a_precondition_that_is_not_proved_is_a_gap() {
    let unmet = Verdicts { unmet: ["/steps/1".to_owned()].into(), ..verdicts() };
    let matrix = matrix(SERVICE, &unmet);
    let splash = matrix.hazards.iter().find(|row| row.name == "splash").expect("a row");
    assert_eq!(splash.exposures[0].gap.as_deref(), Some("a precondition of the step is not proved"));
}

#[test]
fn a_gate_that_can_be_passed_by_does_not_count() {
    // Step 4 may lead to step 6 past step 5: what stands in step 5 is no gate for step 6.
    let past = SERVICE.replace(
        "- { id: wipe, do: Wipe it., supplies: [cloth], work: open-cover }",
        "- { id: wipe, confirm: { supply: isolated }, otherwise: stop }",
    );
    let matrix = matrix(&past, &verdicts());
    let shock = matrix.hazards.iter().find(|row| row.name == "shock").expect("a row");
    let later = shock.exposures.iter().flat_map(|one| &one.controls);
    assert!(later.into_iter().all(|control| !control.text.starts_with("step 5.1")), "{shock:#?}");
}

#[test]
fn a_step_that_looks_itself_has_a_control() {
    let looks = SERVICE.replace(
        "do: Tell the officer.",
        "confirm: { cover: tight }\n    otherwise: stop\n    warn: [roll-away]",
    );
    assert_ne!(looks, SERVICE);
    let matrix = matrix(&looks, &verdicts());
    let row = matrix.hazards.iter().find(|row| row.name == "roll away").expect("a row");
    let own =
        row.exposures.iter().find(|one| one.by.iter().any(|by| by == "its own warning")).expect("the step");
    let gate = own.controls.iter().find(|control| control.kind == ControlKind::Gate).expect("a gate");
    assert_eq!((gate.text.as_str(), &own.gap), (format!("step {}: cover", own.step).as_str(), &None));
}

#[test]
fn no_form_lets_markup_or_formulas_act() {
    let hostile =
        SERVICE.replace("title: Service & test the pump", "title: \"=1+1 <script>alert(1)</script>\"");
    let matrices = [matrix(&hostile, &verdicts())];
    let page = html(&matrices).expect("laid out");
    assert!(!page.contains("<script") && page.contains("&lt;script&gt;"));
    let sheet = csv(&matrices);
    for line in sheet.lines() {
        assert!(!line.starts_with(['=', '+', '-', '@']), "{line}");
    }
    assert!(sheet.starts_with("procedure,revision,signal word,hazard,"));
}
