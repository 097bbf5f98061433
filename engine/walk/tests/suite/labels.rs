//! A figure that only the product's label gives: asked before step 1, recorded, and worked with from then on.

use super::driver::{Driver, begin, start};
use crate::support::demo;
use document::figure_cases;
use document::model::Figure;
use journal::Journal;
use walk::{CompiledCache, Event, Input, Look, Prompt, Status, Walk};

fn mix(walk: &Walk) -> Option<String> {
    let figure = Figure::from("$neutraliser-mix".to_owned());
    let cases = figure_cases(walk.equipment()?, walk.procedure(), &figure).ok()?;
    cases.first().map(|case| case.quantity.to_string())
}

#[test]
fn the_label_is_asked_for_and_the_amount_follows_from_it() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "battery-replacement", &driver);
    while matches!(live.prompt(), Prompt::Variant { .. }) {
        let input = driver.input(&live).expect("a variant");
        live.answer(&input, driver.now_ms).expect("taken");
    }
    let Prompt::Reading(label) = live.prompt() else { panic!("the label is asked for: {:?}", live.prompt()) };
    assert!(label.what.contains("neutraliser mix") && label.what.contains("label"), "{}", label.what);
    assert_eq!(label.unit, "mg/L");
    assert_eq!(mix(live.walk()), None, "nothing is invented");
    for wrong in [
        Input::Reading("5".to_owned()),
        Input::Reading("5 s".to_owned()),
        Input::Reading("0 %".to_owned()),
        Input::Reading("101 %".to_owned()),
        Input::Look(Look::Yes),
        Input::Done,
    ] {
        live.answer(&wrong, driver.now_ms).expect_err("not taken");
    }
    assert_eq!(live.walk().status(), Status::NotStarted);
    live.answer(&Input::Reading("5 %".to_owned()), driver.now_ms).expect("taken");
    // 5 % of a litre of water is 50 g (derived).
    assert_eq!(mix(live.walk()).as_deref(), Some("50 g"));
    assert!(matches!(live.prompt(), Prompt::Look(_)), "{:?}", live.prompt());
    let id = live.id().to_owned();
    let again = walk::fold(&journal, &id).expect("the records are read");
    assert_eq!(mix(&again).as_deref(), Some("50 g"), "the record gives the same");
    let events = walk::events(&journal, &id).expect("the records are read");
    let label = events.iter().find_map(|(_, event)| match event {
        Event::Label { amount, input, figure, .. } => Some(format!("{amount} {input} {figure}")),
        _ => None,
    });
    assert_eq!(label.as_deref(), Some("neutraliser-mix wanted 5 %"));
}

/// What was read of the documents is there once for all walks that began with them; what one of them is told of a label
/// is its own.
#[test]
fn walks_share_their_documents_and_not_what_a_label_says() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut compiled = CompiledCache::default();
    let mut walks = Vec::new();
    for id in ["one", "two", "three"] {
        let mut wanted = begin("battery-replacement", &demo::files());
        if id == "three" {
            wanted.documents[0].text.push_str("\n# Read by nobody.\n");
        }
        let live = walk::begin_among(&mut journal, id, wanted, None, driver.now_ms, &mut compiled);
        walks.push(live.expect("it begins").keep());
    }
    let [one, two, three] = &walks[..] else { panic!() };
    assert!(std::ptr::eq(one.walk().machine(), two.walk().machine()));
    assert!(std::ptr::eq(one.walk().library(), two.walk().library()));
    assert!(!std::ptr::eq(one.walk().library(), three.walk().library()), "another text");
    let mut live = walks.remove(0).live(&mut journal);
    while matches!(live.prompt(), Prompt::Variant { .. }) {
        let input = driver.input(&live).expect("a variant");
        live.answer(&input, driver.now_ms).expect("taken");
    }
    live.answer(&Input::Reading("5 %".to_owned()), driver.now_ms).expect("taken");
    assert_eq!(mix(live.walk()).as_deref(), Some("50 g"));
    assert_eq!(mix(walks[0].walk()), None, "the other walk was told nothing");
    drop(live);
    let again = walk::resume_among(&mut journal, "one", &mut compiled).expect("it is there");
    assert_eq!(mix(again.walk()).as_deref(), Some("50 g"));
    assert!(std::ptr::eq(again.walk().machine(), walks[0].walk().machine()));
    assert_eq!(mix(walks[0].walk()), None);
}
