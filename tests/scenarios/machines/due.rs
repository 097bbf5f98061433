//! What falls due when, and what is out of service until when.

use super::Site;
use crate::support::demo;
use crate::support::run::{stderr, stdout};

const REGISTER: &str = "site: { zone: Etc/UTC }
register:
  oskerry-22:
    due:
      strainer-clean: { every: 30 days }
      tip-swap: { every: 200 days, after: { uses: 2, of: [strainer-clean] } }
    serials:
      OSK-0117: { since: 2026-10-01 }
      OSK-0118: { since: 2026-10-10 }
";

/// The lines of a part of the list.
fn part(list: &str, head: &str) -> Vec<String> {
    let lines = list.lines().skip_while(|line| !line.starts_with(head)).skip(1);
    lines.take_while(|line| !line.is_empty()).map(|line| line.trim().to_owned()).collect()
}

#[test]
fn a_completed_walk_counts_from_its_day_and_training_and_stops_do_not() {
    let site = Site::new(REGISTER);
    // 20 October, on one of the two; the other machine's walks are training and a stop.
    site.walk("strainer-clean", "osk-0117 ", 0, false, None);
    site.walk("strainer-clean", "OSK-0118", 0, true, None);
    site.walk("strainer-clean", "OSK-0118", 0, false, Some("the lamp flickers"));
    let on = |day: &str| {
        let output = site.list(&["--on", day]);
        (output.status.code(), stdout(&output))
    };
    let (status, list) = on("2026-11-08");
    assert_eq!(status, Some(0), "{list}");
    assert_eq!(part(&list, "Due on"), ["none"]);
    // Ten days after the 10th is the 9th of the next month but one day: October has 31.
    let (status, list) = on("2026-11-09");
    assert_eq!(status, Some(1), "{list}");
    assert_eq!(
        part(&list, "Due on"),
        ["2026-11-09  OSK-0118  strainer-clean  not on record, in use since 2026-10-10"]
    );
    let later = part(&list, "Later");
    assert!(later[0].starts_with("2026-11-19  OSK-0117  strainer-clean"), "{later:?}");
    assert!(later[0].ends_with("last completed on 2026-10-20"), "{later:?}");
    assert!(later.iter().any(|line| line.contains("OSK-0117  tip-swap        1 of 2 uses")), "{later:?}");
    // A list of a day before the walk knows nothing of it.
    assert!(part(&on("2026-10-19").1, "Later")[0].starts_with("2026-10-31  OSK-0117"));
    // The second use makes it due on its day, long before its days have passed; doing it begins anew.
    site.walk("strainer-clean", "OSK-0117", 5, false, None);
    let (_, list) = on("2026-10-25");
    assert_eq!(
        part(&list, "Due on"),
        ["2026-10-25  OSK-0117  tip-swap  2 of 2 uses, not on record, in use since 2026-10-01"]
    );
    site.walk("tip-swap", "OSK-0117", 6, false, None);
    let (_, list) = on("2026-10-26");
    assert_eq!(part(&list, "Due on"), ["none"]);
    assert!(list.contains("2027-05-14  OSK-0117  tip-swap        0 of 2 uses, last completed on 2026-10-26"));
}

#[test]
fn a_machine_is_out_of_service_until_it_is_released_or_the_register_says_so_no_more() {
    let site = Site::new(REGISTER);
    let out = |site: &Site, day: &str| part(&stdout(&site.list(&["--on", day])), "Out of service");
    assert_eq!(out(&site, "2026-10-21"), ["none"]);
    let stopped = site.walk("tip-swap", "OSK-0117", 1, false, Some("the lamp flickers"));
    site.walk("tip-swap", "OSK-0118", 1, true, Some("training ends"));
    assert_eq!(
        out(&site, "2026-10-21"),
        [format!("OSK-0117  since 2026-10-21: the lamp flickers (Tomas Reeve, work stopped in {stopped})")]
    );
    assert_eq!(out(&site, "2026-10-20"), ["none"], "a day before it was stopped");
    site.release(&stopped, 2);
    assert_eq!(out(&site, "2026-10-22"), ["none"]);
    let by_hand = "      OSK-0131:
        since: 2026-10-01
        out_of_service: { since: 2026-10-15, by: Gwen Adeyi, reason: The castor is cracked. }\n";
    site.write("register.yaml", &format!("{REGISTER}{by_hand}"));
    assert_eq!(out(&site, "2026-10-14"), ["none"]);
    assert_eq!(
        out(&site, "2026-10-15"),
        ["OSK-0131  since 2026-10-15: The castor is cracked. (Gwen Adeyi, by the register)"]
    );
}

#[test]
fn a_mistyped_serial_shows() {
    let site = Site::new(REGISTER);
    site.walk("strainer-clean", "OSK-0171", 0, false, None);
    let list = stdout(&site.list(&["--on", "2026-11-01"]));
    assert!(part(&list, "Worked on")[0].starts_with("OSK-0171 (oskerry-22), 1 walk"), "{list}");
}

#[test]
fn a_register_that_does_not_fit_is_refused_with_what_to_mend() {
    for (from, to, told) in [
        ("strainer-clean: {", "strainer-clen: {", "did you mean `strainer-clean`?"),
        ("oskerry-22:", "oskery-22:", "no equipment is named `oskery-22`; did you mean `oskerry-22`?"),
        ("of: [strainer-clean]", "of: [strainer]", "whose walks count for `tip-swap`"),
        ("uses: 2", "uses: 0", "due after 0 uses"),
        ("{ every: 30 days }", "{}", "neither `every` nor `after`"),
        ("30 days", "30 d", "`30 d` is no interval"),
        ("OSK-0118", "osk-0117", "`osk-0117` of `oskerry-22` is there twice"),
        ("since: 2026-10-10", "since: 2026-02-30", "`2026-02-30` is no day"),
        ("serials:", "serial:", "schemas/register.schema.json"),
    ] {
        assert!(REGISTER.contains(from), "{from}");
        let output = Site::new(&REGISTER.replacen(from, to, 1)).list(&[]);
        assert_eq!(output.status.code(), Some(2), "{to}");
        assert!(stderr(&output).contains(told), "{to}: {}", stderr(&output));
    }
    // It is no procedure either: `check` leaves it alone.
    assert!(demo::text("register").contains("register:"));
}
