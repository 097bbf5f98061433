//! Asking on: whoever says no is asked for each other value, where each has a question of its own.

use super::rig::{START, begun, refused, say, started};
use journal::Journal;
use walk::{Event, Input, LiveWalk, Look, Prompt, Stage};

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

fn tank(live: &LiveWalk<'_>) -> Vec<String> {
    let layout = &live.walk().machine().layout;
    let var = layout.find("tank").expect("a condition");
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
        assert!(refusal.opens.contains("rinse, product"), "{refusal}");
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

/// Whoever can tell that it is not so need not know what it is.
#[test]
fn a_plain_no_leaves_the_others() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = started(&mut journal, "{ supply: live }", STEPS);
    say(&mut live, &Input::Look(Look::No), START);
    assert_eq!(tank(&live), ["rinse", "product"]);
}

/// A shut gate knows what was seen, and asks on again at its second look.
#[test]
fn a_gate_asks_on_and_stays_shut() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = begun(&mut journal, "{ tank: empty }", "  - { id: act, do: Act. }\n");
    say(&mut live, &Input::Variant("small".to_owned()), START);
    for seen in ["rinse", "product"] {
        assert_eq!(others(&live).len(), 2);
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
            say(&mut live, &is("rinse"), over);
            assert_eq!(live.walk().stage().heading(), walk::Heading::Step);
        }
    }
}
