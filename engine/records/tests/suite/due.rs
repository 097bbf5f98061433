//! When something falls due, and since when a machine is out of service.

use super::{DAY_MS, START_MS, register, stopped, walked};
use document::{Day, Zone};
use records::{Due, Item, Walked, due};

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

/// What is due by universal time.
fn on(walks: &[Walked], text: &str) -> Due {
    due(Some(&register("Etc/UTC")), Zone::UTC, walks, day(text))
}

fn item<'a>(due: &'a Due, serial: &str, procedure: &str) -> &'a Item {
    let is = |item: &&Item| item.serial == serial && item.procedure == procedure;
    due.items.iter().find(is).expect("an item")
}

#[test]
fn days_count_from_the_last_completed_walk_or_the_day_of_coming_into_use() {
    let never = on(&[], "2026-10-30");
    assert_eq!(
        (item(&never, "A-1", "wash").on, item(&never, "A-1", "wash").is_due),
        (Some(day("2026-10-31")), false)
    );
    assert!(item(&on(&[], "2026-10-31"), "A-1", "wash").is_due, "on its day");
    // A serial number is the same in other letters; training, rehearsals and stops do not count, nor do later days.
    let training = Walked { training: true, ..walked("wash", "A-1", START_MS + DAY_MS) };
    let rehearsal = Walked { rehearsal: true, ..walked("wash", "A-1", START_MS + DAY_MS) };
    let walks = [
        walked("wash", " a-1 ", START_MS),
        training,
        rehearsal,
        stopped("A-1", START_MS + DAY_MS),
        walked("wash", "A-1", START_MS + 9 * DAY_MS),
    ];
    let washed = on(&walks, "2026-10-22");
    let wash = item(&washed, "A-1", "wash");
    // October has 31 days.
    assert_eq!((wash.on, wash.done, wash.known_ms), (Some(day("2026-11-19")), 1, Some(START_MS)));
    assert_eq!(wash.last.as_ref().map(|(day, _)| *day), Some(day("2026-10-20")));
}

#[test]
fn of_days_and_uses_the_one_reached_first_counts() {
    let walks = [walked("wash", "A-1", START_MS), walked("wash", "A-1", START_MS + 5 * DAY_MS)];
    let one = on(&walks, "2026-10-24");
    assert_eq!((item(&one, "A-1", "refit").uses, item(&one, "A-1", "refit").is_due), (Some((1, 2)), false));
    // 200 days after 1 October (derived from the calendar).
    assert_eq!(item(&one, "A-1", "refit").on, Some(day("2027-04-19")));
    let two = on(&walks, "2026-10-25");
    assert_eq!(
        (item(&two, "A-1", "refit").on, item(&two, "A-1", "refit").is_due),
        (Some(day("2026-10-25")), true)
    );
    let mut done = walks.to_vec();
    done.push(walked("refit", "A-1", START_MS + 5 * DAY_MS + 1));
    assert_eq!(item(&on(&done, "2026-10-25"), "A-1", "refit").uses, Some((0, 2)), "it begins anew");
}

#[test]
fn a_machine_is_out_of_service_by_the_register_or_by_a_stop_that_nobody_released() {
    let released = Walked { out_of_use: false, ..stopped("A-1", START_MS) };
    let walks = [stopped("A-1", START_MS), released, stopped("Z-9", START_MS)];
    let serials = |due: &Due| due.out.iter().map(|out| out.serial.clone()).collect::<Vec<_>>();
    assert_eq!(serials(&on(&walks, "2026-10-14")), [""; 0], "before all of it");
    assert_eq!(serials(&on(&walks, "2026-10-15")), ["A-2"], "by the register from its day");
    let all = on(&walks, "2026-10-20");
    assert_eq!(serials(&all), ["A-2", "A-1", "Z-9"], "not in the register and stopped all the same");
    assert_eq!(all.unlisted, [("pump".to_owned(), "Z-9".to_owned(), 1)]);
    // Without a register the stops are still told.
    assert_eq!(serials(&due(None, Zone::UTC, &walks, day("2026-10-20"))), ["A-1", "Z-9"]);
}

/// At 03:00 in universal time it is the evening before in Los Angeles and the same day's afternoon in Auckland (7 hours
/// behind and 13 ahead in October: IANA time zone database, memory).
#[test]
fn days_are_those_of_the_site() {
    let evening = START_MS + 19 * 3_600_000;
    let out = |zone: &str, on: &str| {
        let walks = [stopped("A-1", evening), walked("wash", "A-1", evening)];
        let register = register(zone);
        let due = due(Some(&register), register.site.zone, &walks, day(on));
        let since = due.out.iter().find(|out| out.serial == "A-1").map(|out| out.since.to_string());
        (since, item(&due, "A-1", "wash").on.expect("a day").to_string())
    };
    let west = (Some("2026-10-20".to_owned()), "2026-11-19".to_owned());
    assert_eq!(out("America/Los_Angeles", "2026-10-20"), west);
    assert_eq!(out("America/Los_Angeles", "2026-10-21"), west);
    assert_eq!(out("America/Los_Angeles", "2026-10-19"), (None, "2026-10-31".to_owned()));
    let east = (Some("2026-10-21".to_owned()), "2026-11-20".to_owned());
    assert_eq!(out("Pacific/Auckland", "2026-10-21"), east);
    assert_eq!(out("Pacific/Auckland", "2026-10-20"), (None, "2026-10-31".to_owned()));
}
