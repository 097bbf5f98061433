//! Many procedures in one run of SPIN: the events that any run of each one has.

use super::events::Events;
use super::model::Model;
use super::promela::{ROUNDS, process};
use super::rig::rig;
use std::collections::BTreeSet;
use std::path::Path;
use std::process::Command;

/// What SPIN found of one procedure.
pub(crate) struct Observed {
    pub(crate) events: BTreeSet<String>,
    /// The procedure as SPIN read it.
    pub(crate) promela: String,
}

/// What SPIN found of a batch.
pub(crate) struct Batch {
    pub(crate) observed: Vec<Observed>,
    pub(crate) states: u64,
}

/// Runs SPIN once over all models.
pub(crate) fn observe(models: &[Model]) -> Batch {
    let mut events = Events::default();
    let (mut processes, mut rigs) = (Vec::new(), String::new());
    let mut ends = Vec::new();
    for (at, model) in models.iter().enumerate() {
        processes.push(process(&format!("p{at}"), model, &mut events));
        rigs += &rig(&format!("rp{at}"), model);
        ends.push(events.0.len());
    }
    let (seen, states) = run(&text(&rigs, &processes, events.0.len()), events.0.len());
    let mut begin = 0;
    let observed = processes.into_iter().zip(ends).map(|(promela, end)| {
        let events = (begin..end).filter(|at| seen.contains(at)).map(|at| events.0[at].clone()).collect();
        begin = end;
        Observed { events, promela }
    });
    Batch { observed: observed.collect(), states }
}

/// What looks and acts do to the record.
const RECORD: &str = include_str!("record.c");

fn text(rigs: &str, processes: &[String], events: usize) -> String {
    let mut text = format!(
        "c_code {{\nstatic char seen[{events} + 1];\nstatic int listed;\nstatic void list(void) {{\n\
         int at; for (at = 0; at < {events}; at++) if (seen[at]) printf(\"seen %d\\n\", at);\n}}\n{RECORD}{rigs}}};\n\
         byte f[{ROUNDS}], t[{ROUNDS}], r[{ROUNDS}], o, lo, fd, wr, bk, ov, q, m, ag, tip; short nx; int um;\n"
    );
    text += &processes.concat();
    text += "init {\n  c_code { if (!listed) { listed = 1; atexit(list); } };\n  if\n";
    for at in 0..processes.len() {
        text += &format!("  :: run p{at}()\n");
    }
    text + "  fi\n}\n"
}

/// The numbers of the events that some run has, and how many states SPIN kept.
fn run(text: &str, events: usize) -> (BTreeSet<usize>, u64) {
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("batch.pml"), text).expect("written");
    command(folder.path(), "spin", &["-a", "batch.pml"]);
    let compiler = if Command::new("tcc").arg("-v").output().is_ok() { "tcc" } else { "gcc" };
    command(folder.path(), compiler, &["-w", "-DSAFETY", "-DNOREDUCE", "-o", "pan", "pan.c"]);
    let pan = folder.path().join("pan");
    let output = command(folder.path(), pan.to_str().expect("a path"), &["-n", "-m200000", "-w20"]);
    assert!(
        output.contains("errors: 0") && !output.contains("too small") && !output.contains("not completed"),
        "the search of SPIN is not complete: {output}"
    );
    let states = output.lines().find_map(|line| line.trim().strip_suffix(" states, stored")?.parse().ok());
    let seen: BTreeSet<usize> =
        output.lines().filter_map(|line| line.strip_prefix("seen ")?.parse().ok()).collect();
    assert!(seen.iter().all(|&at| at < events));
    (seen, states.unwrap_or(0))
}

fn command(folder: &Path, program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program).args(arguments).current_dir(folder).output().unwrap_or_else(|error| {
        panic!("`{program}` does not run ({error}): `tests/run` installs what the tests need")
    });
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "`{program}` failed: {text}{}", String::from_utf8_lossy(&output.stderr));
    text
}
