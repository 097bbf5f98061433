//! What was looked at too long ago counts for nothing: in a plan, at a shut gate, after the walk's own wait, before done.

use super::driver::SECOND;
use super::relooks::{NOW, asked, procedure, say};
use super::rig::put_on_record;
use journal::Journal;
use walk::{Input, LiveWalk, Look, Stage, Walk};

const MINUTE: i64 = 60_000;

const CONDITIONS: &str = "conditions:\n  \
    area: { values: [clear, taken], ask: Is the area clear?, lapses: 15 min }\n  \
    supply: { values: [off, on], ask: Is the supply off?, lapses: 15 min }\n  \
    charge: { values: [gone, present], settles: { from: present, to: gone, after: 30 min, while: { supply: off } }, \
    lost_when: { supply: on } }\n  \
    lid: { values: [shut, open], ask: Is the lid shut? }\n  \
    seal: { values: [sound, doubtful], keeps: true, lost_when: { supply: on } }\n  \
    pressure: { values: [none, high], ask: Is there no pressure? }\n\
    work: { venting: { verified_by: second } }\n\
    actions:\n  \
    vent: { do: Vent it., requires: { area: clear }, leaves: { pressure: none }, restores: true }\n  \
    vent-by-two: { do: Vent it., work: venting, leaves: { pressure: none }, restores: true }\n";

fn walked<'j>(journal: &'j mut Journal, contract: &str, steps: &str) -> LiveWalk<'j> {
    let mut live = walk::begin(journal, "one", procedure(CONDITIONS, contract, steps), NOW).expect("begun");
    asked(&mut live);
    live
}

fn at(live: &mut LiveWalk<'_>, input: Input, now_ms: i64) {
    live.answer(&input, now_ms).unwrap_or_else(|error| panic!("{input:?} at {:?}: {error}", live.prompt()));
}

fn may_be(walk: &Walk, condition: &str) -> String {
    let layout = &walk.machine().layout;
    let var = layout.find(condition).expect("a condition");
    let all = walk.possible().iter().fold(0, |all, state| all | state.bits.field(layout, var));
    layout.words_of(var, all).join(", ")
}

#[test]
fn no_plan_counts_on_what_was_looked_at_too_long_before_work_stopped() {
    let steps = "  - { id: use, requires: { area: clear }, do: Work. }\n";
    for (minutes, known) in [(15, "clear"), (16, "clear, taken")] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = walked(&mut journal, "requires: { area: clear }", steps);
        at(&mut live, Input::Stop("rain".to_owned()), NOW + minutes * MINUTE);
        assert_eq!(may_be(live.walk(), "area"), known, "after {minutes} minutes");
    }
}

#[test]
fn a_shut_gate_offers_nothing_that_relies_on_an_old_look_or_that_somebody_verifies() {
    let steps = "  - { id: use, requires: { area: clear }, do: Work., leaves: { pressure: none } }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = walked(&mut journal, "requires: { area: clear }\nleaves: { pressure: none }", steps);
    say(&mut live, Input::Done);
    say(&mut live, Input::Look(Look::No));
    let Stage::Shut { offers, .. } = live.walk().stage() else { panic!("{:?}", live.walk().stage()) };
    assert_eq!(offers, ["vent"]);
    // Somebody may be in the middle of it.
    assert_eq!(may_be(live.walk(), "pressure"), "none, high");
    let late = live.answer(&Input::Restored("vent".to_owned()), NOW + 16 * MINUTE);
    assert!(matches!(late, Err(walk::Error::Refused(_))), "{late:?}");
    at(&mut live, Input::Restored("vent".to_owned()), NOW + 15 * MINUTE);
}

