//! The program itself: walked by a script, killed, resumed, read back.

use super::driver::{Driver, PERSON, SECOND, start};
use crate::support::{demo, run};
use journal::Journal;
use std::io::{BufRead, BufReader, Write};
use std::path::Path;
use std::process::{Command, Output, Stdio};
use walk::Input;

pub(super) fn gatewright(journal: &Path, arguments: &[&str]) -> Command {
    let folder = journal.parent().expect("a folder");
    demo::site(folder);
    let mut command = run::gatewright(folder, arguments);
    command.arg("--journal").arg(journal);
    command
}

pub(super) fn run(journal: &Path, arguments: &[&str], script: impl AsRef<[u8]>) -> Output {
    let mut child = gatewright(journal, arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // A program that ends early closes the pipe; its output says why.
    let _ = child.stdin.take().expect("an input").write_all(script.as_ref());
    child.wait_with_output().expect("the program ends")
}

pub(super) fn said(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("UTF-8") + &String::from_utf8_lossy(&output.stderr)
}

/// What a person types for an input. Waits pass by the clock alone.
fn typed(input: &Input) -> Option<String> {
    Some(match input {
        Input::Variant(text) | Input::Sign(text) | Input::Reading(text) | Input::Answer(text) => text.clone(),
        Input::Item(path) => path.rsplit('/').next().unwrap_or(path).to_owned(),
        Input::Look(look) => look.words().to_owned(),
        Input::Done => "done".to_owned(),
        Input::Fastener(number) => number.to_string(),
        Input::StartTimer | Input::TimerOver => return None,
        other => panic!("nobody types {other:?}"),
    })
}

#[test]
fn what_is_no_text_is_no_answer_and_ends_nothing() {
    let folder = tempfile::tempdir().expect("a folder");
    let arguments = walking("strainer-clean");
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    let output = run(&folder.path().join("records.sqlite"), &arguments, b"12 \xff\n12 m\r\n");
    let said = said(&output);
    assert!(said.contains("is not a hose of this equipment"), "{said}");
    assert!(said.contains("Which tip"), "the question was answered after that: {said}");
}

/// The lines that walk a procedure to its end.
pub(super) fn script(procedure: &str) -> Vec<String> {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, procedure, &driver);
    let mut lines = Vec::new();
    while let Some(input) = driver.input(&live) {
        driver.now_ms += 1_000;
        live.answer(&input, driver.now_ms).expect("taken");
        lines.extend(typed(&input));
    }
    lines
}

/// The lines that stop the tip swap before its first act: the supply is live there.
pub(super) fn stopped_early() -> String {
    let lines = script("tip-swap");
    let first_act = lines.iter().position(|line| line == "done").expect("an act");
    format!("{}\nstop the lamp flickers\n", lines[..first_act].join("\n"))
}

pub(super) fn walking(procedure: &str) -> Vec<String> {
    ["walk", procedure, "--person", PERSON, "--serial", "OSK-0117", "--rehearsal", "--name", "the-walk"]
        .map(str::to_owned)
        .to_vec()
}

pub(super) fn as_str(words: &[String]) -> Vec<&str> {
    words.iter().map(String::as_str).collect()
}

#[test]
fn strainer_clean_is_walked_by_a_script_and_read_back() {
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    let lines = script("strainer-clean").join("\n") + "\n";
    let output = run(&journal, &as_str(&walking("strainer-clean")), &lines);
    assert!(output.status.success(), "{}", said(&output));
    assert!(said(&output).contains("The walk is completed"), "{}", said(&output));

    let list = said(&run(&journal, &["record", "list"], ""));
    assert!(list.contains("the-walk") && list.contains("completed") && list.contains("OSK-0117"), "{list}");
    let show = said(&run(&journal, &["record", "show", "the-walk"], ""));
    assert!(show.contains("timer of 1 min") || show.contains("timer of 60 s"), "{show}");
    let verify = run(&journal, &["record", "verify"], "");
    assert!(verify.status.success() && said(&verify).starts_with("intact: "), "{}", said(&verify));

    let json = run(&journal, &["record", "export", "the-walk"], "");
    let records: serde_json::Value = serde_json::from_slice(&json.stdout).expect("JSON");
    let records = records.as_array().expect("an array");
    assert_eq!(records[0]["event"], "begin");
    assert_eq!(records.last().expect("records")["walk"], "the-walk");
    for pair in records.windows(2) {
        assert_eq!(pair[0]["hash"], pair[1]["previous"]);
    }
    let csv = said(&run(&journal, &["record", "export", "--form", "csv"], ""));
    assert_eq!(csv.matches("\r\n").count(), records.len() + 1, "a line a record and a heading");
}

