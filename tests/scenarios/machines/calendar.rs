//! The calendar file, read by the general-purpose library icalendar (RFC 5545: memory).

use super::Site;
use crate::support::run::stdout;
use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Stdio};

const REGISTER: &str = "site: { zone: Etc/UTC }
register:
  oskerry-22:
    due:
      strainer-clean: { every: 30 days }
      tip-swap: { after: { uses: 1, of: [strainer-clean] } }
    serials:
      OSK-0117: { since: 2026-10-01 }
      \"Prüf-Gerät, Halle 3; \\\\links\\\\ - ein sehr langer Name für ein Gerät\": { since: 2026-10-10 }
";

/// What the library found: the parts of a line for each event.
fn events(file: &str) -> Vec<Vec<String>> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR"));
    let python = root.join("target/outside/python/bin/python");
    assert!(python.exists(), "{} is not there; `tests/run` installs it", python.display());
    let mut child = Command::new(python)
        .arg(root.join("tests/scenarios/machines/read.py"))
        .env("PYTHONIOENCODING", "utf-8")
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("python starts");
    child.stdin.take().expect("a pipe").write_all(file.as_bytes()).expect("python reads");
    let output = child.wait_with_output().expect("python ends");
    assert!(output.status.success(), "the calendar is no calendar:\n{file}");
    stdout(&output).lines().map(|line| line.split('|').map(str::to_owned).collect()).collect()
}

#[test]
fn each_day_on_which_something_is_due_is_an_all_day_event() {
    let site = Site::new(REGISTER);
    let calendar = |on: &str| stdout(&site.list(&["--form", "ical", "--on", on]));
    let before = events(&calendar("2026-10-19"));
    // What only uses decide has no day yet.
    assert_eq!(before.len(), 2, "{before:?}");
    let [first, second] = &before[..] else { panic!("{before:?}") };
    assert_eq!(first[1..5], ["0", "2026-10-01T00:00:00+0000", "2026-10-31", "1 day, 0:00:00"]);
    assert_eq!(first[5], "Due: Clean the tank strainer, OSK-0117");
    assert_eq!(second[3], "2026-11-09");
    let name = "Prüf-Gerät, Halle 3; \\links\\ - ein sehr langer Name für ein Gerät";
    assert_eq!(second[5], format!("Due: Clean the tank strainer, {name}"));
    assert!(second[6].contains(" / No completed walk of it is on record; in use since 2026-10-10."));
    site.walk("strainer-clean", "OSK-0117", 0, false, None);
    let after = events(&calendar("2026-10-25"));
    let of = |title: &str| after.iter().find(|event| event[5] == title).expect("an event");
    let moved = of("Due: Clean the tank strainer, OSK-0117");
    assert_eq!(moved[0], first[0], "the same event");
    assert_eq!((&*moved[1], &*moved[3]), ("1", "2026-11-19"), "moves, and counts as newer");
    assert!(moved[2].starts_with("2026-10-20T08:"), "stamped by the record: {moved:?}");
    assert_eq!(of("Due: Change the spray tip, OSK-0117")[3], "2026-10-20");
    // The day of asking is nowhere in it.
    assert_eq!(calendar("2026-10-25"), calendar("2026-10-26"));
}

#[test]
fn nothing_with_a_day_is_no_calendar() {
    let site = Site::new(&REGISTER.replace("      strainer-clean: { every: 30 days }\n", ""));
    let output = site.list(&["--form", "ical", "--on", "2026-10-19"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(output.stdout.is_empty());
}
