//! One fault at a time in each bundled procedure: every one is found where it is, with a run that ends in it, and the
//! untouched procedures have no finding.

mod lists;
mod mended;

use crate::{demo, edit};
use check::{Budget, Checked, check_one};
use document::{Diagnostic, Library, Severity};

/// One small slip of a trainer.
enum Slip {
    /// The step is left out.
    Without(&'static str),
    /// The first and the second step change places.
    Swapped(&'static str, &'static str),
    /// In the step one thing is written otherwise.
    Written(&'static str, &'static str, &'static str),
}

/// Where the fault is told.
enum At {
    /// Inside that step.
    Step(&'static str),
    /// At that condition of the procedure's `leaves`.
    Leaves(&'static str),
}

struct Fault {
    slip: Slip,
    code: &'static str,
    at: At,
}

fn fault(slip: Slip, code: &'static str, at: At) -> Fault {
    Fault { slip, code, at }
}

impl Slip {
    fn made_in(&self, text: &str) -> String {
        match self {
            Self::Without(step) => edit::without(text, step),
            Self::Swapped(first, second) => edit::swapped(text, first, second),
            Self::Written(step, from, to) => edit::rewritten(text, step, from, to),
        }
    }

    fn words(&self) -> String {
        match self {
            Self::Without(step) => format!("without `{step}`"),
            Self::Swapped(first, second) => format!("`{second}` before `{first}`"),
            Self::Written(step, from, to) => format!("`{step}`: `{from}` is `{to}`"),
        }
    }
}

impl At {
    fn words(&self) -> String {
        match self {
            Self::Step(step) => format!("step `{step}`"),
            Self::Leaves(condition) => format!("`leaves` of `{condition}`"),
        }
    }

    fn is_of(&self, finding: &Diagnostic, library: &Library, procedure: &str, text: &str) -> bool {
        let document = &library.procedures[procedure];
        if finding.place.source != document.source {
            return false;
        }
        match self {
            Self::Step(step) => {
                let source = &library.sources[document.source.0 as usize];
                let line = source.position(finding.place.span.start).line;
                edit::block(text, step).contains(&(line - 1))
            }
            Self::Leaves(condition) => finding.place == document.key_place(&format!("/leaves/{condition}")),
        }
    }
}

fn checked(procedure: &str, text: &str) -> (Library, Vec<Diagnostic>, Checked) {
    let reading = demo::reading(procedure, text);
    let budget = Budget { boxes: 100_000, go_on: &|| true };
    let checked =
        check_one(&reading.library, &reading.findings, &procedure.into(), &budget).expect("no fault of ours");
    (reading.library, reading.findings, checked)
}

/// Makes each slip in turn, and prints what was found.
#[expect(clippy::print_stdout, reason = "the table of faults is shown with the test's output")]
fn all_found(procedure: &str, faults: &[Fault]) {
    let original = demo::text(procedure);
    let (_, read, untouched) = checked(procedure, &original);
    let told: Vec<_> = read.iter().chain(&untouched.findings).map(|finding| &finding.message).collect();
    assert!(told.is_empty() && untouched.proof.is_some(), "`{procedure}` untouched: {told:?}");
    assert!(faults.len() >= 6, "{} faults", faults.len());
    for Fault { slip, code, at } in faults {
        let text = slip.made_in(&original);
        assert_ne!(text, original, "{}", slip.words());
        let (library, read, checked) = checked(procedure, &text);
        let errors: Vec<_> = read.iter().filter(|finding| finding.severity == Severity::Error).collect();
        assert!(errors.is_empty(), "{}: {errors:?}", slip.words());
        let found = checked
            .findings
            .iter()
            .find(|finding| finding.code == *code && at.is_of(finding, &library, procedure, &text));
        let told = || {
            checked
                .findings
                .iter()
                .map(|finding| {
                    let source = &library.sources[finding.place.source.0 as usize];
                    let line = source.position(finding.place.span.start).line;
                    let run = finding.trace.join("\n    ");
                    format!("\n  {} {}:{line} {}\n    {run}", finding.code, source.name, finding.message)
                })
                .collect::<String>()
        };
        let Some(found) = found else {
            panic!("{procedure}, {}: no {code} at {}{}", slip.words(), at.words(), told())
        };
        assert_eq!(found.severity, Severity::Error, "{}", slip.words());
        assert!(found.trace.len() >= 2, "{}: no run is told", slip.words());
        let (machine, proof) = (checked.machine.expect("a machine"), checked.proof.expect("a proof"));
        let traces = proof.refuted.iter().filter_map(|refuted| refuted.trace.as_ref());
        let replayed = traces.map(|trace| machine.replay(trace).expect("the run can be acted out")).count();
        assert!(replayed > 0, "{}: nothing was replayed", slip.words());
        println!("{procedure:20} {:58} {code} at {}", slip.words(), at.words());
    }
    println!("{procedure}: {} faults found, 0 false alarms", faults.len());
}

#[test]
fn there_are_more_than_thirty_faults() {
    let counts = lists::ALL.map(|(_, faults)| faults().len());
    assert_eq!(lists::ALL.map(|(name, _)| name), demo::PROCEDURES);
    assert!(counts.iter().sum::<usize>() >= 70 && counts.iter().all(|&count| count >= 6), "{counts:?}");
}

macro_rules! procedures {
    ($($test:ident $at:literal)*) => { $(
        #[test]
        fn $test() {
            let (procedure, faults) = lists::ALL[$at];
            all_found(procedure, &faults());
        }
    )* };
}

procedures! {
    battery_replacement 0
    first_flush 1
    pump_head 2
    strainer_clean 3
    tip_swap 4
    unboxing 5
    wand_reassembly 6
}
