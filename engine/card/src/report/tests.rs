//! The layout of reports.

use super::{Fix, Log, Replacement, Style, json, sarif, summary, text};
use document::{Diagnostic, Place, Source, SourceId, Span};

const PLAIN: Style = Style { colour: false, width: 80 };

fn sources() -> Vec<Source> {
    vec![
        Source::new("pump.yaml", "steps:\n  - id: ä\n    then: nowhere\n"),
        Source::new("rig.yaml", "title: Rig\n"),
    ]
}

fn place(source: u32, text: &str) -> Place {
    let start = sources()[source as usize].text.find(text).unwrap();
    Place { source: SourceId(source), span: Span { start, end: start + text.len() } }
}

fn finding() -> Diagnostic {
    Diagnostic::error("N09", place(0, "nowhere"), "no step is named `nowhere`")
        .note(place(0, "id"), "the step that says so")
        .note(place(1, "Rig"), "its equipment")
        .trace(vec!["start with the tank empty".into(), "do step 1".into()])
        .help("add one of these:\nsteps:\n  - id: nowhere")
}

#[test]
fn a_finding_shows_everything_in_order() {
    let shown = text(&sources(), &[finding()], PLAIN);
    let parts = [
        "error[N09]: no step is named `nowhere`",
        "pump.yaml:3:11",
        "the step that says so",
        "then: nowhere",
        "^^^^^^^",
        "rig.yaml",
        "its equipment",
        "  the way there:\n    1. start with the tank empty\n    2. do step 1\n",
        "  help: add one of these:\n    steps:\n      - id: nowhere\n",
    ];
    let mut from = 0;
    for part in parts {
        let at = shown[from..].find(part).unwrap_or_else(|| panic!("{part:?} after byte {from} in\n{shown}"));
        from += at;
    }
    assert!(!shown.contains('\u{1b}'), "no colour was asked for");
    assert_eq!(shown, text(&sources(), &[finding()], PLAIN));
}

#[test]
fn colour_only_on_demand_and_no_control_characters_from_outside() {
    let hostile = Diagnostic::warning("N01", place(1, "Rig"), "a\u{1b}[31mb").help("c\u{7}d");
    let shown = text(&sources(), std::slice::from_ref(&hostile), PLAIN);
    assert!(!shown.contains(['\u{1b}', '\u{7}']), "{shown:?}");
    assert!(shown.starts_with("warning[N01]: "), "{shown}");
    let lines = text(&sources(), &[Diagnostic::error("R01", place(1, "Rig"), "one\nline")], PLAIN);
    assert!(lines.starts_with("error[R01]: one line\n"), "{lines}");
    let coloured = text(&sources(), &[hostile], Style { colour: true, width: 80 });
    assert!(coloured.contains('\u{1b}'));
    assert!(!coloured.contains("a\u{1b}[31mb"));
}

#[test]
fn a_place_that_is_not_there_is_no_fault() {
    let past = Place { source: SourceId(0), span: Span { start: 900, end: 2 } };
    let inside_a_letter = Place { source: SourceId(0), span: Span { start: 16, end: 17 } };
    let unknown = Place { source: SourceId(7), span: Span::default() };
    let empty = vec![Source::new("empty.yaml", "")];
    for place in [past, inside_a_letter, unknown] {
        let finding = Diagnostic::error("R01", place, "too great");
        assert!(text(&sources(), std::slice::from_ref(&finding), PLAIN).contains("error[R01]: too great"));
        assert!(text(&empty, std::slice::from_ref(&finding), PLAIN).contains("too great"));
        assert!(json(&sources(), &[finding]).contains("too great"));
    }
}

#[test]
fn json_keeps_its_keys_in_order() {
    let shown = json(&sources(), &[finding()]);
    let keys = [
        "code",
        "severity",
        "message",
        "file",
        "line",
        "column",
        "end_line",
        "end_column",
        "also",
        "notes",
        "trace",
        "help",
    ];
    let found: Vec<&str> = shown
        .lines()
        .filter(|line| line.starts_with("    \""))
        .map(|line| line.trim().trim_start_matches('"').split('"').next().unwrap())
        .collect();
    assert_eq!(found, keys);
    let value: serde_json::Value = serde_json::from_str(&shown).unwrap();
    assert_eq!(value[0]["line"], 3);
    assert_eq!(value[0]["column"], 11);
    assert_eq!(value[0]["end_column"], 18);
    assert_eq!(value[0]["notes"][1]["file"], "rig.yaml");
    assert_eq!(json(&sources(), &[]), "[]\n");
}

/// One cause is one finding in every form, with all its places. SARIF 2.1.0, 3.27.12: `locations` has more than one only where
/// each has to be changed, and here one mend does; 3.27.22: `relatedLocations` are places of the same matter (2nd).
#[test]
fn a_cause_is_told_once_with_all_its_places() {
    let finding = Diagnostic { also: vec![place(0, "id"), place(1, "Rig")], ..finding() };
    let shown = text(&sources(), std::slice::from_ref(&finding), PLAIN);
    assert!(shown.contains("  and at 2 more places: pump.yaml:2:5, rig.yaml:1:8\n"), "{shown}");
    assert_eq!(shown.matches("error[N09]").count(), 1, "{shown}");
    let json: serde_json::Value =
        serde_json::from_str(&json(&sources(), std::slice::from_ref(&finding))).unwrap();
    assert_eq!((&json[0]["also"][0]["line"], &json[0]["also"][1]["file"]), (&2.into(), &"rig.yaml".into()));
    let none = |_: &Diagnostic| Vec::new();
    let log = Log { rules: &[], version: "0", assumed: "all", fixes: &none };
    let log: serde_json::Value = serde_json::from_str(&sarif(&sources(), &[finding], &log)).unwrap();
    assert_eq!(log["runs"][0]["properties"]["assumed"], "all");
    let result = &log["runs"][0]["results"][0];
    assert!(
        result["message"]["text"].as_str().unwrap().contains("`nowhere` (and 2 more places)\n"),
        "{result}"
    );
    assert_eq!(result["relatedLocations"].as_array().unwrap().len(), 4, "two notes and two places");
}

/// SARIF 2.1.0, 3.55 to 3.57: a replacement deletes a region and inserts text; a region of no length only inserts.
#[test]
fn a_mend_is_a_fix_of_its_finding() {
    let text = "  - id: wait\n".to_owned();
    let replacements = [Replacement { line: 2, lines: 0, text: text.clone() }];
    let fix =
        |_: &Diagnostic| vec![Fix { description: "mended", file: "pump.yaml", replacements: &replacements }];
    let log = Log { rules: &[], version: "0", assumed: "all", fixes: &fix };
    let log: serde_json::Value = serde_json::from_str(&sarif(&sources(), &[finding()], &log)).unwrap();
    let change = &log["runs"][0]["results"][0]["fixes"][0]["artifactChanges"][0];
    assert_eq!(change["artifactLocation"]["uri"], "pump.yaml");
    let one = &change["replacements"][0];
    assert_eq!(
        (&one["deletedRegion"]["startLine"], &one["deletedRegion"]["endLine"]),
        (&2.into(), &2.into())
    );
    assert_eq!(one["insertedContent"]["text"], text);
}

#[test]
fn the_summary_counts() {
    let error = finding();
    let warning = Diagnostic::warning("N01", place(1, "Rig"), "w");
    assert_eq!(summary(&[error.clone(), warning, error]), "2 errors, 1 warning");
    assert_eq!(summary(&[]), "no findings");
}
