//! Procedures that two published texts ask for (`tests/standards`, where source and mark stand), as they are walked.

use super::driver::{Driver, SECOND, begin};
use document::InputFile;
use journal::Journal;
use walk::{Because, Error, Input, LiveWalk, Look, Prompt, Stage};

macro_rules! pair {
    ($folder:literal) => {
        [
            include_str!(concat!("../../../../tests/standards/", $folder, "/equipment.yaml")),
            include_str!(concat!("../../../../tests/standards/", $folder, "/procedure.yaml")),
        ]
    };
}

/// A walk of the procedure, gone on with up to the act of that step.
fn come_to<'j>(
    journal: &'j mut Journal,
    driver: &mut Driver,
    pair: [&str; 2],
    (name, step): (&str, &str),
) -> LiveWalk<'j> {
    let file = |text: &str| InputFile { name: format!("{}.yaml", text.len()), bytes: text.into() };
    let mut live = walk::begin(journal, name, begin(name, &pair.map(file)), driver.now_ms).expect("begun");
    while live.walk().node().path != step || !matches!(live.walk().stage(), Stage::Act) {
        let input = driver.input(&live).expect("something is asked");
        driver.now_ms += 1_000;
        live.answer(&input, driver.now_ms).expect("taken");
    }
    live
}

/// What the gates ask for now, each answered with yes.
fn asked(live: &mut LiveWalk<'_>, driver: &Driver, because: Because) -> Vec<String> {
    let mut asked = Vec::new();
    while let Stage::Gate { due, because: why, .. } = live.walk().stage() {
        assert_eq!(why, because);
        asked.push(live.walk().machine().layout.var(due.var).name.to_string());
        live.answer(&Input::Look(Look::Yes), driver.now_ms).expect("taken");
    }
    asked
}

/// FAA AC 120-71B: what was done of the list before the interruption is verified before anybody goes on.
#[test]
fn an_interrupted_list_is_verified_before_it_goes_on() {
    for person in [super::driver::PERSON, SECOND] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut driver = Driver::new();
        let place = ("before-take-off", "flaps");
        let mut live = come_to(&mut journal, &mut driver, pair!("interruption"), place);
        drop(live);
        live = walk::resume(&mut journal, place.0).expect("it is there");
        live.answer(&Input::Resume { person: person.to_owned() }, driver.now_ms).expect("taken");
        // First whether the item had been begun; not going on with it.
        assert!(matches!(live.prompt(), Prompt::AsLeft { .. }));
        assert!(matches!(live.answer(&Input::Done, driver.now_ms), Err(Error::Refused(_))));
        live.answer(&Input::Look(Look::No), driver.now_ms).expect("taken");
        assert!(matches!(live.answer(&Input::Done, driver.now_ms), Err(Error::Refused(_))));
        assert_eq!(asked(&mut live, &driver, Because::TakenUp), ["fuel", "trim"]);
        assert_eq!((live.walk().node().path.as_str(), live.walk().person()), ("flaps", person));
        driver.finish(&mut live);
        assert_eq!(live.walk().status(), walk::Status::Completed);
    }
}

/// The same, with one item found undone: nobody goes on.
#[test]
fn an_item_found_undone_after_the_interruption_keeps_the_list_shut() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let place = ("before-take-off", "roll");
    let mut live = come_to(&mut journal, &mut driver, pair!("interruption"), place);
    live.answer(&Input::Resume { person: SECOND.to_owned() }, driver.now_ms).expect("taken");
    for answer in [Look::No, Look::Yes, Look::No, Look::Yes] {
        live.answer(&Input::Look(answer), driver.now_ms).expect("taken");
    }
    assert!(matches!(live.walk().stage(), Stage::Shut { .. }), "{:?}", live.walk().stage());
    assert!(matches!(live.answer(&Input::Done, driver.now_ms), Err(Error::Refused(_))));
}

/// 29 CFR 1910.147(d)(5)(ii): while energy may build up again, a look at the gauge counts only for so long.
#[test]
fn what_may_build_up_again_is_looked_at_again_before_the_work_goes_on() {
    for (later_ms, again) in [(9 * 60_000, &[][..]), (11 * 60_000, &["pressure"][..])] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut driver = Driver::new();
        let mut live = come_to(&mut journal, &mut driver, pair!("reaccumulation"), ("seal", "take-out"));
        driver.now_ms += later_ms;
        // What is too old is found out when something is said, and then it is not taken.
        let said = live.answer(&Input::Done, driver.now_ms);
        assert_eq!(said.is_err(), !again.is_empty());
        assert_eq!(asked(&mut live, &driver, Because::Lapsed), again);
        if said.is_err() {
            live.answer(&Input::Done, driver.now_ms).expect("taken");
        }
        assert_eq!(live.walk().node().path, "put-in");
        assert_eq!(asked(&mut live, &driver, Because::Lapsed), Vec::<String>::new());
    }
}
