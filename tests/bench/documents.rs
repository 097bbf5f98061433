//! Documents of any size, and what it takes to prove them.

use super::rows::timed;
use document::InputFile;
use machine::Machine;
use proof::{Budget, Proof};
use std::fmt::Write;
use std::path::Path;
use std::process::Command;
use std::time::{Duration, Instant};

/// Sets of states that `check` explores by default.
const BOXES: usize = 2_000_000;
/// Seconds a worst case may take here.
const SECONDS: u64 = 20;

/// Equipment with so many conditions of two values; one role and nothing else.
pub(crate) fn equipment(conditions: usize) -> String {
    rig(&of_two_values(conditions, ""), "")
}

/// The same with an act that puts each condition back, as all of them are left; `more` is said of each, such as how it grows old.
pub(crate) fn restorable(conditions: usize, more: &str) -> String {
    let mut actions = "actions:\n".to_owned();
    for at in 0..conditions {
        let _ =
            writeln!(actions, "  off{at}: {{ do: Turn it off., leaves: {{ c{at}: off }}, restores: true }}");
    }
    let off = of_each(conditions, |at| format!("c{at}: off"));
    rig(&of_two_values(conditions, more), &format!("{actions}safe_state: {{ {off} }}\n"))
}

fn of_two_values(conditions: usize, more: &str) -> String {
    let one = |at| format!("  c{at}: {{ values: [off, on], ask: \"Is c{at} off?\"{more} }}\n");
    (0..conditions).map(one).collect()
}

/// Equipment with these conditions, one role, and the `rest`.
pub(crate) fn rig(conditions: &str, rest: &str) -> String {
    format!(
        "equipment: rig\ntitle: A rig\nrevision: 1\nconditions:\n{conditions}\
         roles: {{ technician: Works on the rig. }}\n{rest}"
    )
}

/// The inside of a map with an entry for each of so many.
pub(crate) fn of_each(count: usize, one: impl Fn(usize) -> String) -> String {
    (0..count).map(one).collect::<Vec<_>>().join(", ")
}

/// A procedure of that equipment; `body` is its `requires`, `leaves` and steps.
pub(crate) fn procedure(name: &str, body: &str) -> String {
    format!(
        "procedure: {name}\ntitle: A procedure\nequipment: rig\nrevision: 1\npurpose: Work.\nscope: The rig.\n\
         performers: {{ technician: 1 }}\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
         spares: none\nwear: none\n{body}"
    )
}

/// Times of one proof.
pub(crate) struct Ours {
    /// Reading, compiling and proving in this process.
    pub(crate) whole: Duration,
    pub(crate) compiled: Duration,
    pub(crate) proved: Duration,
    pub(crate) proof: Proof,
}

/// Reads and compiles `main`; gives the documents with it.
pub(crate) fn compiled(texts: &[String]) -> (Vec<InputFile>, Machine) {
    let file = |(at, text): (usize, &String)| InputFile {
        name: format!("{at}.yaml"),
        bytes: text.clone().into_bytes(),
    };
    let files: Vec<InputFile> = texts.iter().enumerate().map(file).collect();
    let reading = document::read(&files);
    if let Some(finding) = reading.findings.iter().find(|found| found.severity == document::Severity::Error) {
        panic!("not read: {} {}", finding.code, finding.message);
    }
    let machine = machine::compile(&reading.library, &"main".into()).expect("it compiles");
    (files, machine)
}

/// Reads, compiles and proves `main`.
pub(crate) fn prove(texts: &[String]) -> Ours {
    let (files, _) = compiled(texts);
    let reading = document::read(&files);
    let compile = || machine::compile(&reading.library, &"main".into()).expect("it compiles");
    let (compiled, machine) = timed(compile);
    let prove = |machine: &machine::Machine| {
        let end = Instant::now() + Duration::from_secs(SECONDS);
        let go_on = || Instant::now() < end;
        proof::prove(machine, &Budget { boxes: BOXES, go_on: &go_on }).expect("every counterexample replays")
    };
    let (proved, proof) = timed(|| prove(&machine));
    let (whole, _) = timed(|| {
        let reading = document::read(&files);
        let machine = machine::compile(&reading.library, &"main".into()).expect("it compiles");
        prove(&machine)
    });
    Ours { whole, compiled, proved, proof }
}

/// What the proof says, in a word or two.
pub(crate) fn verdict(proof: &Proof) -> String {
    match (&proof.ended, proof.refuted.len()) {
        (Some(_), 0) => "not proved within the budget".to_owned(),
        (Some(_), refuted) => format!("{refuted} refuted, the rest not proved within the budget"),
        (None, 0) => "proved".to_owned(),
        (None, refuted) => format!("{refuted} refuted"),
    }
}

/// Time of the whole program over a folder.
pub(crate) fn program(folder: &Path) -> Duration {
    let (least, _) = timed(|| {
        let output = Command::new(env!("CARGO_BIN_EXE_gatewright")).arg("check").arg(folder).output();
        let output = output.expect("the program starts");
        assert!(
            output.status.code().is_some_and(|code| code < 2),
            "{}",
            String::from_utf8_lossy(&output.stderr)
        );
    });
    least
}

/// Writes documents into a folder of their own and times the whole program over it.
pub(crate) fn program_over(texts: &[String]) -> Duration {
    let folder = tempfile::tempdir().expect("a folder");
    for (at, text) in texts.iter().enumerate() {
        std::fs::write(folder.path().join(format!("{at}.yaml")), text).expect("written");
    }
    program(folder.path())
}
