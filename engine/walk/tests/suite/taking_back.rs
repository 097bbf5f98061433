//! Taking the last answer back: the walk is where it was, nothing is erased, and what somebody else or a clock said stands.

use super::driver::{Driver, start};
use super::rig::{
    OFFICER, PERSON, SECOND, START, begun, gate, put_on_record, refused, resume, say, sign, started,
};
use journal::Journal;
use walk::{Event, Input, LiveWalk, Look, Prompt, Stage};

fn journal() -> Journal {
    Journal::in_memory().expect("a journal")
}

fn back(live: &mut LiveWalk<'_>) -> (String, String) {
    match say(live, &Input::TakeBack, START) {
        Event::TakenBack { step, what } => (step, what),
        event => panic!("{event:?}"),
    }
}

fn stands(live: &mut LiveWalk<'_>) {
    assert_eq!(live.walk().can_take_back(), None);
    assert_eq!(refused(live, &Input::TakeBack, START).reason, "Nothing can be taken back here");
}

fn fields(live: &LiveWalk<'_>, condition: &str) -> Vec<Vec<String>> {
    let layout = &live.walk().machine().layout;
    let var = layout.find(condition).expect("a condition");
    let words = |set| layout.words_of(var, set).iter().map(|word| (*word).to_owned()).collect();
    live.walk().possible().iter().map(|state| words(state.bits.field(layout, var))).collect()
}

const ACTS: &str = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  \
                    - { id: drain, do: Drain the bowl., leaves: { bowl: drained } }\n  \
                    - { id: last, do: Go on. }\n";

/// An act that was said to be done is as one in progress: it is due again, and a stop reckons with before and after.
#[test]
fn an_act_taken_back_is_in_progress() {
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live, bowl: full }", ACTS);
    say(&mut live, &Input::Done, START);
    let before = live.walk().record().clone();
    say(&mut live, &Input::Done, START);
    assert_eq!(live.walk().can_take_back(), Some("Step 2: done"));
    assert_eq!(back(&mut live), ("drain".to_owned(), "drain: done".to_owned()));
    assert_eq!(live.walk().node().path, "drain");
    assert_eq!(live.walk().record(), &before);
    assert_eq!(fields(&live, "bowl"), [["full"], ["drained"]]);
    // What was done before it stands.
    stands(&mut live);
    say(&mut live, &Input::Done, START);
    assert_eq!(fields(&live, "bowl"), [["drained"]]);
    assert_eq!(live.walk().node().path, "last");
    drop(live);
    let events = walk::events(&journal, "one").expect("events").into_iter().map(|(_, event)| event);
    let told: Vec<String> = walk::words(&events.map(|event| (START, event)).collect::<Vec<_>>());
    let end: Vec<&str> = told.iter().rev().take(3).rev().map(String::as_str).collect();
    assert_eq!(end, ["drain: done", "drain: taken back: done", "drain: done"]);
}

/// Before the first act everything that was said can be taken back, the variant too, answer by answer.
#[test]
fn before_the_first_act_all_can_be_taken_back() {
    let mut journal = journal();
    let mut live = begun(&mut journal, "{ supply: live, bowl: full }", ACTS);
    stands(&mut live);
    say(&mut live, &Input::Variant("large".to_owned()), START);
    assert_eq!(gate(&live), "supply live");
    say(&mut live, &Input::Look(Look::Yes), START);
    say(&mut live, &Input::Look(Look::No), START);
    assert!(matches!(live.walk().stage(), Stage::Shut { .. }), "{:?}", live.walk().stage());
    assert_eq!(back(&mut live).1, "off: before step 1: bowl full: no");
    assert_eq!(gate(&live), "bowl full");
    assert_eq!(back(&mut live).1, "off: before step 1: supply live: yes");
    assert_eq!(back(&mut live).1, "tip is large");
    stands(&mut live);
    say(&mut live, &Input::Variant("small".to_owned()), START);
    let tip = live.walk().variants().into_values().collect::<Vec<_>>();
    assert_eq!(tip, ["small"]);
}

/// The first act may have been begun before somebody went back from it to the looks: what it writes is looked at once more.
#[test]
fn what_the_first_act_may_have_changed_is_asked_again() {
    let mut journal = journal();
    let mut live = begun(&mut journal, "{ supply: live, bowl: full }", ACTS);
    say(&mut live, &Input::Variant("small".to_owned()), START);
    for asked in ["supply live", "bowl full"] {
        assert_eq!(gate(&live), asked);
        say(&mut live, &Input::Look(Look::Yes), START);
    }
    assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
    assert_eq!(back(&mut live).1, "off: before step 1: bowl full: yes");
    assert_eq!(gate(&live), "bowl full");
    say(&mut live, &Input::Look(Look::Yes), START);
    assert_eq!(gate(&live), "supply live");
}

/// A surprise that was a slip of the finger: the record is what it was, and the look is asked anew.
#[test]
fn a_look_taken_back_says_nothing() {
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  \
                 - { id: see, confirm: { supply: isolated }, otherwise: tag }\n  \
                 - { id: work, do: Work., then: done }\n  - { id: tag, do: Tag it. }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Done, START);
    let before = live.walk().record().clone();
    say(&mut live, &Input::Look(Look::No), START);
    assert!(live.walk().surprise().is_some());
    assert_eq!(live.walk().node().path, "tag");
    back(&mut live);
    assert_eq!((live.walk().record(), live.walk().surprise()), (&before, None));
    // And the act before it, for nothing was done in between.
    assert_eq!(back(&mut live).1, "off: done");
    assert_eq!(fields(&live, "supply"), [["live"], ["isolated"]]);
    stands(&mut live);
}

