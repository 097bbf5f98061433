//! In the terminal too: deviations with leave, the way out after a stop, and the release of the machine.

use super::program::{as_str, run, said, script, stopped_early, walking};
use journal::Journal;
use records::leaving::{Next, next};
use std::path::Path;
use walk::{Input, Leaving};

const REMARK: &str = "The lamp was loose and is tight now.";

#[test]
fn an_act_is_done_otherwise_with_a_reason_and_the_leave_of_somebody_who_may() {
    let mut lines = script("strainer-clean");
    let at = lines.iter().position(|line| line == "done").expect("an act");
    let otherwise = [
        "done",
        "back",
        "back",
        "deviate",
        "deviate the valve is stiff: closed with pliers",
        "Anneke Voss",
        "deviate the valve is stiff: closed with pliers",
        "Tomas Reeve",
        "deviate the valve is stiff: closed with pliers",
        "Gwen Adeyi",
        "yes",
    ];
    lines.splice(at..=at, otherwise.map(str::to_owned));
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    let output = run(&journal, &as_str(&walking("strainer-clean")), &(lines.join("\n") + "\n"));
    let text = said(&output);
    assert!(output.status.success(), "{text}");
    for wanted in [
        "A deviation has a reason",
        "Anneke Voss has not the role safety officer",
        "Tomas Reeve has not the role safety officer",
        "completed with deviation",
        "Nothing can be taken back here",
    ] {
        assert!(text.contains(wanted), "`{wanted}` is not in: {text}");
    }
    let show = said(&run(&journal, &["record", "show", "the-walk"], ""));
    assert!(show.contains("closed with pliers") && show.contains("Gwen Adeyi"), "{show}");
}

/// What is said on the way to leave the machine, where every look shows the first of what it may.
fn way_out(journal: &Path) -> String {
    let copy = journal.with_extension("copy");
    std::fs::copy(journal, &copy).expect("a copy to find the answers with");
    let mut journal = Journal::open(&copy).expect("the copy");
    let mut live = walk::resume(&mut journal, "the-walk").expect("the walk");
    let (mut lines, mut now_ms) = ("Tomas Reeve\n".to_owned(), live.walk().last_ms());
    live.answer(&Input::Resume { person: "Tomas Reeve".to_owned() }, now_ms).expect("taken");
    loop {
        let said = match next(live.walk(), None, now_ms) {
            Next::Act { act, wait, .. } => {
                now_ms += wait.map_or(1_000, |millis| i64::try_from(millis).expect("a short wait"));
                lines += if wait.is_none() { "done\n" } else { "" };
                Leaving::Done(act)
            }
            Next::Look { condition, mut choices, .. } => {
                let values = choices.swap_remove(0);
                lines += &format!("{}\n", values.join(" or "));
                Leaving::Looked { condition, values }
            }
            Next::Nothing => return lines,
            Next::Stuck | Next::Cannot { .. } => panic!("there is a way"),
        };
        live.answer(&Input::Leaving(said), now_ms).expect("taken");
    }
}

#[test]
fn a_stopped_machine_is_left_act_by_act_and_released_by_whoever_may() {
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    let text = said(&run(&journal, &as_str(&walking("tip-swap")), &(stopped_early() + "not yet\n")));
    assert!(text.contains("Turn the supply switch to 0. (done) > not yet"), "{text}");
    assert!(text.contains("Say `done` when it is done."), "{text}");
    // Later somebody comes back to it, is named and goes the way anew; the officer comes after that.
    let out = said(&run(&journal, &["resume", "the-walk"], &(way_out(&journal) + "\n")));
    assert!(out.contains("stays out of use until the safety officer releases it"), "{out}");
    let script = format!("{REMARK}\nTomas Reeve\n{REMARK}\nGwen Adeyi\n");
    let released = said(&run(&journal, &["resume", "the-walk"], &script));
    assert!(released.contains("Tomas Reeve has not the role safety officer"), "{released}");
    assert!(released.contains("The machine was released for use again."), "{released}");
    let show = said(&run(&journal, &["record", "show", "the-walk"], ""));
    assert!(show.contains(REMARK), "{show}");
    let again = run(&journal, &["resume", "the-walk"], "");
    assert_eq!(again.status.code(), Some(2), "{}", said(&again));
}
