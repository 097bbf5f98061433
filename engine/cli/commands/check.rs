//! `check`: reading, graph and proof.

use crate::arguments::{Check, CheckForm};
use crate::budget::Budget;
use crate::exit::Exit;
use crate::{files, jobs, output};
use anyhow::Result;
use check::{Checked, Report};
use document::{Diagnostic, Severity};
use serde::Serialize;
use std::time::{Duration, Instant};

pub(crate) fn run(options: &Check) -> Result<Exit> {
    let budget = Budget { states: options.states, seconds: options.seconds };
    if options.watch {
        return super::watch::run(&options.paths, &budget);
    }
    let reading = jobs::read(&files::read_all(&options.paths)?);
    let (report, times) = budget.timed(reading)?;
    let findings = report.findings();
    match options.form {
        CheckForm::Text => output::say(&super::verdicts::text(&report, &findings, &times))?,
        CheckForm::Json => output::say(&json(&report, &findings)?)?,
        CheckForm::Sarif => output::say(&sarif(&report, &findings))?,
    }
    if options.mend {
        mend(&report, &budget, options.write)?;
    }
    let least = Severity::from(options.least);
    let counts = findings.iter().any(|finding| finding.severity >= least);
    // The program ends here: taking a large library apart piece by piece would only cost time.
    std::mem::forget(report);
    Ok(if counts { Exit::Findings } else { Exit::Clean })
}

/// Tells, and on demand writes, the mend of each refuted procedure.
fn mend(report: &Report, budget: &Budget, write: bool) -> Result<()> {
    let refuted = |checked: &&Checked| {
        let proof = checked.proof.as_ref();
        proof.is_some_and(|proof| proof.ended.is_none() && !proof.refuted.is_empty())
    };
    for checked in report.procedures.iter().filter(refuted) {
        let end = Instant::now() + Duration::from_secs(budget.seconds);
        let go_on = || Instant::now() < end;
        let each = ::check::Budget { boxes: budget.states, go_on: &go_on };
        let Some(mend) = ::check::mend(&report.library, &checked.procedure, &each) else {
            output::say(&format!(
                "\n{}: no insertion of up to two of the equipment's actions for each fault makes it proved\n",
                checked.procedure
            ))?;
            continue;
        };
        let source = &report.library.sources[mend.source.0 as usize];
        let difference = similar::TextDiff::from_lines(source.text.as_str(), mend.text.as_str());
        let unified = difference.unified_diff().header(&source.name, &source.name).to_string();
        output::say(&format!("\n{}: proved on every path with\n{unified}", checked.procedure))?;
        if write {
            files::write(std::path::Path::new(&source.name), mend.text.as_bytes())?;
            output::say(&format!("written to {}\n", source.name))?;
        }
    }
    Ok(())
}

/// The whole report for programs.
#[derive(Serialize)]
struct JsonReport<'a> {
    procedures: Vec<JsonProcedure<'a>>,
    findings: serde_json::Value,
    accepted: Vec<JsonAccepted<'a>>,
}

/// A finding that is not told, because the author accepts it and says why.
#[derive(Serialize)]
struct JsonAccepted<'a> {
    code: &'static str,
    file: &'a str,
    line: usize,
    message: &'a str,
    reason: &'a str,
}

#[derive(Serialize)]
struct JsonProcedure<'a> {
    procedure: &'a str,
    verdict: &'static str,
    obligations: usize,
    refuted: usize,
    states: usize,
}

fn sarif(report: &Report, findings: &[Diagnostic]) -> String {
    let texts: Vec<String> = ::check::explanations().iter().map(::check::Explanation::text).collect();
    let rules: Vec<card::report::RuleText<'_>> = ::check::explanations()
        .iter()
        .zip(&texts)
        .map(|(rule, text)| card::report::RuleText { code: rule.code, title: rule.title, text })
        .collect();
    card::report::sarif(&report.library.sources, findings, &rules, env!("CARGO_PKG_VERSION"))
}

fn json(report: &Report, findings: &[Diagnostic]) -> Result<String> {
    let left_out = report.library.left_out().map(|procedure| JsonProcedure {
        procedure,
        verdict: "not proved",
        obligations: 0,
        refuted: 0,
        states: 0,
    });
    let procedures = report
        .procedures
        .iter()
        .map(|checked| {
            let proof = checked.proof.as_ref();
            JsonProcedure {
                procedure: &checked.procedure,
                verdict: match proof {
                    None => "not proved",
                    Some(proof) if proof.ended.is_some() => "not proved",
                    Some(proof) if !proof.refuted.is_empty() => "refuted",
                    Some(_) if checked.has_errors() => "not proved",
                    Some(_) => "proved",
                },
                obligations: proof.map_or(0, |proof| proof.obligations),
                refuted: proof.map_or(0, |proof| proof.refuted.len()),
                states: proof.map_or(0, |proof| proof.boxes),
            }
        })
        .chain(left_out)
        .collect();
    let findings = serde_json::from_str(&card::report::json(&report.library.sources, findings))?;
    let accepted = report.accepted().into_iter().map(|one| {
        let source = &report.library.sources[one.finding.place.source.0 as usize];
        JsonAccepted {
            code: one.finding.code,
            file: &source.name,
            line: source.position(one.finding.place.span.start).line,
            message: &one.finding.message,
            reason: &one.reason,
        }
    });
    let accepted = accepted.collect();
    Ok(serde_json::to_string_pretty(&JsonReport { procedures, findings, accepted })? + "\n")
}
