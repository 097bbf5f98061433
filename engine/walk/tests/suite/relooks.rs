//! What is asked again and what is offered where a gate stays shut, each on its own small rig.

use super::driver::{PERSON, SECOND, begin};
use document::InputFile;
use journal::Journal;
use walk::{Begin, Input, LiveWalk, Look, Stage};

const NOW: i64 = 1_795_600_000_000;

fn procedure(conditions: &str, contract: &str, steps: &str) -> Begin {
    let rig = format!(
        "equipment: rig\ntitle: A rig\nrevision: 1\nroles: {{ technician: Works on it. }}\n\
         hazards: {{ harm: {{ worst: minor, certainty: could, hazard: Harm, consequence: Harm comes., avoid: Keep off. }} }}\n\
         {conditions}"
    );
    let main = format!(
        "procedure: main\ntitle: A procedure\nequipment: rig\nrevision: 1\npurpose: Work.\nscope: The rig.\n\
         performers: {{ technician: 1 }}\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
         spares: none\nwear: none\n{contract}\nsteps:\n{steps}"
    );
    let file = |name: &str, text: String| InputFile { name: name.to_owned(), bytes: text.into_bytes() };
    begin("main", &[file("rig.yaml", rig), file("main.yaml", main)])
}

fn say(live: &mut LiveWalk<'_>, input: Input) {
    live.answer(&input, NOW).unwrap_or_else(|error| panic!("{input:?} at {:?}: {error}", live.prompt()));
}

/// The conditions that the gates ask for now, each answered with yes.
fn asked(live: &mut LiveWalk<'_>) -> Vec<String> {
    let mut asked = Vec::new();
    while let Stage::Gate { due, .. } = live.walk().stage() {
        asked.push(live.walk().machine().layout.var(due.var).name.to_string());
        say(live, Input::Look(Look::Yes));
    }
    asked
}

/// Evidence that is told by the record alone, and a mark that anybody can look at; the same ends both.
const EVIDENCE: &str = "conditions:\n  \
    cover: { values: [shut, open], ask: Is the cover shut? }\n  \
    gasket: { values: [inspected, uninspected], lost_when: { cover: open } }\n  \
    mark: { values: [dry, wet], ask: Is the mark dry?, lost_when: { cover: open } }\n";

/// After a handover what would have ended it is looked at, and it stands or is lost with that.
#[test]
fn after_a_handover_evidence_is_judged_by_what_ends_it() {
    let steps = "  - { id: make, do: Look over the gasket., leaves: { gasket: inspected } }\n  \
                 - { id: use, requires: { gasket: inspected }, do: Work. }\n";
    for shut in [true, false] {
        let mut journal = Journal::in_memory().expect("a journal");
        let begin = procedure(EVIDENCE, "requires: { cover: shut }", steps);
        let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
        assert_eq!(asked(&mut live), ["cover"]);
        say(&mut live, Input::Done);
        say(&mut live, Input::Resume { person: SECOND.to_owned() });
        say(&mut live, Input::Look(Look::No));
        if shut {
            assert_eq!(asked(&mut live), ["cover"]);
            say(&mut live, Input::Done);
            assert!(matches!(live.walk().stage(), Stage::Ended(walk::Ending::Completed)));
        } else {
            say(&mut live, Input::Look(Look::No));
            // Looked at once more it is shut; of the gasket nobody knows any more.
            say(&mut live, Input::Look(Look::Yes));
            assert!(matches!(live.walk().stage(), Stage::Locked(_)), "{:?}", live.walk().stage());
        }
    }
}

