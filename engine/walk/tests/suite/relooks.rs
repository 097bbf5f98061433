//! What is asked again and what is offered where a gate stays shut, each on its own small rig.

use super::driver::{PERSON, SECOND, begin};
use super::rig::put_on_record;
use document::InputFile;
use journal::Journal;
use walk::{Begin, Input, LiveWalk, Look, Stage};

pub(super) const NOW: i64 = 1_795_600_000_000;

pub(super) fn procedure(conditions: &str, contract: &str, steps: &str) -> Begin {
    let rig = format!(
        "equipment: rig\ntitle: A rig\nrevision: 1\nroles: {{ technician: Works on it., second: Verifies it. }}\n\
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

pub(super) fn say(live: &mut LiveWalk<'_>, input: Input) {
    live.answer(&input, NOW).unwrap_or_else(|error| panic!("{input:?} at {:?}: {error}", live.prompt()));
}

/// The conditions that the gates ask for now, each answered with yes.
pub(super) fn asked(live: &mut LiveWalk<'_>) -> Vec<String> {
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

const FED: &str = "conditions:\n  \
    supply: { values: [isolated, live], ask: Is it off? }\n  \
    heat: { values: [cold, hot], ask: Is it cold?, lost_when: { supply: live },\n    \
    settles: { from: hot, to: cold, after: 4 s, while: { supply: isolated } } }\n  \
    cover: { values: [shut, open], ask: Is the cover shut? }\n  \
    gasket: { values: [inspected, uninspected], lost_when: { cover: open } }\n\
    actions:\n  \
    off: { do: Switch it off., leaves: { supply: isolated }, restores: true }\n  \
    shut: { do: Shut the cover., leaves: { cover: shut }, restores: true }\n";

/// Goes through the gate with these answers for supply or cover, and the others yes; what is asked after the last of them.
fn after(live: &mut LiveWalk<'_>, of: &str, answers: &[Input]) -> Vec<String> {
    let mut left = answers.iter();
    let mut more = Vec::new();
    loop {
        let (due, shut) = match live.walk().stage() {
            Stage::Gate { due, .. } => (due, false),
            Stage::Shut { due, .. } => (due, true),
            _ => return more,
        };
        let name = live.walk().machine().layout.var(due.var).name.to_string();
        if left.len() == 0 {
            more.push(name.clone());
        }
        let next = if shut || name == of { left.next().cloned() } else { None };
        say(live, next.unwrap_or(Input::Look(Look::Yes)));
    }
}

/// What was said of a condition before its cause was seen to be there is worth nothing, whatever is put right after that: it is
/// looked at again, or nobody can tell.
#[test]
fn what_a_look_of_the_gate_undoes_is_asked_again() {
    let put_right = |action: &str| {
        vec![Input::Look(Look::No), Input::Restored(action.to_owned()), Input::Look(Look::Yes)]
    };
    let not_told = vec![Input::Look(Look::CannotTell), Input::Look(Look::Yes)];
    let steps = "  - { id: work, requires: { heat: cold }, do: Work. }\n";
    for requires in ["{ heat: cold, supply: isolated }", "{ supply: isolated, heat: cold }"] {
        for answers in [put_right("off"), not_told.clone()] {
            let mut journal = Journal::in_memory().expect("a journal");
            let begin = procedure(FED, &format!("requires: {requires}"), steps);
            let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
            assert_eq!(after(&mut live, "supply", &answers), ["heat"], "{requires}");
            assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
        }
    }
    // By record nobody says once more what was seen to have ended.
    let steps = "  - { id: work, requires: { gasket: inspected }, do: Work. }\n";
    for answers in [put_right("shut"), not_told.clone(), vec![Input::Look(Look::No), Input::Look(Look::Yes)]]
    {
        let mut journal = Journal::in_memory().expect("a journal");
        let begin = procedure(FED, "requires: { gasket: inspected, cover: shut }", steps);
        let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
        assert_eq!(after(&mut live, "cover", &answers), Vec::<String>::new());
        assert!(matches!(live.walk().stage(), Stage::Locked(_)), "{:?}", live.walk().stage());
    }
    // Taken up again, and before done.
    let steps = "  - { id: work, requires: { heat: cold }, do: Work. }\n  \
                 - { id: rest, requires: { heat: cold }, do: Rest. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let begin = procedure(FED, "requires: { heat: cold, supply: isolated }", steps);
    let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
    after(&mut live, "supply", &[]);
    say(&mut live, Input::Done);
    say(&mut live, Input::Resume { person: SECOND.to_owned() });
    say(&mut live, Input::Look(Look::No));
    assert_eq!(after(&mut live, "supply", &put_right("off")), ["heat"]);
    assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
    let steps = "  - { id: off, action: off }\n  - { id: cool, wait: { for: 4 s } }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let begin = procedure(FED, "leaves: { heat: cold, supply: isolated }", steps);
    let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
    say(&mut live, Input::Done);
    live.answer(&Input::TimerOver, NOW + 4_000).expect("taken");
    assert_eq!(after(&mut live, "supply", &put_right("off")), ["heat"]);
    assert!(
        matches!(live.walk().stage(), Stage::Ended(walk::Ending::Completed)),
        "{:?}",
        live.walk().stage()
    );
}

/// Evidence that keeps: one can be looked at, one is told by the record alone. To open the lid ends both.
const KEPT: &str = "conditions:\n  \
    lid: { values: [shut, open], ask: Is the lid shut? }\n  \
    seal: { values: [inspected, uninspected], ask: Was it inspected?, keeps: true, lost_when: { lid: open } }\n  \
    note: { values: [made, missing], keeps: true, lost_when: { lid: open } }\n";

/// A walk at the act that shuts the lid on something looked over since, taken up by somebody else.
fn at_the_lid<'j>(journal: &'j mut Journal, evidence: &str) -> LiveWalk<'j> {
    let steps = format!(
        "  - {{ id: open, do: Open the lid., leaves: {{ lid: open }} }}\n  \
         - {{ id: make, do: Look it over., leaves: {{ {evidence} }} }}\n  \
         - {{ id: close, requires: {{ lid: open, {evidence} }}, do: Shut the lid., leaves: {{ lid: shut }} }}\n"
    );
    let begin = procedure(KEPT, "requires: { lid: shut }", &steps);
    let mut live = walk::begin(journal, "one", begin, NOW).expect("begun");
    assert_eq!(asked(&mut live), ["lid"]);
    say(&mut live, Input::Done);
    say(&mut live, Input::Done);
    say(&mut live, Input::Resume { person: SECOND.to_owned() });
    say(&mut live, Input::Look(Look::No));
    live
}

/// The lid was found shut and then open: it was opened, and that ends what was looked over before.
#[test]
fn what_was_seen_in_the_gate_itself_ends_what_keeps() {
    for first in [Look::No, Look::CannotTell] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = at_the_lid(&mut journal, "seal: inspected");
        say(&mut live, Input::Look(first));
        // Not told what it is, the lid may be open: the seal is asked for before the lid is, and again.
        let told = asked(&mut live);
        assert_eq!(told.is_empty(), first == Look::No, "{told:?}");
        say(&mut live, Input::Look(Look::Yes));
        assert_eq!(asked(&mut live), ["seal"], "{first:?}");
        assert!(matches!(live.walk().stage(), Stage::Act), "{:?}", live.walk().stage());
        say(&mut live, Input::Done);
        assert_eq!(asked(&mut live), ["lid"]);
    }
    // It is not so: nothing but a stop is left.
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = at_the_lid(&mut journal, "seal: inspected");
    for answer in [Look::No, Look::Yes, Look::No, Look::No] {
        say(&mut live, Input::Look(answer));
    }
    assert!(matches!(live.walk().stage(), Stage::Shut { may_look: false, .. }), "{:?}", live.walk().stage());
    // Nobody can look at it.
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = at_the_lid(&mut journal, "note: made");
    say(&mut live, Input::Look(Look::No));
    say(&mut live, Input::Look(Look::Yes));
    assert!(matches!(live.walk().stage(), Stage::Locked(_)), "{:?}", live.walk().stage());
}