#[test]
fn what_was_looked_at_before_the_walks_own_wait_grows_old_in_it() {
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: off } }\n  \
                 - { id: pause, wait: { for: 30 min } }\n  \
                 - { id: use, requires: { supply: off, charge: gone }, do: Work. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = walked(&mut journal, "", steps);
    say(&mut live, Input::Done);
    say(&mut live, Input::StartTimer);
    let mut now = NOW + 30 * MINUTE;
    at(&mut live, Input::TimerOver, now);
    at(&mut live, Input::Look(Look::Yes), now);
    at(&mut live, Input::Resume { person: SECOND.to_owned() }, now);
    at(&mut live, Input::Look(Look::No), now);
    at(&mut live, Input::Look(Look::Yes), now);
    assert!(matches!(live.walk().stage(), Stage::Settle { .. }), "{:?}", live.walk().stage());
    at(&mut live, Input::StartTimer, now);
    now += 30 * MINUTE;
    at(&mut live, Input::TimerOver, now);
    assert!(matches!(live.walk().stage(), Stage::Gate { .. }), "{:?}", live.walk().stage());
    at(&mut live, Input::Look(Look::Yes), now);
    assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
}

#[test]
fn nothing_is_completed_on_an_old_look() {
    let steps = "  - { id: use, do: Work., leaves: { lid: shut } }\n";
    for (minutes, expected) in [(15, vec!["lid"]), (16, vec!["area", "lid"])] {
        let mut journal = Journal::in_memory().expect("a journal");
        let contract = "requires: { area: clear }\nleaves: { area: clear }";
        let mut live = walked(&mut journal, contract, steps);
        at(&mut live, Input::Done, NOW + minutes * MINUTE);
        let mut told = Vec::new();
        while let Stage::Gate { due, .. } = live.walk().stage() {
            told.push(live.walk().machine().layout.var(due.var).name.to_string());
            at(&mut live, Input::Look(Look::Yes), NOW + minutes * MINUTE);
        }
        assert_eq!(told, expected, "after {minutes} minutes");
    }
}

/// What the wait needs grows old while it runs, and it ends all the same.
#[test]
fn a_wait_that_is_longer_than_a_look_counts_ends() {
    let steps = "  - { id: pause, requires: { area: clear }, otherwise: stop, \
                 wait: { for: 60 min, until: { pressure: none }, limit: 90 min } }\n  - { id: use, do: Work. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = walked(&mut journal, "requires: { area: clear }", steps);
    say(&mut live, Input::StartTimer);
    at(&mut live, Input::TimerOver, NOW + 60 * MINUTE);
    assert!(matches!(live.walk().stage(), Stage::Wait { .. }), "{:?}", live.walk().stage());
    at(&mut live, Input::Look(Look::Yes), NOW + 60 * MINUTE);
    assert_eq!(live.walk().node().path, "use");
}

/// Gone back from an act that nobody said is done: it may have been begun.
#[test]
fn an_act_that_was_gone_back_from_may_have_been_begun() {
    let steps = "  - { id: look, confirm: { pressure: none }, otherwise: stop }\n  \
                 - { id: open, requires: { lid: shut }, do: Open it., leaves: { lid: open } }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = walked(&mut journal, "requires: { lid: shut }", steps);
    say(&mut live, Input::Look(Look::Yes));
    say(&mut live, Input::TakeBack);
    assert_eq!(may_be(live.walk(), "lid"), "shut, open");
    assert_eq!(asked(&mut live), ["lid"]);
    assert_eq!(live.walk().node().path, "look");
    assert_eq!(may_be(live.walk(), "lid"), "shut");
}

/// Hands may have been at the machine while a wait was over: what it was for is waited for anew.
#[test]
fn a_wait_begins_anew_where_hands_may_have_changed_what_is_waited_for() {
    let steps = "  - { id: pause, then: last, otherwise: shut, wait: { for: 5 s, until: { lid: open, pressure: none }, limit: 30 s } }\n  \
                 - { id: shut, do: Shut it., leaves: { lid: shut }, then: done }\n  \
                 - { id: last, requires: { lid: open }, do: Work. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = walked(&mut journal, "requires: { lid: shut }", steps);
    say(&mut live, Input::StartTimer);
    let now = NOW + 5_000;
    at(&mut live, Input::TimerOver, now);
    at(&mut live, Input::Look(Look::Yes), now);
    at(&mut live, Input::Look(Look::CannotTell), now);
    assert_eq!(live.walk().node().path, "shut");
    at(&mut live, Input::TakeBack, now);
    while let Stage::Gate { .. } = live.walk().stage() {
        at(&mut live, Input::Look(Look::Yes), now);
    }
    assert_eq!(live.walk().node().path, "pause");
    at(&mut live, Input::StartTimer, now);
    at(&mut live, Input::TimerOver, now + 5_000);
    at(&mut live, Input::Look(Look::Yes), now + 5_000);
    assert_eq!(live.walk().node().path, "last");
}

