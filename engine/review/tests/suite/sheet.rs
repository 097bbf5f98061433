//! What the officer's page says of findings, and of the ways to leave the machine.

use crate::support::demo;
use card::page::{PlanLine, PlanLineKind, Stop, StopRow};
use card::sheet::{Block, Sheet};
use document::{Day, Diagnostic, Library};
use review::pages::ReviewSheet;
use review::{ApprovalStatus, Side};

fn sheet(rows: Vec<StopRow>, found: impl Fn(&Library) -> Vec<Diagnostic>) -> Sheet {
    let reading = demo::reading("tip-swap", &demo::text("tip-swap"));
    let now = Side::find(&reading.library, "tip-swap", None).expect("a procedure with its equipment");
    let (how, looks, unseen) = (None, Vec::new(), Vec::new());
    let stop = Stop { how, rows, looks, unseen, whole: None, cannot: "Keep away.".to_owned() };
    let findings = found(&reading.library);
    let page = ReviewSheet {
        now,
        content: "0",
        certificate: None,
        on: &Day::parse("2026-11-25").expect("a day"),
        status: &ApprovalStatus::Never,
        returned: None,
        findings: &findings,
        silenced: Vec::new(),
        matrix: None,
        stop: Some(stop),
        since: None,
    };
    page.sheet()
}

/// What stands beside a line of the first table.
fn glance(sheet: &Sheet, what: &str) -> String {
    let part = sheet.parts.iter().find(|part| part.id == "glance").expect("a part");
    let Some(Block::Table(table)) = part.blocks.first() else { panic!("a table") };
    let text = |cell: &card::sheet::Cell| format!("{:?}", cell.lines);
    let row = table.rows.iter().find(|row| text(&row[0]).contains(what)).expect("a row");
    text(&row[1])
}

/// The words of a way are for people; whether it is one is not read from them.
#[test]
fn a_place_without_a_way_is_counted_whatever_its_words() {
    let row = |at: &str, words: &str, is_known| StopRow {
        at: at.to_owned(),
        lines: vec![PlanLine { depth: 0, kind: PlanLineKind::End, text: words.to_owned() }],
        is_known,
    };
    let known = row("Step 1", "Nothing to do first.", true);
    let misleading = row("Step 3", "Shut the valve. No way is known.", true);
    let stuck = row("Step 2", "Call for help.", false);
    let told = |rows| glance(&sheet(rows, |_| Vec::new()), "If work stops");
    assert!(told(vec![]).contains("no way is worked out"));
    assert!(told(vec![known.clone(), misleading.clone()]).contains("is known at every step"));
    assert!(told(vec![known, stuck, misleading]).contains("no way is known at 1 place"));
}

/// A finding that stands for several places of one cause names them all: whoever accepts it accepts them all.
#[test]
fn every_place_of_a_finding_is_named() {
    let found = |library: &Library| {
        let place = |pointer: &str| library.procedures["tip-swap"].place(pointer);
        let finding = Diagnostic::warning("G02", place("/steps/0/id"), "a step is never reached");
        vec![Diagnostic { also: vec![place("/steps/1/id"), place("/steps/2/id")], ..finding }]
    };
    let sheet = sheet(Vec::new(), found);
    let part = sheet.parts.iter().find(|part| part.id == "findings").expect("a part");
    let Some(Block::Table(table)) = part.blocks.first() else { panic!("a table") };
    let cell = table.rows[0].last().expect("the finding and its places");
    let places = cell.lines.iter().filter(|line| format!("{line:?}").contains("tip-swap.yaml"));
    assert_eq!(places.count(), 3, "{:?}", cell.lines);
}
