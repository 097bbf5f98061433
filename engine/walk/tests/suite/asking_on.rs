//! Asking on: whoever says no is asked for each other value, where each has a question of its own.

use super::rig::{START, begun, put_on_record, refused, say, started};
use journal::Journal;
use walk::{Because, Event, Input, LiveWalk, Look, Prompt, Stage};

const STEPS: &str = "  - { id: see, confirm: { tank: empty }, otherwise: rinsed }\n  \
                     - { id: work, do: Work., then: done }\n  \
                     - { id: rinsed, confirm: { tank: rinse }, otherwise: stop }\n  \
                     - { id: last, do: Go on. }\n";

fn others(live: &LiveWalk<'_>) -> Vec<(String, String)> {
    let others = match live.prompt() {
        Prompt::Look(question) | Prompt::Shut { question, .. } => question.others,
        Prompt::Wait(timer) => timer.others,
        prompt => panic!("{prompt:?}"),
    };
    others.into_iter().map(|other| (other.value, other.question)).collect()
}

fn answers(live: &LiveWalk<'_>) -> Vec<String> {
    let Prompt::Answer { answers, may_not_tell: true, .. } = live.prompt() else {
        panic!("{:?}", live.prompt())
    };
    answers
}

fn tank(live: &LiveWalk<'_>) -> Vec<String> {
    believed(live, "tank")
}

fn believed(live: &LiveWalk<'_>, condition: &str) -> Vec<String> {
    let layout = &live.walk().machine().layout;
    let var = layout.find(condition).expect("a condition");
    let set = live.walk().record().bits.field(layout, var);
    layout.words_of(var, set).into_iter().map(str::to_owned).collect()
}

fn is(value: &str) -> Input {
    Input::Is(value.to_owned())
}

#[test]
fn a_look_asks_on_and_what_is_seen_counts() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = started(&mut journal, "{ supply: live }", STEPS);
    let on = [("rinse", "Is it clear?"), ("product", "Is it cloudy?")];
    assert_eq!(others(&live), on.map(|(value, question)| (value.to_owned(), question.to_owned())));
    for wrong in ["empty", "mud", ""] {
        let refusal = refused(&mut live, &is(wrong), START);
        assert!(refusal.opens.contains("rinse (Is it clear?) or product"), "{refusal}");
    }
    let event = say(&mut live, &is("product"), START);
    let Event::Seen { answer: Look::No, found: Some(found), recorded, .. } = &event else {
        panic!("{event:?}")
    };
    assert_eq!((found.as_str(), recorded.len()), ("product", 0));
    assert_eq!((tank(&live), live.walk().node().path.as_str()), (vec!["product".to_owned()], "rinsed"));
    // Once more, now against the record.
    let event = say(&mut live, &Input::Look(Look::Yes), START);
    assert!(matches!(&event, Event::Seen { recorded, .. } if recorded == &["product"]), "{event:?}");
    drop(live);
    let told = walk::words(&walk::events(&journal, "one").expect("events"));
    assert!(told.contains(&"see: tank empty: no, it is product".to_owned()), "{told:?}");
}

/// Asked of a hose that may hold water or acid whether it is empty, "no" would leave what the record happens to think.
#[test]
fn a_plain_no_is_no_answer_where_each_other_value_is_asked_on() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = started(&mut journal, "{ tank: [empty, rinse] }", STEPS);
    let refusal = refused(&mut live, &Input::Look(Look::No), START);
    let wanted = "Say which it is: rinse (Is it clear?) or product (Is it cloudy?); if none of these is seen, that you cannot tell";
    assert_eq!(refusal.opens, wanted);
    assert_eq!(tank(&live), ["empty", "rinse"]);
    say(&mut live, &is("product"), START);
    assert_eq!((tank(&live), live.walk().node().path.as_str()), (vec!["product".to_owned()], "rinsed"));

    let round = "  - { id: again, repeat: { until: { tank: empty }, at_most: 3, steps: [ { id: act, do: Act. } ] }, otherwise: stop }\n";
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = started(&mut journal, "{ supply: live }", round);
    say(&mut live, &Input::Done, START);
    assert_eq!(refused(&mut live, &Input::Look(Look::No), START).opens, wanted);
    say(&mut live, &is("rinse"), START);
    assert_eq!(tank(&live), ["rinse"]);
}

/// Where one other value is left "no" tells it, whether it has a question or not.
#[test]
fn a_plain_no_to_one_of_two_is_an_answer() {
    for (due, other) in
        [("latch: shut", "open"), ("bowl: drained", "full"), ("tank: [empty, rinse]", "product")]
    {
        let steps = format!(
            "  - {{ id: see, confirm: {{ {due} }}, otherwise: work }}\n  - {{ id: work, do: Work. }}\n"
        );
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = started(&mut journal, "{ supply: live }", &steps);
        assert!(others(&live).is_empty(), "{due}");
        say(&mut live, &Input::Look(Look::No), START);
        assert_eq!(believed(&live, due.split(':').next().expect("a name")), [other]);
    }
}

const LINE: &str =
    "  - { id: see, confirm: { line: drained }, otherwise: work }\n  - { id: work, do: Work. }\n";

