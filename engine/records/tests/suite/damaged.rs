//! What is told of all walks where one of them cannot be read.

use super::{DAY_MS, START_MS, register, walked};
use document::Day;
use journal::Journal;
use records::exported::Export;
use records::{Damaged, Incomplete, NoCalendar, calendar, due};

fn damaged() -> [Damaged; 1] {
    let (walk, why) = ("wash-1".to_owned(), "record 3 cannot be read, \"so\" it is".to_owned());
    [Damaged { walk, why, machine: None }]
}

/// RFC 4180 (memory): quotes are doubled inside quotes.
#[test]
fn a_file_of_records_names_the_walk_whose_records_it_lacks() {
    let journal = Journal::in_memory().expect("a journal");
    let export = |damaged: &[Damaged]| {
        let export = Export::of_all(&journal, Vec::new(), damaged.to_vec()).expect("an export");
        let (mut csv, mut json) = (Vec::new(), Vec::new());
        export.csv(&journal, &mut csv).expect("written");
        export.json(&journal, &mut json).expect("written");
        [csv, json].map(|bytes| String::from_utf8(bytes).expect("text"))
    };
    let [csv, json] = export(&damaged());
    assert_eq!(
        csv,
        "walk,seq,at,event,details,hash\r\n\
         wash-1,,,unreadable,\"{\"\"why\"\":\"\"record 3 cannot be read, \\\"\"so\\\"\" it is\"\"}\",\r\n"
    );
    let lines: serde_json::Value = serde_json::from_str(&json).expect("JSON");
    let missing = &lines[0];
    assert_eq!((&missing["walk"], &missing["event"]), (&"wash-1".into(), &"unreadable".into()));
    assert_eq!(missing["why"], damaged()[0].why);
    assert!(missing.get("hash").is_none() && missing.get("seq").is_none());
    let [csv, json] = export(&[]);
    assert_eq!(csv.lines().count(), 1);
    assert_eq!(json, "[]\n");
}

#[test]
fn a_calendar_is_of_all_walks_or_not_made() {
    let (register, walks) = (register("Etc/UTC"), [walked("wash", "A-1", START_MS - DAY_MS)]);
    let on = Day::parse("2026-10-20").expect("a day");
    let due = due(Some(&register), register.site.zone, &walks, on);
    let made = |damaged: &[Damaged]| calendar(&due, damaged, str::to_owned);
    assert!(made(&[]).is_ok_and(|file| file.starts_with("BEGIN:VCALENDAR")));
    let refused = made(&damaged()).expect_err("not of some");
    assert!(matches!(&refused, NoCalendar::Incomplete(_)), "{refused:?}");
    assert!(refused.to_string().contains("wash-1 (record 3 cannot be read"), "{refused}");
    assert_eq!(Incomplete::unless_whole(&[]), Ok(()));
    assert_eq!(calendar(&records::Due::default(), &[], str::to_owned), Err(NoCalendar::Empty));
}
