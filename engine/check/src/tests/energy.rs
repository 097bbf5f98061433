//! The rules about hazardous energy follow every way through a procedure, not the order in which it is written.

use super::sample::sample;
use crate::registry::explain;
use crate::{Budget, check};
use document::InputFile;

/// What is found in a good sample in which some texts are written otherwise, as codes in the order of the text.
fn codes(of: &str, edits: &[(&str, &str)]) -> Vec<&'static str> {
    let mut files = sample(explain(of).expect("a rule"), "Good").files;
    for (from, to) in edits {
        let mut found = 0;
        for file in &mut files {
            let text = String::from_utf8(file.bytes.clone()).expect("UTF-8");
            found += text.matches(from).count();
            *file = InputFile { name: file.name.clone(), bytes: text.replace(from, to).into_bytes() };
        }
        assert_eq!(found, 1, "`{from}`");
    }
    let report = check(document::read(&files), &Budget { boxes: 1_000, go_on: &|| true })
        .expect("no fault of our own");
    report.findings().iter().map(|finding| finding.code).collect()
}

const LOCK: &str = "  - id: lock\n";

#[test]
fn a_lock_that_an_answer_leads_past_is_no_lock() {
    assert_eq!(codes("E03", &[]), Vec::<&str>::new());
    let past = "  - id: short-job\n    ask: Is the job shorter than 5 min?\n    answers: { yes: block, no: lock }\n  - id: lock\n";
    assert_eq!(codes("E03", &[(LOCK, past)]), ["E03"]);
}

#[test]
fn telling_people_on_one_way_alone_tells_nobody_on_the_other() {
    let past = "  - id: empty-hall\n    ask: Is the hall empty?\n    answers: { yes: isolate, no: tell }\n  - id: tell\n";
    assert_eq!(codes("E02", &[("  - id: tell\n", past)]), ["E02"]);
}

#[test]
fn switching_off_after_a_trial_begins_no_control() {
    // After the start the press is switched off again, without anybody told, and no work follows.
    let end = "    leaves: { supply: live }\n    expect: The lamp is lit.\n";
    let off = format!(
        "{end}  - id: off\n    do: Turn the disconnector back to 0.\n    leaves: {{ supply: isolated }}\n    expect: The lamp is dark.\n"
    );
    assert_eq!(codes("E02", &[(end, &off)]), Vec::<&str>::new());
    let work = format!(
        "{off}  - id: grease-again\n    do: Grease both guides once more.\n    expect: A film covers both guides.\n"
    );
    let found = codes("E02", &[(end, &work)]);
    assert!(found.contains(&"E02") || found.contains(&"E03"), "{found:?}");
}

/// Whoever has the switch within reach and in sight all the time puts no lock on it; all else is asked for.
#[test]
fn without_locks_the_rest_is_asked_for() {
    let lock = "  - id: lock\n    do: Put the lock on the disconnector.\n    leaves: { lock: fitted }\n    \
        expect: The disconnector does not turn.\n";
    let unlock = "  - id: unlock\n    do: Take the lock off the disconnector.\n    leaves: { lock: removed }\n    \
        expect: The disconnector turns.\n";
    let without = [("    locked: { lock: fitted }\n", ""), (lock, ""), (unlock, "")];
    let energy = |edits: &[(&str, &str)]| -> Vec<&'static str> {
        codes("E05", edits).into_iter().filter(|code| code.starts_with('E')).collect()
    };
    assert_eq!(energy(&without), Vec::<&str>::new());
    let unverified =
        [&without[..], &[("    confirm: { supply: isolated }\n", "    confirm: { ram: blocked }\n")]];
    assert_eq!(energy(&unverified.concat()), ["E05"]);
}