/// What somebody else signed, what a clock measured, what an instrument showed, what an interruption ended and what a look
/// itself disturbs stand. A timer that has only begun does not hold the act before it.
#[test]
fn what_others_or_clocks_said_stands() {
    let wait = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  - { id: rest, wait: { for: 45 s } }\n  \
                - { id: last, do: Go on. }\n";
    let mut one = journal();
    let mut live = started(&mut one, "{ supply: live }", wait);
    say(&mut live, &Input::Done, START);
    assert!(matches!(live.walk().stage(), Stage::Wait { .. }), "{:?}", live.walk().stage());
    back(&mut live);
    assert_eq!(live.walk().node().path, "off");
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::TimerOver, START + 45_000);
    stands(&mut live);

    let mut one = journal();
    let mut live = started(&mut one, "{ supply: live, bowl: full }", ACTS);
    say(&mut live, &Input::Done, START);
    say(&mut live, &Input::Pause, START);
    stands(&mut live);
    say(&mut live, &resume(PERSON), START);
    stands(&mut live);

    let signed = "  - { id: off, do: Turn it off., leaves: { supply: isolated }, verified_by: second-person }\n  \
                  - { id: last, do: Go on. }\n";
    let mut one = journal();
    let mut live = started(&mut one, "{ supply: live }", signed);
    say(&mut live, &Input::Done, START);
    assert!(matches!(live.walk().stage(), Stage::Verification), "{:?}", live.walk().stage());
    back(&mut live);
    say(&mut live, &Input::Pause, START);
    say(&mut live, &resume(SECOND), START);
    say(&mut live, &Input::Look(Look::Yes), START);
    while matches!(live.walk().stage(), Stage::Gate { .. }) {
        say(&mut live, &Input::Look(Look::Yes), START);
    }
    say(&mut live, &Input::Done, START);
    // Both had a hand in it.
    for person in [PERSON, SECOND] {
        assert!(refused(&mut live, &sign(person), START).reason.contains("did a part of it"));
    }
    say(&mut live, &sign(OFFICER), START);
    stands(&mut live);

    let measured = "  - { id: read, otherwise: stop, \
                    measure: { what: the voltage, instrument: gauge, at_most: 5 V, shows: { supply: isolated } } }\n  \
                    - { id: last, do: Go on. }\n";
    let mut one = journal();
    let mut live = started(&mut one, "{ bowl: full }", measured);
    say(&mut live, &Input::Reading("1 V".to_owned()), START);
    stands(&mut live);

    let disturbing = "  - { id: see, confirm: { bowl: full }, disturbs: [guard], otherwise: stop }\n  - { id: last, do: Go on. }\n";
    let mut one = journal();
    let mut live = started(&mut one, "{ bowl: full }", disturbing);
    say(&mut live, &Input::Look(Look::Yes), START);
    stands(&mut live);
}

/// The last fastener ticked is due again, and none before it.
#[test]
fn one_fastener_is_taken_back() {
    let mut journal = journal();
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "wand-reassembly", &driver);
    let due = |live: &LiveWalk<'_>| match live.prompt() {
        Prompt::Fasten(tick) => Some(tick),
        _ => None,
    };
    while due(&live).is_none_or(|tick| tick.done < 2) {
        let input = driver.input(&live).expect("a question");
        live.answer(&input, driver.now_ms).expect("taken");
    }
    let before = due(&live);
    let input = driver.input(&live).expect("a question");
    live.answer(&input, driver.now_ms).expect("taken");
    assert_ne!(due(&live), before);
    live.answer(&Input::TakeBack, driver.now_ms).expect("taken");
    assert_eq!(due(&live), before);
    assert_eq!(live.walk().can_take_back(), None);
}

/// Before step 1 nothing was begun: what is given anew is asked all that a fresh walk is asked.
#[test]
fn a_corrected_variant_is_asked_all_that_the_start_asks() {
    let asked = |live: &mut LiveWalk<'_>| {
        let mut asked = Vec::new();
        while matches!(live.walk().stage(), Stage::Gate { .. }) {
            asked.push(gate(live));
            say(live, &Input::Look(Look::Yes), START);
        }
        asked
    };
    let give = |live: &mut LiveWalk<'_>, value: &str| {
        say(live, &Input::Variant(value.to_owned()), START);
    };
    let mut one = journal();
    let mut live = begun(&mut one, "{ supply: live, bowl: full }", ACTS);
    give(&mut live, "small");
    let fresh = asked(&mut live);
    assert_eq!(fresh, ["supply live", "bowl full"]);
    // Both looks and the variant; then the variant alone.
    for looks in [2, 0] {
        let mut one = journal();
        let mut live = begun(&mut one, "{ supply: live, bowl: full }", ACTS);
        give(&mut live, "large");
        for _ in 0..looks {
            say(&mut live, &Input::Look(Look::Yes), START);
        }
        for _ in 0..=looks {
            back(&mut live);
        }
        give(&mut live, "small");
        assert_eq!(live.walk().status(), walk::Status::NotStarted, "{looks}");
        assert_eq!(asked(&mut live), fresh, "{looks}");
        assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
    }
}

/// An earlier program took an act there without asking: what it recorded stands.
#[test]
fn an_act_on_record_that_the_start_let_through_is_done() {
    let mut one = journal();
    let mut live = begun(&mut one, "{ supply: live, bowl: full }", ACTS);
    say(&mut live, &Input::Variant("large".to_owned()), START);
    back(&mut live);
    say(&mut live, &Input::Variant("small".to_owned()), START);
    drop(live);
    put_on_record(&mut one, &Event::Done { step: "off".to_owned() }, START);
    let live = walk::resume(&mut one, "one").expect("it reads");
    assert_eq!(live.walk().node().path, "drain");
    assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
}