/// Evidence that anybody could look at is asked about only once what ends it was seen to have come.
#[test]
fn after_a_handover_evidence_that_can_be_seen_is_not_looked_at_in_vain() {
    let steps = "  - { id: make, do: Let it dry., leaves: { mark: dry } }\n  \
                 - { id: use, requires: { mark: dry }, do: Work. }\n";
    for shut in [true, false] {
        let mut journal = Journal::in_memory().expect("a journal");
        let begin = procedure(EVIDENCE, "requires: { cover: shut }", steps);
        let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
        assert_eq!(asked(&mut live), ["cover"]);
        say(&mut live, Input::Done);
        say(&mut live, Input::Resume { person: SECOND.to_owned() });
        say(&mut live, Input::Look(Look::No));
        if !shut {
            say(&mut live, Input::Look(Look::No));
            assert_eq!(asked(&mut live), ["mark"]);
            // The cover has to be as it was too.
            say(&mut live, Input::Look(Look::Yes));
        } else {
            assert_eq!(asked(&mut live), ["cover"]);
        }
        say(&mut live, Input::Done);
        assert!(
            matches!(live.walk().stage(), Stage::Ended(walk::Ending::Completed)),
            "{:?}",
            live.walk().stage()
        );
    }
}

/// Before done nobody is sent to look at evidence, though they could: what ends it has not come.
#[test]
fn before_done_nobody_looks_at_evidence() {
    let steps = "  - { id: make, do: Let it dry., leaves: { mark: dry } }\n  \
                 - { id: shut, do: Shut it., leaves: { cover: shut } }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let begin = procedure(EVIDENCE, "leaves: { mark: dry, cover: shut }", steps);
    let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
    assert_eq!(asked(&mut live), Vec::<String>::new());
    say(&mut live, Input::Done);
    say(&mut live, Input::Done);
    assert_eq!(asked(&mut live), ["cover"]);
    assert!(matches!(live.walk().stage(), Stage::Ended(walk::Ending::Completed)));
}

const OFFERS: &str = "conditions:\n  \
    brake: { values: [set, loose], ask: Is the brake set? }\n  \
    lever: { values: [down, up], ask: Is the lever down? }\n  \
    door: { values: [shut, open], ask: Is the door shut? }\n  \
    lamp: { values: [dark, lit], ask: Is the lamp dark? }\n\
    never: { caught: { when: { door: open, lamp: lit }, hazard: harm } }\n\
    actions:\n  \
    well: { do: Set the brake., leaves: { brake: set }, restores: true }\n  \
    needs-more: { do: Set it by the lever., requires: { lever: up }, leaves: { brake: set }, restores: true }\n  \
    breaks: { do: Set it from inside., leaves: { door: open, lamp: lit, brake: set }, restores: true }\n  \
    touches: { do: Set it with the lever., leaves: { lever: down, brake: set }, restores: true }\n  \
    other: { do: Shut the door., leaves: { door: shut }, restores: true }\n  \
    no-way-back: { do: Press the brake., leaves: { brake: set } }\n";

#[test]
fn a_shut_gate_offers_what_puts_it_right_touches_nothing_else_and_breaks_nothing() {
    let steps = "  - { id: use, requires: { brake: set, lever: down }, do: Work. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let begin = procedure(OFFERS, "requires: { brake: set, lever: down }", steps);
    let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
    say(&mut live, Input::Look(Look::No));
    say(&mut live, Input::Look(Look::Yes));
    let offered = |live: &LiveWalk<'_>| -> Vec<String> {
        let Stage::Shut { offers, .. } = live.walk().stage() else { panic!("{:?}", live.walk().stage()) };
        offers.iter().map(|offer| offer.to_string()).collect()
    };
    assert_eq!(offered(&live), ["well"]);
    say(&mut live, Input::Restored("well".to_owned()));
    // The same look follows; a second no leaves the stop alone.
    assert!(matches!(live.walk().stage(), Stage::Gate { .. }));
    say(&mut live, Input::Look(Look::No));
    assert_eq!(offered(&live), Vec::<String>::new());
    assert!(live.answer(&Input::Look(Look::Yes), NOW).is_err());
    say(&mut live, Input::Resume { person: PERSON.to_owned() });
    say(&mut live, Input::Look(Look::Yes));
    assert!(live.answer(&Input::Look(Look::Yes), NOW).is_err());
    say(&mut live, Input::Stop("the brake slips".to_owned()));
}
