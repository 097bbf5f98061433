//! The same model through SPIN: translated, compiled with tcc or gcc and run.

use super::rows::{time, timed};
use std::path::Path;
use std::process::Command;
use std::time::Duration;

/// Times of the three programs of one run.
pub(crate) struct Spin {
    pub(crate) translate: Duration,
    pub(crate) compile: Duration,
    pub(crate) search: Duration,
    pub(crate) states: String,
}

impl Spin {
    pub(crate) fn whole(&self) -> Duration {
        self.translate + self.compile + self.search
    }
}

/// A cell of a table: how long it took, and over how many states.
pub(crate) fn cell(spin: Option<&Spin>) -> String {
    spin.map_or("–".to_owned(), |spin| {
        format!("{} ({} states, pan {})", time(spin.whole()), spin.states, time(spin.search))
    })
}

/// Runs SPIN over a model, compiled by tcc; `None` if SPIN is not installed.
pub(crate) fn spin(model: &str) -> Option<Spin> {
    compiled_by("tcc", model)
}

/// The same with gcc, which does not optimise: on these models it takes longer to than it gains.
pub(crate) fn with_gcc(model: &str) -> Option<Spin> {
    compiled_by("gcc", model)
}

/// Partial-order reduction is on.
fn compiled_by(compiler: &str, model: &str) -> Option<Spin> {
    Command::new("spin").arg("-V").output().ok()?;
    let folder = tempfile::tempdir().expect("a folder");
    std::fs::write(folder.path().join("model.pml"), model).expect("written");
    let run = |program: &str, arguments: &[&str]| timed(|| command(folder.path(), program, arguments));
    let (translate, _) = run("spin", &["-a", "model.pml"]);
    let (compile, _) = run(compiler, &["-w", "-DSAFETY", "-DVECTORSZ=4096", "-o", "pan", "pan.c"]);
    let (search, output) = run(folder.path().join("pan").to_str().expect("a path"), &["-n", "-w16"]);
    assert!(output.contains("errors: 0") && !output.contains("too small"), "{output}");
    let states = output.lines().find_map(|line| line.trim().strip_suffix(" states, stored"));
    Some(Spin { translate, compile, search, states: states.unwrap_or("?").to_owned() })
}

fn command(folder: &Path, program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program).args(arguments).current_dir(folder).output();
    let output = output.unwrap_or_else(|error| panic!("`{program}` does not run: {error}"));
    let text = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{text}{}", String::from_utf8_lossy(&output.stderr));
    text
}