/// Gone back from once and once more, and left after that: what the act may have changed is asked for before the rest goes on, counts
/// in no plan, and is looked at before done.
#[test]
fn an_act_that_was_gone_back_from_is_remembered() {
    let conditions = CONDITIONS.replace("Is the lid shut?", "Is the lid shut?, keeps: true");
    let steps = "  - { id: one, confirm: { pressure: none }, otherwise: stop }\n  \
                 - { id: two, confirm: { pressure: none }, otherwise: stop }\n  \
                 - { id: open, do: Open it., leaves: { lid: open } }\n  - { id: shut, do: Shut it., leaves: { lid: shut } }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live =
        walk::begin(&mut journal, "one", procedure(&conditions, "requires: { lid: shut }", steps), NOW)
            .expect("begun");
    asked(&mut live);
    say(&mut live, Input::Look(Look::Yes));
    say(&mut live, Input::Look(Look::Yes));
    assert_eq!(live.walk().node().path, "open");
    for _ in 0..2 {
        say(&mut live, Input::TakeBack);
        assert_eq!(may_be(live.walk(), "lid"), "shut, open");
    }
    assert_eq!(live.walk().node().path, "one");
    say(&mut live, Input::Pause);
    assert_eq!(may_be(live.walk(), "lid"), "shut, open", "though it keeps");
    say(&mut live, Input::Resume { person: SECOND.to_owned() });
    assert_eq!(may_be(live.walk(), "lid"), "shut, open");
}

/// Gone back from an act that feeds what settles: the walk's own wait begins then, and is not the one that was over before.
#[test]
fn a_wait_that_was_over_is_none_for_what_may_have_come_since() {
    let steps = "  - { id: look, then: use, otherwise: switch, wait: { for: 5 s, until: { pressure: none, lid: shut }, limit: 30 s } }\n  \
                 - { id: switch, do: Turn it on., leaves: { supply: on }, then: done }\n  \
                 - { id: use, requires: { supply: off, charge: gone }, do: Work. }\n";
    let first = "  - { id: off, do: Turn it off., leaves: { supply: off } }\n  - { id: pause, wait: { for: 30 min } }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let conditions = CONDITIONS.replace("Is the supply off?, lapses: 15 min", "Is the supply off?");
    let begin = procedure(&conditions, "", &format!("{first}{steps}"));
    let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
    say(&mut live, Input::Done);
    say(&mut live, Input::StartTimer);
    let mut now = NOW + 30 * MINUTE;
    at(&mut live, Input::TimerOver, now);
    at(&mut live, Input::StartTimer, now);
    now += 5_000;
    at(&mut live, Input::TimerOver, now);
    at(&mut live, Input::Look(Look::Yes), now);
    at(&mut live, Input::Look(Look::CannotTell), now);
    assert_eq!(live.walk().node().path, "switch");
    at(&mut live, Input::TakeBack, now);
    while let Stage::Gate { .. } = live.walk().stage() {
        at(&mut live, Input::Look(Look::Yes), now);
    }
    assert!(matches!(live.walk().stage(), Stage::Settle { .. }), "{:?}", live.walk().stage());
    live.answer(&Input::TimerOver, now).expect_err("no time has passed");
    at(&mut live, Input::StartTimer, now);
}

const KEPT_LID: &str = "conditions:\n  lid: { values: [shut, open], ask: Is the lid shut?, keeps: true }\n";

