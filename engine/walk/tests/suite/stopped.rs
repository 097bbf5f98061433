//! Work stopped where the record is not to be believed: what the plan for leaving the machine counts on.

use super::rig::{PERSON, SECOND, START, resume, say, sign, started};
use journal::Journal;
use walk::{Ending, Event, Input, Leaving, LiveWalk, Look, Stage, Status, Taken};

fn journal() -> Journal {
    Journal::in_memory().expect("a journal")
}

/// What a condition may be by all records of which one is so.
fn may_be(live: &LiveWalk<'_>, condition: &str) -> Vec<String> {
    let machine = live.walk().machine();
    let var = machine.layout.find(condition).expect("a condition");
    let fields = live.walk().possible().into_iter().map(|state| state.bits.field(&machine.layout, var));
    let all = fields.fold(0, |all, field| all | field);
    machine.layout.words_of(var, all).into_iter().map(str::to_owned).collect()
}

/// The act is done, and nobody has verified it: the plan counts on neither.
#[test]
fn an_act_that_awaits_its_second_person_is_not_believed_by_the_plan() {
    let steps = "  - { id: drain, do: Drain the bowl., leaves: { bowl: drained }, verified_by: second-person }\n  \
                 - { id: next, do: Go on. }\n";
    for verified in [true, false] {
        let mut journal = journal();
        let mut live = started(&mut journal, "{ supply: live, bowl: full }", steps);
        say(&mut live, &Input::Done, START);
        assert!(matches!(live.walk().stage(), Stage::Verification));
        assert_eq!(may_be(&live, "bowl"), ["full", "drained"]);
        if verified {
            say(&mut live, &sign(SECOND), START);
        }
        say(&mut live, &Input::Stop("rain".to_owned()), START);
        let seen = if verified { &["drained"][..] } else { &["full", "drained"] };
        assert_eq!(may_be(&live, "bowl"), seen);
    }
}

/// The same of a look, which the second person may deny.
#[test]
fn a_look_that_awaits_its_second_person_is_not_believed_by_the_plan() {
    let steps = "  - { id: look, confirm: { bowl: drained }, otherwise: stop, verified_by: second-person }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Look(Look::Yes), START);
    say(&mut live, &Input::Stop("rain".to_owned()), START);
    assert_eq!(may_be(&live, "bowl"), ["full", "drained"]);
}

/// A no is taken: it is on record with what it contradicts, and the plan begins from what was seen.
#[test]
fn after_a_no_the_plan_counts_on_what_was_seen_and_the_no_is_on_record() {
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: isolated } }\n  \
                 - { id: next, requires: { supply: isolated }, do: Go on. }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    say(&mut live, &Input::Done, START);
    assert_eq!(may_be(&live, "supply"), ["isolated"]);
    say(&mut live, &resume(SECOND), START);
    say(&mut live, &Input::Look(Look::No), START);
    let event = say(&mut live, &Input::Look(Look::No), START);
    let Event::Seen { condition, answer: Look::No, recorded, .. } = &event else { panic!("{event:?}") };
    assert_eq!((condition.as_str(), &recorded[..]), ("supply", &["isolated".to_owned()][..]));
    assert_eq!(may_be(&live, "supply"), ["live"]);
    say(&mut live, &Input::Stop("it is live".to_owned()), START);
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Stopped)));
    assert_eq!(may_be(&live, "supply"), ["live"]);
    drop(live);
    assert!(walk::events(&journal, "one").expect("records").iter().any(|(_, told)| *told == event));
    let folded = walk::fold(&journal, "one").expect("a walk");
    assert_eq!(folded.possible().len(), 1);
}

const DRAINED: &str =
    "  - { id: drain, do: Drain the bowl., leaves: { bowl: drained } }\n  - { id: next, do: Go on. }\n";

fn drained<'j>(journal: &'j mut Journal) -> LiveWalk<'j> {
    let mut live = started(journal, "{ supply: live, bowl: full }", DRAINED);
    say(&mut live, &Input::Done, START);
    assert_eq!(may_be(&live, "bowl"), ["drained"]);
    live
}

const ANY: [&str; 2] = ["full", "drained"];

