//! `matrix`: every hazard with the steps that expose to it and the controls found there.

#[cfg(feature = "pdf")]
use crate::arguments::SheetSize;
use crate::arguments::{Matrix, MatrixForm};
use crate::exit::Exit;
use crate::output;
use anyhow::Result;
use card::matrix::{self, Verdict, Verdicts};
use check::Report;
use document::model::Name;
use proof::{Obligation, Proof};

pub(crate) fn run(options: &Matrix) -> Result<Exit> {
    let report = super::read_and_check(&options.from)?;
    let names = super::named(&report, &options.procedures, options.all)?;
    let mut matrices = Vec::new();
    let mut missing = false;
    for name in &names {
        match build(&report, name) {
            Some(matrix) => matrices.push(matrix),
            None => {
                super::tell_errors(&report, name)?;
                output::complain(&format!("`{name}` has errors: it gets no matrix\n"));
                missing = true;
            }
        }
    }
    match options.form {
        MatrixForm::Text => output::say(&matrices.iter().map(matrix::text).collect::<Vec<_>>().join("\n"))?,
        MatrixForm::Html => output::say(&matrix::html(&matrices)?)?,
        MatrixForm::Csv => output::say(&matrix::csv(&matrices))?,
        #[cfg(feature = "pdf")]
        MatrixForm::Pdf => output::give_pdf(&on_paper(&matrices, options)?)?,
    }
    let gaps = matrices.iter().flat_map(|matrix| &matrix.hazards).any(|hazard| hazard.gaps > 0);
    Ok(if missing || gaps { Exit::Findings } else { Exit::Clean })
}

#[cfg(feature = "pdf")]
fn on_paper(matrices: &[matrix::Matrix], options: &Matrix) -> Result<Vec<u8>> {
    let paper = match options.paper {
        SheetSize::A4 => pdf::Paper::A4,
        SheetSize::Letter => pdf::Paper::Letter,
    };
    Ok(pdf::matrix(matrices, &pdf::Options { paper })?)
}

/// The matrix of one procedure; none if its documents cannot be used.
pub(crate) fn build(report: &Report, name: &Name) -> Option<matrix::Matrix> {
    let checked = report.procedures.iter().find(|checked| checked.procedure == *name)?;
    let (machine, proof) = (checked.machine.as_ref()?, checked.proof.as_ref()?);
    matrix::build(&report.library, name, machine, &verdicts(machine, proof))
}

fn verdicts(machine: &machine::Machine, proof: &Proof) -> Verdicts {
    let complete = proof.ended.is_none();
    let holds = if complete { Verdict::Proved } else { Verdict::NotProved };
    let mut verdicts = Verdicts { complete, ..Verdicts::default() };
    verdicts.rules = machine.rules.iter().map(|rule| (rule.name.clone(), holds)).collect();
    for refuted in &proof.refuted {
        match refuted.obligation {
            Obligation::Rule { rule, .. } => {
                verdicts
                    .rules
                    .extend(machine.rules.get(rule).map(|rule| (rule.name.clone(), Verdict::Refuted)));
            }
            Obligation::Need { node, .. } => {
                let node = machine.node(node);
                if node.procedure == machine.procedure {
                    verdicts.unmet.insert(node.pointer.clone());
                }
            }
            Obligation::Unmended(_)
            | Obligation::Unseen(_)
            | Obligation::Promise(_)
            | Obligation::Answered(_)
            | Obligation::Stop(_)
            | Obligation::StopAfter(_)
            | Obligation::Universal
            | Obligation::Resume { .. } => {}
        }
    }
    verdicts
}