/// An act changes what it needs itself, and that keeps: begun anew, it is looked at first.
#[test]
fn what_keeps_and_an_act_under_way_changes_is_looked_at() {
    let steps = "  - { id: open, requires: { lid: shut }, do: Open it., leaves: { lid: open } }\n  \
                 - { id: shut, do: Shut it., leaves: { lid: shut } }\n";
    let begun = |journal| {
        let begin = procedure(KEPT_LID, "requires: { lid: shut }", steps);
        let mut live = walk::begin(journal, "one", begin, NOW).expect("begun");
        assert_eq!(asked(&mut live), ["lid"]);
        live
    };
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = begun(&mut journal);
    say(&mut live, Input::Done);
    say(&mut live, Input::TakeBack);
    assert_eq!(asked(&mut live), ["lid"], "its tick was taken back");
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = begun(&mut journal);
    say(&mut live, Input::Resume { person: SECOND.to_owned() });
    say(&mut live, Input::Look(Look::Yes));
    assert_eq!(asked(&mut live), ["lid"], "it was begun");
}

/// Seen open in the gate before done, and left: whoever takes it up does not believe that it is shut because it keeps.
#[test]
fn what_was_seen_in_a_gate_that_was_left_is_not_forgotten_because_it_keeps() {
    let steps = "  - { id: shut, do: Shut it., leaves: { lid: shut } }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let begin = procedure(KEPT_LID, "", steps);
    let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
    say(&mut live, Input::Done);
    say(&mut live, Input::Look(Look::No));
    assert_eq!(may_be(live.walk(), "lid"), "open");
    say(&mut live, Input::Resume { person: SECOND.to_owned() });
    assert_eq!(may_be(live.walk(), "lid"), "open");
}

/// A clock and evidence on which nothing relies stay as proved; once their cause was seen otherwise no plan counts on them.
#[test]
fn a_clock_whose_cause_was_seen_otherwise_counts_in_no_plan() {
    let steps = "  - { id: on, do: Turn it on., leaves: { supply: on } }\n  \
                 - { id: off, do: Turn it off., leaves: { supply: off, seal: sound } }\n  \
                 - { id: pause, wait: { for: 10 min } }\n  - { id: use, requires: { supply: off }, do: Work. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = walked(&mut journal, "", steps);
    say(&mut live, Input::Done);
    say(&mut live, Input::Done);
    say(&mut live, Input::StartTimer);
    let clocks = |walk: &Walk| walk.possible().iter().map(|state| state.clocks[0]).collect::<Vec<_>>();
    at(&mut live, Input::TimerOver, NOW + 10 * MINUTE);
    assert_eq!((clocks(live.walk()), may_be(live.walk(), "seal")), (vec![600_000], "sound".to_owned()));
    let late = NOW + 20 * MINUTE;
    live.answer(&Input::Done, late).expect_err("looked at too long ago");
    at(&mut live, Input::Look(Look::No), late);
    at(&mut live, Input::Look(Look::Yes), late);
    assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
    assert_eq!((live.walk().record().clocks[0], clocks(live.walk())), (600_000, vec![0]));
    assert_eq!(may_be(live.walk(), "seal"), "sound, doubtful");
}

/// Evidence stands by what would end it: too long after that was looked at it is looked at again.
#[test]
fn what_would_end_evidence_grows_old_too() {
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: off, seal: sound } }\n  - { id: long, do: Take your time. }\n  \
                 - { id: use, requires: { seal: sound }, do: Work. }\n";
    for (minutes, expected) in [(15, vec![]), (16, vec!["supply"])] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = walked(&mut journal, "", steps);
        say(&mut live, Input::Done);
        at(&mut live, Input::Done, NOW + minutes * MINUTE);
        let mut told = Vec::new();
        while let Stage::Gate { due, .. } = live.walk().stage() {
            told.push(live.walk().machine().layout.var(due.var).name.to_string());
            at(&mut live, Input::Look(Look::Yes), NOW + minutes * MINUTE);
        }
        assert_eq!(told, expected, "after {minutes} minutes");
        assert_eq!(live.walk().node().path, "use");
    }
}

