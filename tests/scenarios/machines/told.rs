//! What the terminal tells of machines and walks as the browser does: one out of service before work on it begins, and one
//! walk that cannot be read beside all others.

use super::{START_MS, Site};
use crate::support::run::{gatewright, stderr, stdout};
use journal::Journal;
use std::process::Output;

const REGISTER: &str = "site: { zone: Etc/UTC }
register:
  oskerry-22:
    due:
      strainer-clean: { every: 30 days }
    serials:
      OSK-0117: { since: 2026-10-01 }
      OSK-0118: { since: 2026-10-01 }
      OSK-0131:
        since: 2026-10-01
        out_of_service: { since: 2026-10-02, by: Gwen Adeyi, reason: The rear castor is cracked. }
";

fn run(site: &Site, arguments: &[&str]) -> Output {
    let given = [arguments, &["--journal", "records.sqlite"]].concat();
    gatewright(site.path(), &given).output().expect("the program runs")
}

#[test]
fn work_on_a_machine_that_is_out_of_service_does_not_begin_without_a_word() {
    let site = Site::new(REGISTER);
    site.walk("strainer-clean", "OSK-0117", 0, false, Some("the lamp flickers"));
    let begun = |serial: &str| {
        let walk =
            ["walk", "strainer-clean", "--from", ".", "--person", "Tomas Reeve", "--training", "--serial"];
        stdout(&run(&site, &[&walk[..], &[serial]].concat()))
    };
    let by_hand = begun("osk-0131");
    assert!(by_hand.starts_with("OUT OF SERVICE: OSK-0131 since 2026-10-02: The rear castor"), "{by_hand}");
    let stopped = begun("OSK-0117");
    assert!(stopped.starts_with("OUT OF SERVICE: OSK-0117 since 2026-10-20: the lamp flickers"), "{stopped}");
    let other = begun("OSK-0118");
    let approval = "NOT APPROVED: Nobody has approved this procedure.\nThe walk is recorded as";
    assert!(other.starts_with(approval), "of the machine nothing is told: {other}");
    let mistyped = begun("OSK-0181");
    assert!(mistyped.starts_with("NOT IN THE REGISTER: OSK-0181: it may have been mistyped"), "{mistyped}");
}

#[test]
fn a_serial_number_is_what_it_is_in_the_browser() {
    let site = Site::new(REGISTER);
    let long = "9".repeat(61);
    let walk =
        ["walk", "strainer-clean", "--from", ".", "--person", "Tomas Reeve", "--training", "--serial", &long];
    let refused = run(&site, &walk);
    assert_eq!(refused.status.code(), Some(1));
    assert!(stderr(&refused).contains("A serial number has 1 to 60 letters of A to Z or a to z and digits"));
    assert!(!site.records().exists(), "nothing is recorded");
}

#[test]
fn one_walk_that_cannot_be_read_is_named_and_takes_no_other_away() {
    let site = Site::new(REGISTER);
    let good = site.walk("strainer-clean", "OSK-0117", 0, false, None);
    {
        let mut journal = Journal::open(site.records()).expect("a journal");
        journal.begin("the-bad-one", "no record of ours", START_MS).expect("written");
    }
    for arguments in [
        &["record", "list"][..],
        &["record", "export", "--form", "csv"],
        &["record", "export", "--form", "json"],
        &["record", "export", "--form", "text"],
        &["list", "--from", ".", "--on", "2026-10-21", "--form", "html"],
        &["list", "--from", ".", "--on", "2026-10-21", "--due"],
    ] {
        let output = run(&site, arguments);
        let (out, told) = (stdout(&output), stderr(&output));
        assert_eq!(output.status.code(), Some(1), "{arguments:?}: {told}");
        assert!(told.contains("the walk the-bad-one is damaged and left out"), "{arguments:?}: {told}");
        assert!(out.contains("OSK-0117"), "{arguments:?}: {out}");
        // A file that other programs read says itself what it lacks, and a machine may be out of service by it.
        let is_file = arguments.iter().any(|argument| ["csv", "json"].contains(argument));
        assert_eq!(
            out.contains("the-bad-one") && out.contains("unreadable"),
            is_file,
            "{arguments:?}: {out}"
        );
        let is_due = arguments.contains(&"--due");
        let doubt = "any machine may be out of service: the walk the-bad-one is damaged";
        assert_eq!(out.contains(doubt), is_due, "{arguments:?}: {out}");
        assert_eq!(out.contains("the-bad-one"), is_file || is_due, "{arguments:?}: {out}");
    }
    assert!(stdout(&run(&site, &["record", "list"])).contains(&good));
    // A calendar goes to other programs, which are told nothing.
    let refused = run(&site, &["list", "--from", ".", "--on", "2026-10-21", "--due", "--form", "ical"]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).contains("the-bad-one") && refused.stdout.is_empty());
}

#[test]
fn what_people_typed_sends_nothing_to_the_terminal_of_whoever_lists() {
    let site = Site::new(REGISTER);
    site.walk("strainer-clean", "OSK-0117", 0, false, Some("the lamp \u{1b}[2J flickers"));
    let listed = stdout(&run(&site, &["list", "--from", "."]));
    assert!(listed.contains("the lamp") && !listed.contains('\u{1b}'), "{listed:?}");
}
