//! What the officer's page says of the ways to leave the machine.

use crate::support::demo;
use card::sheet::{Block, Sheet};
use document::Day;
use review::pages::{ReviewSheet, WayOut};
use review::{ApprovalStatus, Side};

fn sheet(stops: Vec<(String, Vec<WayOut>)>) -> Sheet {
    let reading = demo::reading("tip-swap", &demo::text("tip-swap"));
    let now = Side::find(&reading.library, "tip-swap", None).expect("a procedure with its equipment");
    let page = ReviewSheet {
        now,
        content: "0",
        on: &Day::parse("2026-11-25").expect("a day"),
        status: &ApprovalStatus::Never,
        returned: None,
        findings: &[],
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
    let told = |stops| glance(&sheet(stops), "If work stops");
    assert!(told(vec![]).contains("no way is worked out"));
    assert!(told(vec![known.clone(), misleading.clone()]).contains("is known before every step"));
    assert!(told(vec![known, stuck, misleading]).contains("no way is known at 1 place"));
}
