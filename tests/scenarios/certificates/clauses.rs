//! z3, a general-purpose solver, about the compiled form as constrained Horn clauses (SMT-LIB 2.6; z3 4.8.12, Debian): needs, rules and
//! promises of the bundled procedures and of random ones. `FROM` and `SEEDS` say which.

use super::{budget, number};
use crate::support::demo::{PROCEDURES, reading, text};
use document::Library;
use proof::Obligation;
use std::process::Command;

/// Without slicing: in 4.8.12 it answers `unsat` to clauses (rule `r1` of seed 1783) to which it says `sat` without it, and without
/// eager inlining, and in which a person finds no way to `false`.
const OPTIONS: [&str; 2] = ["-T:20", "fp.xform.slice=false"];

/// What z3 says of a procedure: that it is proved, or not, or nothing.
fn asked(clauses: &str) -> Option<bool> {
    let folder = tempfile::tempdir().expect("a folder");
    let file = folder.path().join("clauses.smt2");
    std::fs::write(&file, clauses).expect("written");
    let output = Command::new("z3").args(OPTIONS).arg(&file).output().expect("z3 (Debian package `z3`)");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(!said.contains("(error"), "{said}");
    let mut answers = said.lines().peekable();
    assert!(answers.peek().is_some(), "z3 says nothing");
    if said.lines().any(|line| line == "unsat") {
        return Some(false);
    }
    answers.all(|line| line == "sat").then_some(true)
}

/// The same by the proof; nothing where it does not end.
fn proved(library: &Library, procedure: &str) -> Option<(bool, String)> {
    let machine = machine::compile(library, &procedure.into()).ok()?;
    let proof = proof::prove(&machine, &budget()).expect("every counterexample replays");
    let is_asked = |of: &Obligation| match of {
        Obligation::Need { .. }
        | Obligation::Rule { .. }
        | Obligation::Unmended(_)
        | Obligation::Unseen(_)
        | Obligation::Promise(_) => true,
        Obligation::Answered(_)
        | Obligation::Stop(_)
        | Obligation::StopAfter(_)
        | Obligation::Universal
        | Obligation::Resume { .. } => false,
    };
    let holds = !proof.refuted.iter().any(|refuted| is_asked(&refuted.obligation));
    proof.ended.is_none().then(|| (holds, horn::smt2(&machine.form())))
}

#[test]
fn an_outside_solver_proves_the_bundled_procedures() {
    for procedure in PROCEDURES {
        let library = reading(procedure, &text(procedure)).library;
        let (holds, clauses) = proved(&library, procedure).expect("a verdict");
        assert!(holds);
        assert_eq!(asked(&clauses), Some(true), "{procedure}");
    }
}

#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn an_outside_solver_agrees_on_random_procedures() {
    let (from, seeds) = (number("FROM", 0), number("SEEDS", 250));
    let (mut cases, mut refuted, mut unknown) = (0, 0, 0);
    for seed in from..from + seeds {
        let documents = oracle::varied_documents(seed);
        let all: Vec<_> = documents.iter().collect();
        let library = oracle::library(&all).expect("documents that the reader takes");
        let Some((holds, clauses)) = proved(&library, "main") else { continue };
        cases += 1;
        refuted += u64::from(!holds);
        match asked(&clauses) {
            Some(theirs) => assert_eq!(theirs, holds, "seed {seed}"),
            None => unknown += 1,
        }
    }
    println!("{cases} procedures, {refuted} refuted, {unknown} unknown, 0 disagreements");
    assert!(cases * 10 > seeds * 9 && refuted * 5 > cases && refuted * 5 < cases * 4, "{cases} {refuted}");
    assert!(unknown * 20 < cases, "{unknown} of {cases} are unknown");
}
