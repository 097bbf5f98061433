//! Evidence at an act that somebody has begun or gone back from: what the act made or ended itself no cause vouches for.

use super::driver::SECOND;
use super::relooks::{NOW, asked, procedure, say};
use journal::Journal;
use walk::{Input, LiveWalk, Look, Prompt, Stage};

const TESTED: &str = "conditions:\n  \
    valve: { values: [shut, open], ask: Is the valve shut? }\n  \
    gas-test: { values: [clear, unmade], ask: Is there a clear gas test?, lost_when: { valve: open } }\n";

const PERMIT: &str = "conditions:\n  \
    line: { values: [dead, live], ask: Is the line dead? }\n  \
    ring: { values: [whole, broken], ask: Is the ring whole? }\n  \
    permit: { values: [given, used], ask: Does the permit lie here?, lost_when: { ring: broken } }\n";

fn begun<'j>(journal: &'j mut Journal, conditions: &str, contract: &str, steps: &str) -> LiveWalk<'j> {
    let mut live = walk::begin(journal, "one", procedure(conditions, contract, steps), NOW).expect("begun");
    asked(&mut live);
    live
}

/// The act may have opened the valve, and ended the test that it needs.
#[test]
fn what_would_have_ended_evidence_is_looked_at_when_an_act_is_taken_back() {
    let steps = "  - { id: open, do: Open the valve., requires: { gas-test: clear }, leaves: { valve: open } }\n  \
                 - { id: last, do: Go on. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = begun(&mut journal, TESTED, "requires: { valve: shut, gas-test: clear }", steps);
    say(&mut live, Input::Done);
    say(&mut live, Input::TakeBack);
    assert_eq!(asked(&mut live), ["valve"]);
    assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
}

/// The act writes the evidence that it needs: begun or taken back, it may have done so.
#[test]
fn evidence_that_an_act_writes_itself_is_looked_at() {
    let steps = "  - { id: use, do: Energise., requires: { permit: given }, leaves: { permit: used, line: live } }\n  \
                 - { id: off, do: Switch it off., leaves: { line: dead } }\n";
    let contract = "requires: { line: dead, ring: whole, permit: given }";
    for begun_before in [true, false] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = begun(&mut journal, PERMIT, contract, steps);
        say(&mut live, Input::Resume { person: SECOND.to_owned() });
        say(&mut live, Input::Look(if begun_before { Look::Yes } else { Look::No }));
        let told = asked(&mut live);
        assert_eq!(told.iter().any(|of| of == "permit"), begun_before, "{told:?}");
        assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
    }
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = begun(&mut journal, PERMIT, contract, steps);
    say(&mut live, Input::Done);
    say(&mut live, Input::TakeBack);
    assert!(asked(&mut live).iter().any(|of| of == "permit"));
}

/// Told by the record before its cause is looked at, or after: where each is as required all hold together.
#[test]
fn a_start_of_yes_alone_opens_in_whatever_order_it_is_asked() {
    let conditions = "conditions:\n  \
        check: { values: [pass, fail], ask: Was it passed?, lost_when: { door: open }, seen_when: { cover: open } }\n  \
        door: { values: [open, shut], ask: Is the door open? }\n  \
        cover: { values: [shut, open], ask: Is the cover shut? }\n";
    let steps = "  - { id: use, requires: { door: open, check: pass }, do: Work. }\n";
    for requires in ["{ check: pass, door: open }", "{ door: open, check: pass }"] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = begun(&mut journal, conditions, &format!("requires: {requires}"), steps);
        assert!(matches!(live.walk().stage(), Stage::Act), "{requires}: {:?}", live.walk().stage());
        say(&mut live, Input::Done);
    }
}

/// What nobody can look at then is asked of the record, and said to be, however often.
#[test]
fn what_is_asked_by_record_is_said_to_be_the_second_time_too() {
    let conditions = "conditions:\n  \
        lid: { values: [shut, open], ask: Is the lid shut? }\n  \
        part: { values: [in, out], ask: Is the part in?, seen_when: { lid: open } }\n";
    let steps = "  - { id: use, requires: { lid: shut, part: in }, do: Work. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let begin = procedure(conditions, "requires: { lid: shut, part: in }", steps);
    let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
    say(&mut live, Input::Look(Look::Yes));
    let Prompt::Look(question) = live.prompt() else { panic!("{:?}", live.prompt()) };
    assert_eq!(question.asked(), "By record: Is the part in?");
    say(&mut live, Input::Look(Look::No));
    let Prompt::Shut { question, .. } = live.prompt() else { panic!("{:?}", live.prompt()) };
    assert_eq!(question.asked(), "By record: Is the part in?");
}

/// What nobody sees and the act writes itself: a wait brings only what gives way by time.
#[test]
fn no_wait_brings_back_what_an_act_wrote_unseen() {
    let steps = "  - { id: vent, do: Vent it., leaves: { charge: gone } }\n  \
                 - { id: fill, do: Fill it., requires: { charge: gone }, leaves: { charge: LEFT } }\n  \
                 - { id: empty, do: Vent it., leaves: { charge: gone } }\n";
    for (left, comes_back) in [("present", true), ("locked", false)] {
        let conditions = "conditions:\n  \
            charge: { values: [gone, present, locked], keeps: true, \
            settles: { from: present, to: gone, after: 10 s, while: none } }\n";
        for begun_before in [true, false] {
            let mut journal = Journal::in_memory().expect("a journal");
            let mut live = begun(&mut journal, conditions, "", &steps.replace("LEFT", left));
            say(&mut live, Input::Done);
            say(&mut live, Input::Resume { person: SECOND.to_owned() });
            say(&mut live, Input::Look(if begun_before { Look::Yes } else { Look::No }));
            let stage = live.walk().stage();
            let is_locked = matches!(stage, Stage::Locked(_));
            assert_eq!(is_locked, begun_before && !comes_back, "{left}, begun {begun_before}: {stage:?}");
        }
    }
}