/// With yes at once nothing is asked beside the lid; and what is seen is not forgotten when hands change in the gate.
#[test]
fn what_was_seen_in_the_gate_counts_through_another_handover() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = at_the_lid(&mut journal, "seal: inspected");
    assert_eq!(asked(&mut live), ["lid"]);
    assert!(matches!(live.walk().stage(), Stage::Act));
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = at_the_lid(&mut journal, "seal: inspected");
    say(&mut live, Input::Look(Look::No));
    say(&mut live, Input::Resume { person: PERSON.to_owned() });
    assert_eq!(asked(&mut live), ["lid", "seal"]);
    assert!(matches!(live.walk().stage(), Stage::Act));
}

/// An earlier program went on without asking: what it recorded behind such a gate stands, and so does its end.
#[test]
fn what_is_on_record_behind_a_gate_that_asks_more_stands() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = at_the_lid(&mut journal, "seal: inspected");
    say(&mut live, Input::Look(Look::No));
    say(&mut live, Input::Look(Look::Yes));
    drop(live);
    let seen = walk::Event::Seen {
        step: "done".to_owned(),
        condition: "lid".to_owned(),
        values: vec!["shut".to_owned()],
        answer: Look::Yes,
        found: None,
        because: walk::Because::BeforeDone,
        recorded: Vec::new(),
    };
    for event in [walk::Event::Done { step: "close".to_owned() }, seen] {
        put_on_record(&mut journal, &event, NOW);
    }
    let live = walk::resume(&mut journal, "one").expect("it reads");
    let stage = live.walk().stage();
    assert!(matches!(stage, Stage::Ended(walk::Ending::Completed)), "{stage:?}");
}

