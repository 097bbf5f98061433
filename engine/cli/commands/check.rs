//! `check`: reading, graph and proof.

use crate::arguments::{Check, CheckForm};
use crate::budget::Budget;
use crate::exit::Exit;
use crate::{files, jobs, output};
use anyhow::Result;
use card::report::Replacement;
use check::{Checked, Mend, Mended, Report, Second};
use document::model::Name;
use document::{Diagnostic, Severity};
use serde::Serialize;
use std::time::{Duration, Instant};

pub(crate) fn run(options: &Check) -> Result<Exit> {
    if options.form == CheckForm::Smt2 {
        return super::clauses::run(options);
    }
    let budget = Budget { states: options.states, seconds: options.seconds };
    if options.watch {
        return super::watch::run(&options.paths, &budget);
    }
    let reading = jobs::read(&files::read_all(&options.paths)?);
    let (report, times) =
        if options.certificate.is_some() { budget.whole(reading)? } else { budget.timed(reading)? };
    if let Some(to) = &options.certificate {
        super::certificate::write(&report, to)?;
    }
    let findings = report.findings();
    let mends = if options.mend { mends(&report, &budget) } else { Vec::new() };
    match options.form {
        CheckForm::Text => {
            output::say(&super::verdicts::text(&report, &findings, &times))?;
            tell(&report, &mends)?;
        }
        CheckForm::Json => output::say(&json(&report, &findings, options.mend.then_some(&mends[..]))?)?,
        CheckForm::Sarif => output::say(&sarif(&report, &findings, &mends))?,
        // Nothing is proved for it: see above.
        CheckForm::Smt2 => {}
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

/// What came of looking for the mend of a procedure.
struct Looked<'a> {
    procedure: &'a Name,
    /// The mend, if one was found, with the lines that change; none where the mends before it were enough.
    mend: Option<Option<(Mend, Vec<Replacement>)>>,
}

impl Looked<'_> {
    fn change(&self) -> Option<&(Mend, Vec<Replacement>)> {
        self.mend.as_ref()?.as_ref()
    }
}

/// Looks for the mend of each procedure in which something is wrong: first of those that others perform, so that what is
/// wrong there is mended there.
fn mends<'a>(report: &'a Report, budget: &Budget) -> Vec<Looked<'a>> {
    let mut wrong: Vec<&Name> = report
        .procedures
        .iter()
        .filter(|one| is_to_be_mended(report, one))
        .map(|one| &one.procedure)
        .collect();
    wrong.sort_by_key(|name| report.library.relies_on(name).len());
    let mut made: Vec<Mend> = Vec::new();
    let mut looked = Vec::with_capacity(wrong.len());
    for procedure in wrong {
        let end = Instant::now() + Duration::from_secs(budget.seconds);
        let go_on = || Instant::now() < end;
        let each = ::check::Budget { boxes: budget.states, go_on: &go_on };
        let mend = ::check::mend(&report.library, procedure, &made, &each).map(|mended| match mended {
            Mended::Already => None,
            Mended::With(mend) => {
                let before = &report.library.sources[mend.source.0 as usize].text;
                let replacements = replacements(before, &mend.text);
                made.push(mend.clone());
                Some((mend, replacements))
            }
        });
        looked.push(Looked { procedure, mend });
    }
    looked
}

/// Whether there is something to mend in the procedures: errors of theirs in what was looked at to the end, or looks alone
/// that do not say where to go when they fail.
fn is_to_be_mended(report: &Report, checked: &Checked) -> bool {
    let errors = report.errors_of(&checked.procedure);
    match &checked.proof {
        Some(proof) => {
            let of_equipment = |error: &Diagnostic| {
                report.library.equipment.values().any(|one| one.source == error.place.source)
            };
            proof.ended.is_none() && checked.has_errors() && !errors.iter().all(of_equipment)
        }
        None => !errors.is_empty() && errors.iter().all(|error| error.code == "N11"),
    }
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

fn tell(report: &Report, mends: &[Looked<'_>]) -> Result<()> {
    for Looked { procedure, mend } in mends {
        let Some(mend) = mend else {
            output::say(&format!("\n{procedure}: {}\n", ::check::NO_MEND))?;
            continue;
        };
        let Some((mend, _)) = mend else {
            output::say(&format!("\n{procedure}: {MENDED_BEFORE}\n"))?;
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

/// What is said of a procedure that needs none of its own.
const MENDED_BEFORE: &str = "proved on every path with the mend of what it performs";

fn write(report: &Report, mends: &[Looked<'_>], form: CheckForm) -> Result<()> {
    for (mend, _) in mends.iter().filter_map(Looked::change) {
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

/// The mend of a procedure; no file where none was found, or none is needed once what it performs is mended.
#[derive(Serialize)]
struct JsonMend<'a> {
    procedure: &'a str,
    found: bool,
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
    /// Whether a second program checked what was proved, and agrees.
    second: bool,
    obligations: usize,
    refuted: usize,
    states: usize,
}

fn sarif(report: &Report, findings: &[Diagnostic], mends: &[Looked<'_>]) -> String {
    let texts: Vec<String> = ::check::explanations().iter().map(::check::Explanation::text).collect();
    let rules: Vec<card::report::RuleText<'_>> = ::check::explanations()
        .iter()
        .zip(&texts)
        .map(|(rule, text)| card::report::RuleText { code: rule.code, title: rule.title, text })
        .collect();
    // A mend ends everything that is wrong with its procedure.
    let mended: Vec<_> =
        mends.iter().filter_map(|one| Some((report.errors_of(one.procedure), one.change()?))).collect();
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

fn json(report: &Report, findings: &[Diagnostic], mends: Option<&[Looked<'_>]>) -> Result<String> {
    let left_out = report.library.left_out().map(|procedure| JsonProcedure {
        procedure,
        verdict: "not proved",
        second: false,
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
                second: checked.second == Second::Agrees,
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

fn json_mend<'a>(report: &'a Report, looked: &'a Looked<'_>) -> JsonMend<'a> {
    let (procedure, found) = (looked.procedure, looked.mend.is_some());
    match looked.change() {
        Some((mend, changes)) => {
            let file = &report.library.sources[mend.source.0 as usize].name;
            JsonMend { procedure, found, file: Some(file), changes }
        }
        None => JsonMend { procedure, found, file: None, changes: &[] },
    }
}