/// Reads the program's output up to and with a text.
pub(super) fn read_until(output: &mut impl BufRead, wanted: &str) -> String {
    let mut text = String::new();
    let mut byte = [0];
    while !text.ends_with(wanted) {
        assert_eq!(output.read(&mut byte).expect("readable"), 1, "the program ended after: {text}");
        text.push(char::from(byte[0]));
    }
    text
}

#[test]
fn killed_in_the_middle_it_goes_on_where_it_was_and_asks_again() {
    let lines = script("strainer-clean");
    for killed_after in [3, 9, 14, 20, lines.len() - 2] {
        let folder = tempfile::tempdir().expect("a folder");
        let journal = folder.path().join("records.sqlite");
        let mut child = gatewright(&journal, &as_str(&walking("strainer-clean")))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let mut input = child.stdin.take().expect("an input");
        let mut output = BufReader::new(child.stdout.take().expect("an output"));
        for line in &lines[..killed_after] {
            // The next prompt is the acknowledgement of the answer before.
            read_until(&mut output, " > ");
            writeln!(input, "{line}").expect("the program listens");
        }
        read_until(&mut output, " > ");
        child.kill().expect("killed: SIGKILL leaves no time for anything");
        child.wait().expect("it is gone");

        // A timer that ran out counts as an answer that nobody typed.
        let acknowledged = walk::fold(&Journal::open_existing(&journal).expect("the journal"), "the-walk");
        let before = acknowledged.expect("the walk").record().clone();
        let verify = run(&journal, &["record", "verify"], "");
        assert!(verify.status.success(), "{}", said(&verify));

        // The rest: what lapsed is asked first, so a script answers yes as often as it is asked.
        let mut copy = Journal::open(&journal).expect("the journal");
        let mut live = walk::resume(&mut copy, "the-walk").expect("the walk");
        assert_eq!(*live.walk().record(), before);
        let mut driver = Driver { now_ms: live.walk().last_ms() + 1_000, ..Driver::new() };
        drop(live);
        drop(copy);
        let spare = folder.path().join("rest.sqlite");
        std::fs::copy(&journal, &spare).expect("a copy to find the answers with");
        let mut other = Journal::open(&spare).expect("the copy");
        live = walk::resume(&mut other, "the-walk").expect("the walk");
        live.answer(&Input::Resume { person: PERSON.to_owned() }, driver.now_ms).expect("resumed");
        let mut rest = Vec::new();
        while let Some(input) = driver.input(&live) {
            driver.now_ms += 1_000;
            live.answer(&input, driver.now_ms).expect("taken");
            rest.extend(typed(&input));
        }
        let output = run(&journal, &["resume", "--person", PERSON], &(rest.join("\n") + "\n"));
        assert!(output.status.success(), "killed after {killed_after}: {}", said(&output));
        assert!(said(&output).contains("The walk is completed"), "{}", said(&output));
        // Killed among the first questions, there is hardly anything yet that could lapse.
        if killed_after > 9 {
            assert!(said(&output).contains("--- To be looked at again"), "{}", said(&output));
        }
        let show = said(&run(&journal, &["record", "show", "the-walk"], ""));
        assert!(show.contains("after an interruption that nobody announced"), "{show}");
        assert!(said(&run(&journal, &["record", "verify"], "")).starts_with("intact: "));
    }
}

#[test]
fn fasteners_are_ticked_by_enter_or_by_their_numbers_and_a_kill_keeps_them() {
    let lines = script("wand-reassembly");
    let loosen = ["7", "1", "6", "2", "5", "3", "4"];
    let at = lines.windows(7).position(|seven| seven == loosen).expect("seven are loosened one by one");
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    let mut child = gatewright(&journal, &as_str(&walking("wand-reassembly")))
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    let mut input = child.stdin.take().expect("an input");
    let mut output = BufReader::new(child.stdout.take().expect("an output"));
    let some = ["", "1, 6 3"].map(str::to_owned);
    for line in lines[..at].iter().chain(&some) {
        read_until(&mut output, " > ");
        writeln!(input, "{line}").expect("the program listens");
    }
    let said_last = read_until(&mut output, " > ");
    assert!(said_last.contains("Fastener 3 is out of order"), "{said_last}");
    assert!(said_last.contains("fastener 2, turn 4 of 7"), "{said_last}");
    child.kill().expect("killed: SIGKILL leaves no time for anything");
    child.wait().expect("it is gone");

    let answers = "yes\n".repeat(30);
    let resumed = said(&run(&journal, &["resume", "--person", PERSON], &answers));
    assert!(resumed.contains("that are ticked: 7, 1, 6. Are these as they were left?"), "{resumed}");
    assert!(resumed.contains("fastener 2, turn 4 of 7"), "{resumed}");
    let show = said(&run(&journal, &["record", "show", "the-walk"], ""));
    for fastener in [7, 1, 6] {
        assert_eq!(show.matches(&format!("loosen: pass 1, fastener {fastener} done")).count(), 1, "{show}");
    }
    assert!(show.contains("loosen: the ticked fasteners are as they were left"), "{show}");
    assert!(said(&run(&journal, &["record", "verify"], "")).starts_with("intact: "));
}

