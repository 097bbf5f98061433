//! In the terminal: what an author called like a word of the walk is offered and said with `is`, and the bare word stays the
//! word of the walk, wherever something is asked.

use super::program::{run, said};
use super::site::site;

const EQUIPMENT: &str = "\
equipment: lever-press
title: Lever press
revision: 1
roles: { technician: Trained on this press., helper: A second pair of eyes. }
variants: { bed: [stop, wide] }
conditions:
  lever: { values: [forward, back, stop], ask: { forward: Is it forward?, back: Is it back?, stop: Is it at stop? } }
  guard: { values: [fitted, parked, open], ask: { fitted: Is it fitted?, parked: Is it parked?, open: Is it open? } }
safe_state: { lever: forward, guard: [fitted, parked] }
actions:
  turn-forward: { do: Turn the lever forward., leaves: { lever: forward }, restores: true }
  fit-guard: { do: Fit the guard., leaves: { guard: fitted }, restores: true }
";

const PROCEDURE: &str = "\
procedure: lever
title: Look at the lever
equipment: lever-press
revision: 1
purpose: Find a worn lever.
scope: The lever alone.
performers: { technician: 1, helper: 1 }
time: 5 min
level_of_use: continuous
tools: none
supplies: none
spares: none
wear: none
emergency: If someone gets hurt, stop the work. Call the supervisor.
effective: 2026-11-02
author: Ilse Marrow
requires: { lever: forward }
steps:
  - id: where
    ask: Where does the lever point?
    answers:
      forward: { shows: { lever: forward }, then: wipe }
      back: { shows: { lever: back }, then: turn }
      help: turn
  - { id: turn, action: turn-forward }
  - { id: wipe, any_order: [{ id: back, do: Wipe the back. }, { id: help, do: Wipe the plate. }] }
  - { id: open, do: Open the guard., leaves: { guard: open } }
  - { id: fit, do: Fit the guard., leaves: { guard: fitted }, verified_by: helper }
";

const WALK: [&str; 9] =
    ["walk", "lever", "--training", "--rehearsal", "--person", "Anneke Voss", "--serial", "7", "--name"];

/// What is said to a script, and what is recorded of it.
fn walked(script: &str) -> (String, String) {
    let folder = tempfile::tempdir().expect("a folder");
    site(folder.path(), EQUIPMENT, PROCEDURE);
    let journal = folder.path().join("records.sqlite");
    let text = said(&run(&journal, &[&WALK[..], &["one"]].concat(), script));
    let show = said(&run(&journal, &["record", "show", "one"], ""));
    (text, show)
}

#[track_caller]
fn holds(text: &str, wanted: &[&str]) {
    let mut rest = text;
    for words in wanted {
        let (_, after) = rest.split_once(words).unwrap_or_else(|| panic!("`{words}` is not in: {text}"));
        rest = after;
    }
}

/// A machine whose guard stands open, at which work was stopped.
const STOPPED: &str = "is stop\nyes\nforward\nis back\ndone\nis help\ndone\ndone\nstop the lever is stiff\n";

#[test]
fn what_is_called_like_a_word_of_the_walk_is_chosen_with_is() {
    let gate = "stop\nis stop\nis up\nis back\ndid turn-forward\nyes\n";
    let steps = "up\nhelp\nis help\ndone\nup\nis help\ndone\nis back\ndone\ndone\ndone\nGwen\nyes\nyes\n";
    let (text, show) = walked(&format!("{gate}{steps}"));
    let wanted = [
        "(is stop / wide) > stop\n  NOT TAKEN  Work is stopped with a reason",
        "(is stop / wide) > is stop\n",
        "> is up\n  `up` is not asked on here: say is back / is stop, or `cannot tell`.",
        "> is back\nThe gate stays shut",
        "> up\n  `up` is none of these: forward / is back / is help.",
        "(forward / is back / is help / cannot tell) > help\n  stop REASON",
        "(forward / is back / is help / cannot tell) > is help\n",
        "Which next? (is back / is help) > up\n  `up` is none of these: is back / is help.",
        "Which next? (is back / is help) > is help\n",
        "Which next? (is back) > is back\n",
        "The walk is completed",
    ];
    holds(&text, &wanted);
    holds(
        &show,
        &["bed is stop", "where: answered help", "wipe/help: chosen next", "wipe/back: chosen next"],
    );
}

