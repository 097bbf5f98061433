//! What the officer's page says of findings, and of the ways to leave the machine.

use crate::support::demo;
use card::sheet::{Block, Sheet};
use document::{Day, Diagnostic, Library};
use review::pages::{ReviewSheet, WayOut};
use review::{ApprovalStatus, Side};

fn sheet(stops: Vec<(String, Vec<WayOut>)>, found: impl Fn(&Library) -> Vec<Diagnostic>) -> Sheet {
    let reading = demo::reading("tip-swap", &demo::text("tip-swap"));
    let now = Side::find(&reading.library, "tip-swap", None).expect("a procedure with its equipment");
    let findings = found(&reading.library);
    let page = ReviewSheet {
        now,
        content: "0",
        on: &Day::parse("2026-11-25").expect("a day"),
        status: &ApprovalStatus::Never,
        returned: None,
        findings: &findings,
        silenced: Vec::new(),
        matrix: None,
        stops,
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
    let way = |words: &str, is_known| WayOut { words: words.to_owned(), is_known };
    let known = ("1".to_owned(), vec![way("Leave it as it is.", true)]);
    let misleading = ("3".to_owned(), vec![way("Shut the valve. No way is known.", true)]);
    let stuck =
        ("2".to_owned(), vec![way("If the lid is shut: leave it.", true), way("Call for help.", false)]);
    let told = |stops| glance(&sheet(stops, |_| Vec::new()), "If work stops");
    assert!(told(vec![]).contains("no way is worked out"));
    assert!(told(vec![known.clone(), misleading.clone()]).contains("is known before every step"));
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
