//! Days are those of the site's zone: whatever the computer is set to, and however far the site lies from Greenwich.

use super::{START_MS, Site};
use crate::support::run::{gatewright, stderr, stdout};
use walk::{Begin, Input};

/// The same machine at a site in that zone.
fn site(zone: &str) -> Site {
    Site::new(&format!(
        "site: {{ zone: {zone} }}\nregister: {{ oskerry-22: {{ serials: {{ OSK-0117: {{ since: 2026-10-01 }} }} }} }}\n"
    ))
}

/// 2026-10-21, 03:00 in universal time: in Los Angeles it is eight in the evening of the 20th (7 hours behind in summer
/// time: IANA time zone database, memory).
const EVENING_MS: i64 = START_MS + 19 * 3_600_000;

#[test]
fn a_machine_stopped_in_the_evening_west_of_greenwich_is_out_of_service_at_once() {
    let site = site("America/Los_Angeles");
    {
        let mut journal = journal::Journal::open(site.records()).expect("a journal");
        let begin = Begin {
            serial: "OSK-0117".to_owned(),
            training: false,
            rehearsal: false,
            ..crate::walks::begin("strainer-clean", &crate::support::demo::files())
        };
        let mut live = walk::begin(&mut journal, "one", begin, EVENING_MS).expect("it begins");
        live.answer(&Input::Stop("the lamp flickers".to_owned()), EVENING_MS).expect("stopped");
    }
    let out = |day: &str| stdout(&site.list(&["--on", day]));
    assert!(
        out("2026-10-20").contains("OSK-0117  since 2026-10-20: the lamp flickers"),
        "{}",
        out("2026-10-20")
    );
    assert!(!out("2026-10-19").contains("the lamp flickers"));
    // The day of its beginning is that of the site as well.
    let list = |more: &[&str]| {
        let given = [&["record", "list", "--journal", "records.sqlite", "--from", "."], more].concat();
        stdout(&gatewright(site.path(), &given).output().expect("the program runs"))
    };
    assert!(list(&["--since", "2026-10-20", "--until", "2026-10-20"]).contains("strainer-clean"));
    assert_eq!(list(&["--since", "2026-10-21"]), "no walk fits\n");
}

/// Between these two zones lie 26 hours: on one of them it is another day than at the site, whenever this runs.
#[test]
fn what_the_computer_is_set_to_changes_nothing() {
    let site = site("Etc/UTC");
    site.walk("strainer-clean", "OSK-0117", 0, false, Some("the lamp flickers"));
    let told = |zone: &str| {
        let run = |arguments: &[&str]| {
            let output =
                gatewright(site.path(), arguments).env("TZ", zone).output().expect("the program runs");
            (stdout(&output), stderr(&output))
        };
        let due = run(&["list", "--due", "--from", ".", "--journal", "records.sqlite"]);
        let procedures = run(&["list", "--from", ".", "--journal", "none.sqlite", "--form", "html"]);
        let review = run(&["review", "strainer-clean", "--from", "."]);
        (due, procedures, review)
    };
    let east = told("Pacific/Kiritimati");
    assert!(east.0.0.contains("the lamp flickers"));
    // Once more, should the day at the site have changed in between.
    assert!(east == told("Etc/GMT+12") || told("Pacific/Kiritimati") == told("Etc/GMT+12"));
}

#[test]
fn a_register_without_a_zone_is_refused_and_no_register_is_told() {
    let site = Site::new("register: {}\n");
    let refused = site.list(&[]);
    assert_eq!(refused.status.code(), Some(2));
    assert!(stderr(&refused).contains("write `site: { zone: NAME }`"), "{}", stderr(&refused));
    std::fs::remove_file(site.path().join("register.yaml")).expect("removed");
    let list = gatewright(site.path(), &["list", "--from", "."]).output().expect("the program runs");
    assert!(stderr(&list).contains("days are judged in UTC"), "{}", stderr(&list));
    assert_eq!(stderr(&list).lines().count(), 1);
    // Whoever names the day is told nothing of zones.
    let list =
        gatewright(site.path(), &["list", "--from", ".", "--on", "2026-11-02"]).output().expect("it runs");
    assert_eq!(stderr(&list), "");
}
