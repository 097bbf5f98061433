//! The checklist of the demo pump, and of lists of every length.

use super::{Checklist, Item, html, text};
use crate::page::SignalWord;
use crate::tests::{SERVICE, all_steps, page, try_page};

fn items(count: usize, pauses: &[usize]) -> Vec<Item> {
    let item = |at: usize| Item {
        number: (at + 1).to_string(),
        challenge: "Turn it.".into(),
        response: "off".into(),
        warning: None,
        pauses: pauses.contains(&(at + 1)),
    };
    (0..count).map(item).collect()
}

#[test]
fn groups_have_five_to_nine_lines_and_end_at_pauses() {
    for count in 5..=130 {
        let groups = super::group::groups(items(count, &[]));
        assert!(groups.iter().all(|group| (5..=9).contains(&group.len())), "{count}");
        let numbers: Vec<String> = groups.concat().into_iter().map(|item| item.number).collect();
        assert_eq!(numbers, (1..=count).map(|number| number.to_string()).collect::<Vec<_>>(), "in order");
    }
    let lengths = |pauses: &[usize]| -> Vec<usize> {
        super::group::groups(items(20, pauses)).iter().map(Vec::len).collect()
    };
    assert_eq!(lengths(&[5, 13]), [5, 8, 7], "the work pauses there");
    assert_eq!(lengths(&[2, 8, 13]), [8, 5, 7], "two lines alone are no group");
    assert!(super::group::groups(Vec::new()).is_empty());
    // The questions of one step stay in one group.
    let mut asked = items(20, &[5, 13]);
    asked[5].number.clear();
    assert!(super::group::groups(asked).iter().all(|group| !group[0].number.is_empty()));
}

#[test]
fn every_step_is_a_line_with_what_is_wanted_at_its_end() {
    let page = page();
    let list = Checklist::from_page(&page);
    let lines: Vec<&Item> = list.groups.iter().flatten().collect();
    let numbers: Vec<&str> =
        lines.iter().map(|item| item.number.as_str()).filter(|number| !number.is_empty()).collect();
    let steps: Vec<&str> = all_steps(&page.steps).into_iter().map(|step| step.number.as_str()).collect();
    assert_eq!(numbers, steps);
    let response = |number: &str| {
        lines.iter().find(|item| item.number == number).map(|item| item.response.as_str()).expect("a line")
    };
    // Each question of a confirmation is a line with its own answer and way out, and the step is not parted.
    let asked: Vec<&Item> = lines.iter().copied().take_while(|item| item.number != "2").collect();
    assert_eq!(asked.len(), 2);
    assert!(asked.iter().all(|item| item.response == "yes; if not → stop"), "{asked:?}");
    assert_eq!((asked[0].number.as_str(), asked[1].number.as_str()), ("1", ""));
    assert_eq!(response("3"), "cover: open; verified by officer ____");
    assert_eq!(response("4"), "yes → 6 / no → 5 / unsure → stop / cannot tell → stop");
    assert_eq!(response("8"), "released by officer ____");
    // Degani and Wiener, NASA CR-177549, guideline 1 (2nd): a state or a value.
    for item in &lines {
        assert!(!["checked", "OK", "set", ""].contains(&item.response.as_str()), "{item:?}");
    }
    let warned = lines[3].warning.as_ref().expect("a warning");
    assert!(warned.symbol && warned.word == SignalWord::Danger && warned.hazard == "A falling lid.");
}

#[test]
fn a_warning_stands_before_the_first_line_that_has_it() {
    let warned = Some(super::Warned { word: SignalWord::Danger, symbol: true, hazard: "A lid.".into() });
    let mut lines = items(5, &[]);
    for at in [1, 2, 4] {
        lines[at].warning.clone_from(&warned);
    }
    let shown: Vec<bool> = super::build::once(lines).iter().map(|item| item.warning.is_some()).collect();
    assert_eq!(shown, [false, true, false, false, false]);
}

#[test]
fn dots_lead_from_the_challenge_to_the_response() {
    let shown = text(&Checklist::from_page(&page()));
    for line in shown.lines() {
        assert!(line.chars().count() <= 78 && line == line.trim_end(), "{line:?}");
    }
    let line = shown.lines().find(|line| line.starts_with("     3 [ ] ")).expect("step 3");
    assert!(line.starts_with("     3 [ ]  Lift the cover off. ....") && line.len() == 78, "{line}");
    assert!(shown.contains("[ ] Card complete"), "{shown}");
}

#[test]
fn nothing_authored_becomes_markup() {
    let hostile = SERVICE.replace("Lift the **cover** off.", "\"Lift <script>alert(1)</script> off. {# x\"");
    assert!(try_page(&hostile).is_err(), "template syntax is refused");
    let hostile = SERVICE.replace("Lift the **cover** off.", "\"Lift <script>alert(1)</script> off.\"");
    let shown = html(&Checklist::from_page(&try_page(&hostile).unwrap())).unwrap();
    assert!(!shown.contains("<script") && shown.contains("&lt;script&gt;alert(1)"));
    assert!(!shown.contains("{{") && !shown.contains("{%"));
}

#[test]
fn a_wait_for_something_asks_for_it_and_names_its_limit() {
    let timed = SERVICE.replace(
        "wait: { until: { valve: open }, limit: 9 h }",
        "wait: { for: 2 h, until: { valve: open }, limit: 9 h }",
    );
    for (service, wanted) in [(SERVICE, "limit 9 h"), (timed.as_str(), "2 h; limit 9 h")] {
        let page = try_page(service).unwrap();
        let number = &crate::tests::step(&page, "soak").number;
        let list = Checklist::from_page(&page);
        let lines: Vec<&Item> = list.groups.iter().flatten().collect();
        let at = lines.iter().position(|item| item.number == *number).expect("a line");
        assert!(lines[at].response.starts_with(wanted), "{:?}", lines[at]);
        let asked = lines[at + 1];
        assert!(asked.number.is_empty() && asked.challenge.ends_with('?'), "{asked:?}");
        assert!(asked.response.starts_with("yes") && asked.response.ends_with("→ stop"), "{asked:?}");
        assert!(asked.pauses && !lines[at].pauses, "one step is not parted");
    }
}