/// Whoever stops work that was paused, or at which they were not, has looked at nothing.
#[test]
fn stopped_after_any_interruption_the_plan_counts_on_nothing_that_was_seen_before() {
    let stop = || Input::Stop("it is late".to_owned());
    let away = Input::StopAway { reason: "it is late".to_owned(), person: SECOND.to_owned() };
    for millis in [0, 1_000, 15 * 60_000] {
        let mut journal = journal();
        let mut live = drained(&mut journal);
        say(&mut live, &Input::Pause, START);
        assert_eq!(may_be(&live, "bowl"), ANY, "whoever asks how to leave it is told the same");
        say(&mut live, &stop(), START + millis);
        assert_eq!(may_be(&live, "bowl"), ANY, "after {millis} ms");
    }
    let mut journal = journal();
    let mut live = drained(&mut journal);
    let found = live.walk().as_found().possible();
    let event = say(&mut live, &away, START);
    assert!(
        matches!(event, Event::Stopped { person: Some(ref person), .. } if person == SECOND),
        "{event:?}"
    );
    assert_eq!((may_be(&live, "bowl"), live.walk().person()), (ANY.map(str::to_owned).to_vec(), SECOND));
    assert_eq!(live.walk().possible(), found);
}

/// What nobody relies on any more nobody looks at again, and no plan counts on it.
#[test]
fn what_was_not_looked_at_when_work_was_taken_up_is_not_believed_by_the_plan() {
    let mut journal = journal();
    let mut live = drained(&mut journal);
    say(&mut live, &resume(SECOND), START);
    say(&mut live, &Input::Look(Look::No), START);
    assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
    assert_eq!(may_be(&live, "bowl"), ANY);
    say(&mut live, &Input::Done, START);
    // Before done it is looked at, and counts.
    assert!(matches!(live.walk().stage(), Stage::Gate { .. }));
    say(&mut live, &Input::Look(Look::Yes), START);
    assert_eq!(may_be(&live, "bowl"), ["drained"]);
}

/// Before anything was asked nothing is believed of what the procedure begins with.
#[test]
fn stopped_before_the_first_question_nothing_is_believed() {
    let mut journal = journal();
    let mut live = super::rig::begun(&mut journal, "{ supply: live, bowl: full }", DRAINED);
    say(&mut live, &Input::Stop("rain".to_owned()), START);
    assert_eq!(may_be(&live, "bowl"), ANY);
}

/// After a stop too: who goes on with the way out is named and has seen nothing of it.
#[test]
fn the_way_to_leave_the_machine_begins_anew_with_whoever_goes_on_with_it() {
    let mut journal = journal();
    let mut live = drained(&mut journal);
    say(&mut live, &Input::Stop("rain".to_owned()), START);
    say(&mut live, &Input::Leaving(Leaving::Done("Wait.".to_owned())), START);
    assert_eq!((live.walk().leaving().len(), may_be(&live, "bowl")), (1, vec!["drained".to_owned()]));
    say(&mut live, &resume(SECOND), START);
    assert_eq!((live.walk().leaving().len(), live.walk().person()), (0, SECOND));
    assert_eq!(may_be(&live, "bowl"), ANY);
    assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Stopped)));
    // A remark is kept on the way, and changes nothing of it.
    say(&mut live, &Input::Leaving(Leaving::Done("Wait.".to_owned())), START);
    say(&mut live, &Input::Note("The lamp is broken.".to_owned()), START);
    assert_eq!((live.walk().leaving().len(), may_be(&live, "bowl")), (1, ANY.map(str::to_owned).to_vec()));
    let returned = Leaving::Returned {
        person: "Gwen Adeyi".to_owned(),
        role: "safety-officer".to_owned(),
        remark: "All is well.".to_owned(),
    };
    say(&mut live, &Input::Leaving(returned), START);
    for late in [resume(PERSON), Input::Note("Too late.".to_owned())] {
        assert!(live.answer(&late, START).is_err(), "it is released");
    }
    drop(live);
    let told = walk::words(&walk::events(&journal, "one").expect("events"));
    let handed = format!("handed over from {PERSON} to {SECOND} after an interruption that nobody announced");
    assert!(told.contains(&handed), "{told:?}");
    assert!(told.iter().any(|line| line.ends_with("note: The lamp is broken.")), "{told:?}");
    assert_eq!(walk::fold(&journal, "one").expect("a walk").person(), SECOND);
}