/// Where not every other value has a question, the record decides: what it would leave and can be asked is asked.
#[test]
fn what_the_record_would_leave_is_asked_where_it_has_a_question() {
    for line in ["[drained, rinse]", "[drained, rinse, product]"] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = started(&mut journal, &format!("{{ line: {line} }}"), LINE);
        assert_eq!(others(&live), [("rinse".to_owned(), "Is the line clear?".to_owned())]);
        refused(&mut live, &is("product"), START);
        let refusal = refused(&mut live, &Input::Look(Look::No), START);
        assert_eq!(
            refusal.opens,
            "Say which it is: rinse (Is the line clear?); if none of these is seen, that you cannot tell"
        );
        let event = say(&mut live, &is("rinse"), START);
        assert!(matches!(&event, Event::Seen { found: Some(found), .. } if found == "rinse"), "{event:?}");
        assert!(believed(&live, "line").contains(&"rinse".to_owned()));
        assert_eq!(live.walk().node().path, "work");
        // Neither air nor clear water: nobody can tell what it is.
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = started(&mut journal, &format!("{{ line: {line} }}"), LINE);
        say(&mut live, &Input::Look(Look::CannotTell), START);
        assert_eq!(believed(&live, "line"), ["drained", "rinse", "product", "acid"]);
    }
    // Where the record rules nothing out, "no" leaves all others, and nothing that nobody said is believed.
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = started(&mut journal, "{ supply: live }", LINE);
    say(&mut live, &Input::Look(Look::No), START);
    assert_eq!(believed(&live, "line"), ["rinse", "product", "acid"]);
}

/// An answer that shows several values is given with the one that it is, where the record would leave a part of them.
#[test]
fn an_answer_is_given_with_what_it_is() {
    let asking = |of: &str, first: &str, rest: &str| {
        format!(
            "  - {{ id: ask, ask: Is it so?, answers: {{ yes: {{ shows: {{ {of}: {first} }}, then: done }}, \
             no: {{ shows: {{ {of}: [{rest}] }}, then: work }} }} }}\n  - {{ id: work, do: Work. }}\n"
        )
    };
    let cases = [
        ("tank", "tank: [empty, rinse]", asking("tank", "empty", "rinse, product"), "Is it clear?"),
        (
            "line",
            "line: [drained, rinse]",
            asking("line", "drained", "rinse, product, acid"),
            "Is the line clear?",
        ),
    ];
    for (of, requires, steps, question) in &cases {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = started(&mut journal, &format!("{{ {requires} }}"), steps);
        let full = format!("no, the {of} is rinse");
        assert_eq!(answers(&live), ["yes", &full]);
        let refusal = refused(&mut live, &Input::Answer("no".to_owned()), START);
        assert_eq!(
            refusal.opens,
            format!("Say which it is: {full} ({question}); if none of these is seen, that you cannot tell")
        );
        refused(&mut live, &Input::Answer(format!("no, the {of} is product")), START);
        say(&mut live, &Input::Answer(full.clone()), START);
        assert_eq!(believed(&live, of), ["rinse"]);
        assert_eq!(live.walk().node().path, "work");
        drop(live);
        let again = walk::fold(&journal, "one").expect("it reads");
        assert_eq!(again.node().path, "work");
        let told = walk::words(&walk::events(&journal, "one").expect("events"));
        assert!(told.contains(&format!("ask: answered {full}")), "{told:?}");
        // By a record that rules nothing out the answer says all that is believed.
        let mut journal = Journal::in_memory().expect("a journal");
        let live = started(&mut journal, "{ supply: live }", steps);
        assert_eq!(answers(&live), ["yes", "no"]);
    }
}

/// What was recorded before is followed as it was.
#[test]
fn a_plain_no_on_record_is_followed() {
    let mut journal = Journal::in_memory().expect("a journal");
    drop(started(&mut journal, "{ supply: live }", STEPS));
    let seen = Event::Seen {
        step: "see".to_owned(),
        condition: "tank".to_owned(),
        values: vec!["empty".to_owned()],
        answer: Look::No,
        found: None,
        because: Because::Step,
        recorded: Vec::new(),
    };
    put_on_record(&mut journal, &seen, START);
    let live = walk::resume(&mut journal, "one").expect("it reads");
    assert_eq!(
        (tank(&live), live.walk().node().path.as_str()),
        (vec!["rinse".to_owned(), "product".to_owned()], "rinsed")
    );
}

/// A shut gate knows what was seen, and asks on again at its second look.
#[test]
fn a_gate_asks_on_and_stays_shut() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = begun(&mut journal, "{ tank: empty }", "  - { id: act, do: Act. }\n");
    say(&mut live, &Input::Variant("small".to_owned()), START);
    for seen in ["rinse", "product"] {
        assert_eq!(others(&live).len(), 2);
        refused(&mut live, &Input::Look(Look::No), START);
        say(&mut live, &is(seen), START);
        assert!(matches!(live.walk().stage(), Stage::Shut { .. }), "{:?}", live.walk().stage());
        assert_eq!(tank(&live), [seen]);
    }
    refused(&mut live, &is("rinse"), START);
}

/// What is waited for is waited for to its limit; what is looked at after that did not come is asked on.
#[test]
fn a_wait_asks_on_once_something_has_not_come() {
    let steps = "  - { id: drain, wait: { for: 5 s, until: { bowl: drained, tank: empty }, limit: 60 s }, otherwise: stop }\n  \
                 - { id: act, do: Act. }\n";
    let over = START + 5_000;
    for first in [Input::Look(Look::CannotTell), Input::Look(Look::Yes)] {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = started(&mut journal, "{ supply: live }", steps);
        refused(&mut live, &is("rinse"), START);
        say(&mut live, &Input::TimerOver, over);
        say(&mut live, &first, over);
        if first == Input::Look(Look::Yes) {
            assert!(others(&live).is_empty());
            refused(&mut live, &is("rinse"), over);
        } else {
            assert_eq!(others(&live).len(), 2);
            refused(&mut live, &Input::Look(Look::No), over);
            say(&mut live, &is("rinse"), over);
            assert_eq!(live.walk().stage().heading(), walk::Heading::Step);
        }
    }
}