#[test]
fn the_bare_word_stays_the_word_of_the_walk_and_what_it_takes_back_is_shown() {
    let verified = "is help\ndone\ndone\ndone\nyes\nback\ndone\nBack\ndone\nNo Gwen Adeyi\n";
    let (text, show) =
        walked(&format!("is stop\nyes\nback\nyes\nis back\ndone\nback\ndone\nis back\ndone\n{verified}"));
    let wanted = [
        "(forward / is back / is help / cannot tell) > back\n  TAKEN BACK  before step 1: lever forward: yes\n",
        "(forward / is back / is help / cannot tell) > is back\n",
        "Which next? (is back / is help) > back\n  TAKEN BACK  Step 2: done\n\n--- Step 2 of 5   turn",
        "or `no` and the name if it is not so > yes\n  `yes` is a word of the walk and no name.",
        "> back\n  TAKEN BACK  Step 5: done\n\n--- Step 5 of 5   fit   training only\n  Fit the guard.\n(done) > done\n",
        "> Back\n  TAKEN BACK  Step 5: done\n\n--- Step 5 of 5   fit",
    ];
    holds(&text, &wanted);
    holds(&show, &["where: answered back", "turn: done", "turn: done", "wipe/back: chosen next"]);
    holds(&show, &["fit: not so, says Gwen Adeyi, helper"]);
}

#[test]
fn on_the_way_to_leave_the_machine_notes_are_kept_and_words_help() {
    let acts = "stop\nback\npause\ndeviate x\nnote\nhelp\nnote the lamp is dark\nis done\ndone\n";
    let (text, show) = walked(&format!("{STOPPED}{acts}back\nis back\ndone\n"));
    let act = "1 of 1: Fit the guard. (done) > ";
    let said = [
        format!("{act}stop\n  Work is stopped already.\n"),
        format!("{act}back\n  Nothing can be taken back after a stop.\n"),
        format!("{act}pause\n  Work is stopped: nothing is left to pause.\n"),
        format!("{act}deviate x\n  Nothing is done otherwise on the way to leave the machine.\n"),
        format!("{act}note\n  Say `note TEXT`.\n"),
        format!("{act}help\n  done       the act was done\n"),
        format!("{act}note the lamp is dark\n"),
        format!("{act}is done\n  Say `done` when it is done.\n"),
        format!("{act}done\n"),
        "(forward / is back or stop / cannot tell) > back\n  Nothing can be taken back after a stop.\n"
            .to_owned(),
        "(forward / is back or stop / cannot tell) > is back\n".to_owned(),
    ];
    holds(&text, &said.each_ref().map(String::as_str));
    holds(
        &show,
        &["note: the lamp is dark", "before leaving: Fit the guard.: done", "before leaving: lever back"],
    );
}

#[test]
fn of_several_values_that_lead_one_way_any_is_taken_alone_or_all_together() {
    for (seen, recorded) in [
        ("parked", "guard parked"),
        ("fitted or parked", "guard fitted or parked"),
        ("is fitted", "guard fitted"),
    ] {
        let (text, show) = walked(&format!("{STOPPED}done\nforward\n{seen}\n"));
        holds(&text, &["(fitted or parked / open / cannot tell) > ", "The machine stays out of use"]);
        holds(&show, &[&format!("before leaving: {recorded}\n")]);
    }
}

#[test]
fn a_word_of_the_walk_releases_no_machine() {
    let words = [
        "pause",
        "back",
        "help",
        "stop",
        "STOP",
        "deviate",
        "note",
        "yes",
        "done",
        "cannot tell",
        "note it creaks",
    ];
    let (text, show) = walked(&format!("{STOPPED}done\nforward\nfitted\n{}\n", words.join("\n")));
    assert_eq!(text.matches("What was found and put right").count(), words.len() + 1, "{text}");
    for word in words.into_iter().filter(|word| !word.starts_with("note") && *word != "help") {
        holds(&text, &[&format!("`{word}` is a word of the walk and no remark. Say in a sentence")]);
    }
    assert!(!text.contains("Released by") && !show.contains("released"), "{text}");
    holds(&show, &["note: it creaks"]);
    let script = "Stop bolt renewed.\nback\nStop bolt renewed.\nGwen Adeyi\n";
    let (text, show) = walked(&format!("{STOPPED}done\nforward\nfitted\n{script}"));
    holds(
        &text,
        &["> back\n  `back` is a word of the walk and no name.", "The machine was released for use again."],
    );
    holds(&show, &["by Gwen Adeyi, safety-officer: Stop bolt renewed."]);
}