/// Nothing is kept of what was known together ("not both shut"): each condition is asked by itself.
#[test]
fn what_was_known_together_is_asked_one_by_one_after_a_handover() {
    let steps = "  - { id: work, requires: { supply: live, guard: fitted, bowl: full }, do: Work. }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live, guard: fitted, bowl: full }", steps);
    say(&mut live, &resume(SECOND), START);
    say(&mut live, &Input::Look(Look::No), START);
    let mut asked = Vec::new();
    while matches!(live.walk().stage(), Stage::Gate { .. }) {
        asked.push(super::rig::gate(&live));
        say(&mut live, &Input::Look(Look::Yes), START);
    }
    assert_eq!(asked, ["supply live", "guard fitted", "bowl full"]);
}

/// A handover while a signature is due: the one who went did it, the one who comes may look and sign, and work goes on.
#[test]
fn a_handover_while_a_verification_is_open_is_not_stuck() {
    let steps = "  - { id: drain, do: Drain the bowl., leaves: { bowl: drained }, verified_by: second-person }\n  \
                 - { id: next, requires: { bowl: drained }, do: Go on. }\n";
    for deny in [false, true] {
        let mut journal = journal();
        let mut live = started(&mut journal, "{ supply: live, bowl: full }", steps);
        say(&mut live, &Input::Done, START);
        say(&mut live, &resume(SECOND), START);
        assert!(matches!(live.walk().stage(), Stage::Verification), "{:?}", live.walk().stage());
        if deny {
            say(&mut live, &Input::Deny(SECOND.to_owned()), START);
            assert!(matches!(live.walk().stage(), Stage::Ended(Ending::Stopped)));
        } else {
            say(&mut live, &sign(SECOND), START);
            say(&mut live, &Input::Done, START);
            while matches!(live.walk().stage(), Stage::Gate { .. }) {
                say(&mut live, &Input::Look(Look::Yes), START);
            }
            assert!(
                matches!(live.walk().stage(), Stage::Ended(Ending::Completed)),
                "{:?}",
                live.walk().stage()
            );
        }
    }
}

/// Whoever sends a stop under a key that was used has stopped; sent once more it is the same stop.
#[test]
fn a_stop_with_the_key_of_an_earlier_answer_is_a_stop() {
    let mut journal = journal();
    let mut live =
        started(&mut journal, "{ supply: live }", "  - { id: act, do: Act. }\n  - { id: more, do: Act. }\n");
    live.answer_once(&Input::Done, "key", START).expect("it is taken");
    assert!(matches!(live.answer_once(&Input::Done, "key", START), Ok(Taken::Before(_))));
    let stop = Input::Stop("A leak.".to_owned());
    assert!(matches!(live.answer_once(&stop, "key", START), Ok(Taken::Now(_))));
    assert_eq!(live.walk().status(), Status::Stopped);
    assert!(matches!(live.answer_once(&stop, "key", START), Ok(Taken::Before(_))));
}

/// A key is for one answer: another under it is never taken for the first, nor recorded; nor is one that was taken back.
#[test]
fn a_no_under_the_key_of_a_yes_is_refused() {
    let steps = "  - { id: see, confirm: { bowl: full, guard: fitted }, otherwise: stop }\n  - { id: act, do: Act. }\n";
    let mut journal = journal();
    let mut live = started(&mut journal, "{ supply: live }", steps);
    let (yes, no) = (Input::Look(Look::Yes), Input::Look(Look::No));
    assert!(matches!(live.answer_once(&yes, "key", START), Ok(Taken::Now(_))));
    assert!(matches!(live.answer_once(&yes, "key", START), Ok(Taken::Before(_))));
    let used_up = |answer: Result<Taken, walk::Error>| match answer {
        Err(walk::Error::Refused(refusal)) => assert!(refusal.reason.contains("another answer"), "{refusal}"),
        other => panic!("{other:?}"),
    };
    used_up(live.answer_once(&no, "key", START));
    drop(live);
    // The same once the program has begun anew.
    let mut live = walk::resume(&mut journal, "one").expect("the walk");
    used_up(live.answer_once(&no, "key", START));
    assert!(matches!(live.answer_once(&yes, "key", START), Ok(Taken::Before(_))));
    say(&mut live, &Input::TakeBack, START);
    used_up(live.answer_once(&yes, "key", START));
    assert!(matches!(live.answer_once(&no, "other", START), Ok(Taken::Now(_))));
}