/// What it is seen by hangs in turn on what it ends: it was not touched since, and is looked at.
#[test]
fn what_grew_old_is_looked_at_though_what_covers_it_hangs_on_it() {
    let conditions = "conditions:\n  \
        level: { values: [full, low], ask: Is it full?, seen_when: { window: wiped }, lapses: 15 min }\n  \
        window: { values: [wiped, smeared], ask: Is it wiped?, lost_when: { level: low } }\n";
    let steps =
        "  - { id: long, do: Take your time. }\n  - { id: use, requires: { level: full }, do: Work. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let begin = procedure(conditions, "requires: { window: wiped, level: full }", steps);
    let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
    asked(&mut live);
    at(&mut live, Input::Done, NOW + 16 * MINUTE);
    let Stage::Gate { due, .. } = live.walk().stage() else { panic!("{:?}", live.walk().stage()) };
    assert_eq!(*live.walk().machine().layout.var(due.var).name, *"level");
    at(&mut live, Input::Look(Look::Yes), NOW + 16 * MINUTE);
    assert_eq!(live.walk().node().path, "use");
}

/// The act was said to be done too late: what it has changed by then no offer of the gate counts on.
#[test]
fn no_offer_counts_on_what_the_act_here_may_have_changed() {
    let sent = "actions:\n  send: { do: Send people away., requires: { lid: shut }, leaves: { area: clear }, restores: true }\n";
    let conditions = format!("{}{sent}", CONDITIONS.split("actions:").next().expect("conditions"));
    let steps = "  - { id: first, do: Begin. }\n  \
                 - { id: open, requires: { area: clear, lid: shut }, do: Open it., leaves: { lid: open } }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let begin = procedure(&conditions, "requires: { area: clear, lid: shut }", steps);
    let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
    asked(&mut live);
    say(&mut live, Input::Done);
    live.answer(&Input::Done, NOW + 16 * MINUTE).expect_err("looked at too long ago");
    at(&mut live, Input::Look(Look::No), NOW + 16 * MINUTE);
    let Stage::Shut { offers, .. } = live.walk().stage() else { panic!("{:?}", live.walk().stage()) };
    assert_eq!(offers, Vec::<String>::new(), "the lid may be open");
}

/// Somebody may have begun what a shut gate offered, and then looked: what else it changes nobody can vouch for.
#[test]
fn an_offer_that_was_looked_past_may_have_been_begun() {
    let conditions = "conditions:\n  \
        lamp: { values: [lit, dark], ask: Is it lit?, keeps: true }\n  \
        pressure: { values: [none, high], ask: Is there no pressure? }\n\
        actions:\n  vent: { do: Vent it., leaves: { lamp: dark, pressure: none }, restores: true }\n";
    let steps = "  - { id: first, requires: { lamp: lit }, do: Begin. }\n  \
                 - { id: use, requires: { pressure: none }, do: Work. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let begin = procedure(conditions, "requires: { lamp: lit, pressure: none }", steps);
    let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
    asked(&mut live);
    say(&mut live, Input::Done);
    say(&mut live, Input::Resume { person: SECOND.to_owned() });
    say(&mut live, Input::Look(Look::No));
    say(&mut live, Input::Look(Look::No));
    let Stage::Shut { offers, .. } = live.walk().stage() else { panic!("{:?}", live.walk().stage()) };
    assert_eq!(offers, ["vent"]);
    say(&mut live, Input::Look(Look::Yes));
    assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
    assert_eq!(may_be(live.walk(), "lamp"), "lit, dark");
}

