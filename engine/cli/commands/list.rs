//! `list`: every procedure with its standing, its last walks and what came back from the field.

use crate::approvals::{day, status};
use crate::arguments::{List, ListForm, PageForm};
use crate::exit::Exit;
use crate::output;
use anyhow::{Result, bail};
use document::{Day, Zone};
use journal::Journal;
use records::{Damaged, FieldLines};
use review::pages::{Field, Listed, library};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;

pub(crate) fn run(options: &List) -> Result<Exit> {
    let report = super::read_and_check(&options.from)?;
    let on = day(options.on, &report.library)?;
    let form = match (options.due, options.form) {
        (true, form) => return super::due::run(&report.library, &options.journal.journal, on, form),
        (false, ListForm::Ical) => bail!("only what is due has a place in a calendar: add `--due`"),
        (false, ListForm::Text) => PageForm::Text,
        (false, ListForm::Html) => PageForm::Html,
        #[cfg(feature = "pdf")]
        (false, ListForm::Pdf) => PageForm::Pdf,
    };
    let (field, damaged) = recorded(&options.journal.journal)?;
    let all = listed(&report, on, field)?;
    let left_out: Vec<String> = report.library.left_out().map(str::to_owned).collect();
    match form {
        PageForm::Text => output::say(&text(&all, &left_out))?,
        form => super::review::give(&library(&on.to_string(), &all, &left_out), None, form)?,
    }
    Ok(super::record::tell_damaged(&damaged))
}

/// Every procedure as it stands on a day.
pub(crate) fn listed(
    report: &check::Report,
    on: Day,
    mut field: BTreeMap<String, Field>,
) -> Result<Vec<Listed>> {
    let each = report.library.procedures.iter().map(|(name, document)| {
        let (_, status) = status(&report.library, name, on)?;
        let field = field.remove(&**name).unwrap_or_default();
        Ok(Listed::new(&document.model, &status, &report.findings_of(name), field))
    });
    each.collect()
}

fn text(all: &[Listed], left_out: &[String]) -> String {
    let width = all.iter().map(|one| one.id.len()).max().unwrap_or(0);
    let mut text = String::new();
    for one in all {
        let sentence = one.sentence.trim_end_matches('.');
        let _ = writeln!(text, "{:width$}  revision {}  {sentence}  {}", one.id, one.revision, one.findings);
        for (step, remarks) in &one.field {
            for remark in remarks {
                let _ = writeln!(text, "{:width$}    {step}: {}", "", card::clean_line(remark));
            }
        }
    }
    for name in left_out {
        let _ = writeln!(text, "{name:width$}  cannot be used: its document has errors");
    }
    text
}

/// What the records say, procedure by procedure; nothing where there are none.
fn recorded(path: &Path) -> Result<(BTreeMap<String, Field>, Vec<Damaged>)> {
    if !path.exists() {
        return Ok((BTreeMap::new(), Vec::new()));
    }
    let journal = Journal::open_existing(path)?;
    // No day of a walk is told here, so that it does not matter in which zone it would be.
    let (walks, damaged) = records::walked_with_remarks(&journal, Zone::UTC)?;
    // The latest walk first; within a step remarks stand in the order in which they were made.
    let field = records::field(walks.iter().rev().map(|(walk, remarks)| (walk, remarks.clone()))).into_iter();
    let field = field.map(|(name, FieldLines { walks, steps })| (name, Field { walks, steps }));
    Ok((field.collect(), damaged))
}