/// What a lid covers stands as recorded while that was shut. Found open, somebody was at it: it is looked at while it can be.
#[test]
fn what_was_covered_is_looked_at_where_its_cover_is_found_open() {
    const COVERED: &str = "conditions:\n  \
        lid: { values: [shut, open], ask: Is the lid shut? }\n  \
        part: { values: [fitted, out], ask: Is the part fitted?, seen_when: { lid: open } }\n";
    let steps =
        "  - { id: first, do: Work. }\n  - { id: use, requires: { lid: shut, part: fitted }, do: Work. }\n";
    let taken_up = |journal: &mut Journal, conditions: &str, answers: &[Look]| {
        let begin = procedure(conditions, "requires: { lid: shut, part: fitted }", steps);
        let mut live = walk::begin(journal, "one", begin, NOW).expect("begun");
        asked(&mut live);
        say(&mut live, Input::Done);
        say(&mut live, Input::Resume { person: SECOND.to_owned() });
        say(&mut live, Input::Look(Look::No));
        for answer in answers {
            say(&mut live, Input::Look(*answer));
        }
        (asked(&mut live), live.walk().stage())
    };
    let (told, stage) = taken_up(&mut Journal::in_memory().expect("a journal"), COVERED, &[]);
    assert!(told == ["lid"] && matches!(stage, Stage::Act), "{told:?} {stage:?}");
    let (told, stage) = taken_up(&mut Journal::in_memory().expect("a journal"), COVERED, &[Look::No]);
    assert!(told == ["part"] && matches!(stage, Stage::Shut { .. }), "{told:?} {stage:?}");
    let sure = [Look::No, Look::Yes, Look::Yes];
    let (told, stage) = taken_up(&mut Journal::in_memory().expect("a journal"), COVERED, &sure);
    assert!(told.is_empty() && matches!(stage, Stage::Act), "{told:?} {stage:?}");
    let out = [Look::No, Look::No, Look::No];
    let (told, stage) = taken_up(&mut Journal::in_memory().expect("a journal"), COVERED, &out);
    assert!(told.is_empty() && matches!(stage, Stage::Shut { .. }), "{told:?} {stage:?}");
    // Not told how the lid is, nobody saw what it covers, and shut it hides it.
    let unsure = [Look::CannotTell, Look::Yes];
    let (told, stage) = taken_up(&mut Journal::in_memory().expect("a journal"), COVERED, &unsure);
    assert!(told.is_empty() && matches!(stage, Stage::Locked(_)), "{told:?} {stage:?}");
    let keeps = COVERED.replace("seen_when", "keeps: true, seen_when");
    let (told, stage) = taken_up(&mut Journal::in_memory().expect("a journal"), &keeps, &unsure);
    assert!(told.is_empty() && matches!(stage, Stage::Act), "{told:?} {stage:?}");
}