/// Time counts only under what somebody vouches for while it passes, and a clock that has partly run begins anew: a value that keeps
/// says nothing of either, nor does a look after it.
#[test]
fn no_time_counts_for_a_plan_that_nobody_vouches_for() {
    let rig = |supply: &str| {
        format!(
            "conditions:\n  supply: {{ values: [off, on], ask: Is the supply off?{supply} }}\n  \
             charge: {{ values: [gone, present], settles: {{ from: present, to: gone, after: 10 s, while: {{ supply: off }} }}, \
             keeps: true, lost_when: {{ supply: on }} }}\n"
        )
    };
    let steps = "  - { id: off, do: Turn it off., leaves: { supply: off } }\n  - { id: rest, wait: { for: 5 s } }\n  \
                 - { id: mark, do: Go on. }\n  - { id: more, wait: { for: FOR s } }\n  \
                 - { id: see, confirm: { supply: off }, otherwise: stop }\n  - { id: last, do: Go on. }\n";
    // Under a supply that does not keep, for long enough; under one that keeps, with a half before the interruption.
    for (supply, seconds) in [("", 10), (", keeps: true", 5)] {
        for is_interrupted in [false, true] {
            let mut journal = Journal::in_memory().expect("a journal");
            let begin = procedure(&rig(supply), "", &steps.replace("FOR", &seconds.to_string()));
            let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
            asked(&mut live);
            say(&mut live, Input::Done);
            at(&mut live, Input::TimerOver, NOW + 5_000);
            if is_interrupted {
                at(&mut live, Input::Resume { person: SECOND.to_owned() }, NOW + 5_000);
                at(&mut live, Input::Look(Look::No), NOW + 5_000);
            }
            at(&mut live, Input::Done, NOW + 5_000);
            at(&mut live, Input::TimerOver, NOW + 5_000 + seconds * 1_000);
            at(&mut live, Input::Look(Look::Yes), NOW + 5_000 + seconds * 1_000);
            let known = if is_interrupted { "gone, present" } else { "gone" };
            assert_eq!(may_be(live.walk(), "charge"), known, "{seconds} s");
        }
    }
}

const COVERED: &str = "conditions:\n  \
    lid: { values: [open, shut], ask: Is the lid open?, normal: shut, lapses: 15 min }\n  \
    part: { values: [in, out], ask: Is the part in?, seen_when: { lid: open } }\n  \
    lamp: { values: [off, on], ask: Is the lamp off? }\n";

/// When the wait is over.
const RESTED: i64 = NOW + 20 * MINUTE;

/// A walk of one act and 20 minutes, once they are over.
fn rested<'j>(journal: &'j mut Journal, left: &str) -> LiveWalk<'j> {
    let steps = format!(
        "  - {{ id: put, do: Do it., leaves: {{ {left} }} }}\n  - {{ id: rest, wait: {{ for: 20 min }} }}\n"
    );
    let begin = procedure(COVERED, "requires: { lid: open }", &steps);
    let mut live = walk::begin(journal, "one", begin, NOW).expect("begun");
    asked(&mut live);
    say(&mut live, Input::Done);
    say(&mut live, Input::StartTimer);
    at(&mut live, Input::TimerOver, RESTED);
    live
}

/// What is asked then, each answered by yes.
fn asked_at_the_end(left: &str) -> Vec<String> {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = rested(&mut journal, left);
    let mut questions = Vec::new();
    while let walk::Prompt::Look(question) = live.prompt() {
        questions.push(question.text);
        at(&mut live, Input::Look(Look::Yes), RESTED);
    }
    assert_eq!(live.walk().status(), walk::Status::Completed);
    questions
}

#[test]
fn before_done_what_no_act_wrote_may_grow_old() {
    assert_eq!(asked_at_the_end("lamp: off"), ["Is the lamp off?"], "the lid is as it was found");
}

#[test]
fn before_done_whether_a_thing_can_still_be_seen_is_looked_at_first() {
    assert_eq!(asked_at_the_end("part: in"), ["Is the lid open?", "Is the part in?"]);
}

/// An earlier program asked for the part alone: what it recorded stands.
#[test]
fn what_was_looked_at_before_done_by_fewer_looks_is_done() {
    let mut journal = Journal::in_memory().expect("a journal");
    drop(rested(&mut journal, "part: in"));
    let event = walk::Event::Seen {
        step: "rest".to_owned(),
        condition: "part".to_owned(),
        values: vec!["in".to_owned()],
        answer: Look::Yes,
        found: None,
        because: walk::Because::BeforeDone,
        recorded: Vec::new(),
    };
    put_on_record(&mut journal, &event, RESTED);
    let live = walk::resume(&mut journal, "one").expect("it reads");
    assert_eq!(live.walk().status(), walk::Status::Completed);
}
