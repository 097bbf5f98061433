//! Records that were altered or cannot be read: every list names the walk, shows the others, and no machine on which work
//! was stopped is silently in service.

use super::Site;
use crate::support::run::{gatewright, stderr, stdout};
use std::process::{Command, Output};

const REGISTER: &str = "site: { zone: Etc/UTC }
register:
  oskerry-22:
    due:
      strainer-clean: { every: 30 days }
    serials:
      OSK-0117: { since: 2026-10-01 }
      OSK-0131: { since: 2026-10-01 }
";

fn run(site: &Site, arguments: &[&str]) -> Output {
    let given = [arguments, &["--journal", "records.sqlite"]].concat();
    gatewright(site.path(), &given).output().expect("the program runs")
}

/// Changes the records past what guards them, as somebody with the rights to the file can.
fn change(site: &Site, sql: &str) {
    let sql = format!(
        "DROP TRIGGER record_unchanged; DROP TRIGGER record_kept; PRAGMA ignore_check_constraints = ON; {sql}"
    );
    let output = Command::new("sqlite3").arg(site.records()).arg(sql).output().expect("sqlite3 runs");
    assert!(output.status.success(), "{}", stderr(&output));
}

/// What may be done to the record of a stop, and whether the machine is still known.
const CHANGES: [(&str, bool); 7] = [
    ("UPDATE record SET payload = CAST(x'7bff7d' AS TEXT)", true),
    ("UPDATE record SET payload = '{x'", true),
    (r#"UPDATE record SET payload = '{"event":"noted","step":"x","text":"fine"}'"#, true),
    ("UPDATE record SET at_ms = at_ms + 1", true),
    ("UPDATE record SET hash = x'00'", true),
    ("UPDATE record SET seq = -5", false),
    ("DELETE FROM record", false),
];

#[test]
fn a_stopped_walk_that_was_altered_is_named_and_its_machine_is_not_silently_in_service() {
    for (sql, is_known) in CHANGES {
        let site = Site::new(REGISTER);
        let bad = site.walk("strainer-clean", "OSK-0117", 0, false, Some("the lamp flickers"));
        let after = site.walk("strainer-clean", "OSK-0131", 1, false, None);
        let good = site.walk("strainer-clean", "OSK-0131", 2, false, None);
        change(&site, &format!("{sql} WHERE chain = '{bad}' AND seq = 1"));
        // Which walk the removed record belonged to is not to be known: the one that stood after it is named.
        let named = if sql.starts_with("DELETE") { &after } else { &bad };
        let doubt =
            if is_known { "OSK-0117 may be out of service" } else { "any machine may be out of service" };
        for arguments in [
            &["record", "list"][..],
            &["record", "export", "--form", "csv"],
            &["record", "export", "--form", "json"],
            &["record", "export", "--form", "text"],
            &["list", "--from", ".", "--on", "2026-10-25", "--form", "html"],
            &["list", "--from", ".", "--on", "2026-10-25", "--due"],
        ] {
            let output = run(&site, arguments);
            let (out, told) = (stdout(&output), stderr(&output));
            assert_eq!(output.status.code(), Some(1), "{sql} {arguments:?}: {told}");
            assert!(told.contains(&format!("the walk {named} is damaged and left out")), "{sql}: {told}");
            assert!(told.contains(doubt), "{sql} {arguments:?}: {told}");
            assert!(out.contains("OSK-0131"), "{sql} {arguments:?}: {out}");
        }
        let due = stdout(&run(&site, &["list", "--from", ".", "--on", "2026-10-25", "--due"]));
        let out_of_service = due.split("Out of service").nth(1).expect("a section");
        assert!(out_of_service.contains(doubt), "{sql}: {due}");
        let begun = |serial: &str| {
            let walk = ["walk", "strainer-clean", "--from", ".", "--person", "Tomas Reeve", "--training"];
            stdout(&run(&site, &[&walk[..], &["--serial", serial]].concat()))
        };
        assert!(begun("OSK-0117").contains("MAY BE OUT OF SERVICE: OSK-0117: the walk"), "{sql}");
        assert_eq!(begun("OSK-0131").contains("MAY BE OUT OF SERVICE"), !is_known, "{sql}");
        let shown = run(&site, &["record", "show", named]);
        assert_ne!(shown.status.code(), Some(0), "{sql}");
        assert!(stderr(&shown).contains(&**named) && !stderr(&shown).contains("utf-8"), "{sql}: {shown:?}");
        let alone = run(&site, &["record", "export", named, "--form", "csv"]);
        assert!(alone.stdout.is_empty() && stderr(&alone).contains("do not hold together"), "{sql}");
        let verified = run(&site, &["record", "verify"]);
        assert_eq!(verified.status.code(), Some(1), "{sql}: {}", stderr(&verified));
        assert!(stdout(&run(&site, &["record", "show", &good])).contains("completed"), "{sql}");
    }
}