/// The way to leave the machine was begun: what keeps may be otherwise by its acts, said or not.
#[test]
fn what_keeps_is_not_believed_by_whoever_goes_on_with_leaving() {
    const LEVER: &str =
        "conditions:\n  lever: { values: [down, up], ask: Is the lever down?, keeps: true }\n";
    let steps =
        "  - { id: raise, do: Raise the lever., leaves: { lever: up } }\n  - { id: rest, do: Rest. }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = walk::begin(&mut journal, "one", procedure(LEVER, "leaves: { lever: up }", steps), NOW)
        .expect("begun");
    let may_be = |walk: &walk::Walk| {
        let layout = &walk.machine().layout;
        let lever = layout.find("lever").expect("a condition");
        let all = walk.possible().iter().fold(0, |all, state| all | state.bits.field(layout, lever));
        layout.words_of(lever, all).join(", ")
    };
    say(&mut live, Input::Done);
    say(&mut live, Input::Pause);
    say(&mut live, Input::Stop("it is late".to_owned()));
    assert_eq!(may_be(live.walk()), "up", "it keeps, and nothing was begun");
    assert_eq!(may_be(&live.walk().as_found()), "down, up");
    say(&mut live, Input::Resume { person: SECOND.to_owned() });
    assert_eq!(may_be(live.walk()), "down, up");
}

/// An act done otherwise than written: what it writes may have had any value in between.
#[test]
fn what_an_act_may_end_that_was_done_otherwise_is_waited_for_and_looked_at() {
    let hidden = "conditions:\n  \
        supply: { values: [off, on], ask: Is the supply off? }\n  \
        charge: { values: [gone, present], settles: { from: present, to: gone, after: 45 s, while: { supply: off } }, \
        lost_when: { supply: on } }\n  \
        mark: { values: [dry, wet], ask: Is the mark dry?, keeps: true, lost_when: { supply: on } }\n";
    let steps = |needs: &str| {
        format!(
            "  - {{ id: off, do: Turn it off., leaves: {{ supply: off, mark: dry }} }}\n  \
             - {{ id: pause, wait: {{ for: 45 s }} }}\n  \
             - {{ id: again, do: Turn it off., leaves: {{ supply: off }} }}\n  \
             - {{ id: use, requires: {{ {needs} }}, do: Work., leaves: {{ supply: off }} }}\n"
        )
    };
    for (needs, follows) in [("supply: off", "act"), ("charge: gone", "wait"), ("mark: dry", "mark")] {
        let mut journal = Journal::in_memory().expect("a journal");
        let begin = procedure(hidden, "", &steps(needs));
        let mut live = walk::begin(&mut journal, "one", begin, NOW).expect("begun");
        say(&mut live, Input::Done);
        say(&mut live, Input::StartTimer);
        live.answer(&Input::TimerOver, NOW + 45_000).expect("the wait is over");
        let by = Input::Deviate {
            reason: "tried it".to_owned(),
            person: SECOND.to_owned(),
            role: "safety-officer".to_owned(),
        };
        say(&mut live, by);
        let expected = if follows == "mark" { vec!["supply", "mark"] } else { vec!["supply"] };
        assert_eq!(asked(&mut live), expected, "{needs}");
        let stage = live.walk().stage();
        assert_eq!(matches!(stage, Stage::Act), follows != "wait", "{needs}: {stage:?}");
        assert_eq!(matches!(stage, Stage::Settle { .. }), follows == "wait", "{needs}: {stage:?}");
    }
}