#[test]
fn wrong_answers_are_told_why_and_what_would_open_the_gate() {
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    // No to everything before step 1: it is taken, with what it is where that is asked, and then the gate stays shut.
    let no = "no\nis product\n".repeat(30);
    let script = format!("5 m\n12 m\nfine\nmaybe\n{no}stop\nstop the bowl is cracked\n");
    let output = run(&journal, &as_str(&walking("strainer-clean")), &script);
    let text = said(&output);
    assert_eq!(output.status.code(), Some(1), "{text}");
    for wanted in [
        "`5 m` is not a hose of this equipment",
        "The gate stays shut",
        "Answer `yes`, `no` or `cannot tell`.",
        "`is product`: no, and Does cloudy liquid or foam cover the tank outlet? Yes.",
        "(yes / is VALUE / cannot tell) > no\n  NOT TAKEN  No alone does not tell what it is. Say which it is: drained (Does the",
        "Work is stopped with a reason",
        "The walk is stopped: the bowl is cracked",
        "Nothing but a stop is left",
        "Before you leave the machine:",
    ] {
        assert!(text.contains(wanted), "`{wanted}` is not in: {text}");
    }
}

#[test]
fn a_hold_point_takes_a_second_person_and_not_the_first() {
    let lines = script("battery-replacement");
    let at = lines.iter().position(|line| line == SECOND).expect("somebody signs");
    let mut wrong = lines.clone();
    for name in [PERSON, "Gwen Adeyi", "Ilse Marrow"] {
        wrong.insert(at, name.to_owned());
    }
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    let output = run(&journal, &as_str(&walking("battery-replacement")), &(wrong.join("\n") + "\n"));
    assert!(output.status.success(), "{}", said(&output));
    // Whoever walks is refused by the walk; whoever has not the role, by the people of the site.
    assert!(said(&output).contains("must be somebody else"), "{}", said(&output));
    assert!(said(&output).contains("Gwen Adeyi has not the role second person"), "{}", said(&output));
    assert!(said(&output).contains("The role second person of Ilse Marrow ended on 2025-01-01"));
}

#[test]
fn a_record_that_was_altered_is_named() {
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    let script = "12 m\nfine\nyes\nyes\n";
    run(&journal, &as_str(&walking("strainer-clean")), script);
    let sqlite = Command::new("sqlite3")
        .arg(&journal)
        .arg("SELECT sql FROM sqlite_master WHERE type = 'trigger';")
        .output()
        .expect("sqlite3 runs");
    assert!(!sqlite.stdout.is_empty(), "the journal has no guards");
    let triggers = Command::new("sqlite3")
        .arg(&journal)
        .arg("SELECT 'DROP TRIGGER ' || name || ';' FROM sqlite_master WHERE type = 'trigger';")
        .output()
        .expect("sqlite3 runs");
    let drops = String::from_utf8_lossy(&triggers.stdout).into_owned();
    let alter =
        format!("{drops} UPDATE record SET payload = replace(payload, '12 m', '20 m') WHERE seq = 1;");
    let altered = Command::new("sqlite3").arg(&journal).arg(alter).output().expect("sqlite3 runs");
    assert!(altered.status.success(), "{}", String::from_utf8_lossy(&altered.stderr));
    let verify = run(&journal, &["record", "verify"], "");
    assert_eq!(verify.status.code(), Some(1));
    assert!(said(&verify).contains("the-walk"), "{}", said(&verify));
    let resume = run(&journal, &["resume", "--person", PERSON], "");
    assert_eq!(resume.status.code(), Some(2), "{}", said(&resume));
}

#[test]
fn stopped_work_is_told_the_computed_way_to_leave_the_machine() {
    // In the tip swap the supply is live at the start: stopping before the first step means to isolate it.
    let folder = tempfile::tempdir().expect("a folder");
    let journal = folder.path().join("records.sqlite");
    let output = run(&journal, &as_str(&walking("tip-swap")), stopped_early());
    let text = said(&output);
    assert_eq!(output.status.code(), Some(1), "{text}");
    let told = text.split("Before you leave the machine:\n").nth(1).expect("a way to leave it");
    assert!(told.starts_with("  Turn the supply switch to 0."), "{told}");
    assert!(told.contains("The state in which it may be left:"), "{told}");
}
