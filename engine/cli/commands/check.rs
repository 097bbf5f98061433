//! `check`: reading, graph and proof.

use crate::arguments::{Check, CheckForm};
use crate::budget::Budget;
use crate::exit::Exit;
use crate::{files, jobs, output};
use anyhow::Result;
use card::report::Replacement;
use check::{Checked, Mend, Report};
use document::model::Name;
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
    let mends = if options.mend { mends(&report, &budget) } else { Vec::new() };
    match options.form {
        CheckForm::Text => {
            output::say(&super::verdicts::text(&report, &findings, &times))?;
            tell(&report, &mends)?;
        }
        CheckForm::Json => output::say(&json(&report, &findings, options.mend.then_some(&mends[..]))?)?,
        CheckForm::Sarif => output::say(&sarif(&report, &findings, &mends))?,
    }
    if options.write {
        write(&report, &mends, options.form)?;
    }
    let least = Severity::from(options.least);
    let counts = findings.iter().any(|finding| finding.severity >= least);
    // The program ends here: taking a large library apart piece by piece would only cost time.
    std::mem::forget(report);
    Ok(if counts { Exit::Findings } else { Exit::Clean })
}

/// The mend of a refuted procedure, if one was found.
struct Mended<'a> {
    procedure: &'a Name,
    mend: Option<(Mend, Vec<Replacement>)>,
}

/// Looks for the mend of each refuted procedure.
fn mends<'a>(report: &'a Report, budget: &Budget) -> Vec<Mended<'a>> {
    let refuted = |checked: &&Checked| {
        let proof = checked.proof.as_ref();
        proof.is_some_and(|proof| proof.ended.is_none() && !proof.refuted.is_empty())
    };
    let mend = |checked: &'a Checked| {
        let end = Instant::now() + Duration::from_secs(budget.seconds);
        let go_on = || Instant::now() < end;
        let each = ::check::Budget { boxes: budget.states, go_on: &go_on };
        let mend = ::check::mend(&report.library, &checked.procedure, &each);
        let mend = mend.map(|mend| {
            let before = &report.library.sources[mend.source.0 as usize].text;
            let replacements = replacements(before, &mend.text);
            (mend, replacements)
        });
        Mended { procedure: &checked.procedure, mend }
    };
    report.procedures.iter().filter(refuted).map(mend).collect()
}

/// The lines by which two texts differ.
fn replacements(before: &str, after: &str) -> Vec<Replacement> {
    let difference = similar::TextDiff::from_lines(before, after);
    let new: Vec<&str> = after.split_inclusive('\n').collect();
    let changed = difference.ops().iter().filter(|op| op.tag() != similar::DiffTag::Equal);
    let replacement = |op: &similar::DiffOp| Replacement {
        line: op.old_range().start + 1,
        lines: op.old_range().len(),
        text: new[op.new_range()].concat(),
    };
    changed.map(replacement).collect()
}

fn tell(report: &Report, mends: &[Mended<'_>]) -> Result<()> {
    for Mended { procedure, mend } in mends {
        let Some((mend, _)) = mend else {
            output::say(&format!("\n{procedure}: {}\n", ::check::NO_MEND))?;
            continue;
        };
        let source = &report.library.sources[mend.source.0 as usize];
        let difference = similar::TextDiff::from_lines(source.text.as_str(), mend.text.as_str());
        let unified = difference.unified_diff().header(&source.name, &source.name).to_string();
        output::say(&format!("\n{procedure}: {MENDED}\n{unified}"))?;
    }
    Ok(())
}

/// What is said of a mend.
const MENDED: &str = "proved on every path with";

fn write(report: &Report, mends: &[Mended<'_>], form: CheckForm) -> Result<()> {
    for (mend, _) in mends.iter().filter_map(|mended| mended.mend.as_ref()) {
        let name = &report.library.sources[mend.source.0 as usize].name;
        files::write(std::path::Path::new(name), mend.text.as_bytes())?;
        if form == CheckForm::Text {
            output::say(&format!("written to {name}\n"))?;
        }
    }
    Ok(())
}

/// The whole report for programs.
#[derive(Serialize)]
struct JsonReport<'a> {
    /// What is assumed of what is called proved or refuted.
    assumed: &'static str,
    procedures: Vec<JsonProcedure<'a>>,
    findings: serde_json::Value,
    accepted: Vec<JsonAccepted<'a>>,
    /// The mends, where they were asked for.
    #[serde(skip_serializing_if = "Option::is_none")]
    mends: Option<Vec<JsonMend<'a>>>,
}

/// The mend of a procedure; no file where none was found.
#[derive(Serialize)]
struct JsonMend<'a> {
    procedure: &'a str,
    file: Option<&'a str>,
    changes: &'a [Replacement],
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

fn sarif(report: &Report, findings: &[Diagnostic], mends: &[Mended<'_>]) -> String {
    let texts: Vec<String> = ::check::explanations().iter().map(::check::Explanation::text).collect();
    let rules: Vec<card::report::RuleText<'_>> = ::check::explanations()
        .iter()
        .zip(&texts)
        .map(|(rule, text)| card::report::RuleText { code: rule.code, title: rule.title, text })
        .collect();
    // A mend ends everything that is wrong with its procedure.
    let mended: Vec<_> =
        mends.iter().filter_map(|one| Some((report.errors_of(one.procedure), one.mend.as_ref()?))).collect();
    let fixes = |finding: &Diagnostic| {
        let is_it = |one: &Diagnostic| {
            one.code == finding.code && (one.place == finding.place || finding.also.contains(&one.place))
        };
        let of = mended.iter().filter(|(errors, _)| errors.iter().any(is_it));
        let fix = of.map(|(_, (mend, replacements))| card::report::Fix {
            description: MENDED,
            file: &report.library.sources[mend.source.0 as usize].name,
            replacements,
        });
        fix.collect()
    };
    let log = card::report::Log {
        rules: &rules,
        version: env!("CARGO_PKG_VERSION"),
        assumed: ::check::ASSUMED,
        fixes: &fixes,
    };
    card::report::sarif(&report.library.sources, findings, &log)
}

fn json(report: &Report, findings: &[Diagnostic], mends: Option<&[Mended<'_>]>) -> Result<String> {
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
    let mends = mends.map(|mends| mends.iter().map(|one| json_mend(report, one)).collect());
    let whole = JsonReport { assumed: ::check::ASSUMED, procedures, findings, accepted, mends };
    Ok(serde_json::to_string_pretty(&whole)? + "\n")
}

fn json_mend<'a>(report: &'a Report, mended: &'a Mended<'_>) -> JsonMend<'a> {
    let procedure = mended.procedure;
    match &mended.mend {
        Some((mend, changes)) => {
            let file = &report.library.sources[mend.source.0 as usize].name;
            JsonMend { procedure, file: Some(file), changes }
        }
        None => JsonMend { procedure, file: None, changes: &[] },
    }
}
