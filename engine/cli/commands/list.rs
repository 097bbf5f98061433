//! `list`: every procedure with its standing, its last walks and what came back from the field.

use crate::approvals::{day, standing};
use crate::arguments::{List, ListForm};
use crate::exit::Exit;
use crate::output;
use anyhow::{Result, bail};
use journal::Journal;
use review::pages::{Listed, library};
use std::collections::BTreeMap;
use std::fmt::Write as _;
use std::path::Path;
use walk::Event;

/// How many walks of each procedure are shown.
const WALKS: usize = 5;

/// What the records say of one procedure.
#[derive(Default)]
struct Field {
    walks: Vec<String>,
    steps: BTreeMap<String, Vec<String>>,
}

pub(crate) fn run(options: &List) -> Result<Exit> {
    let report = super::read_and_check(&options.from)?;
    let on = day(options.on.as_ref())?;
    match (options.due, options.form) {
        (true, form) => return super::due::run(&report.library, &options.journal.journal, &on, form),
        (false, ListForm::Ical) => bail!("only what is due has a place in a calendar: add `--due`"),
        (false, ListForm::Text | ListForm::Html) => {}
    }
    let mut field = recorded(&options.journal.journal)?;
    let mut all = Vec::new();
    for (name, document) in &report.library.procedures {
        let (_, standing) = standing(&report.library, name, &on)?;
        let open = report.findings_of(name);
        let mut from_field = field.remove(&**name).unwrap_or_default();
        from_field.walks.truncate(WALKS);
        let mut steps: Vec<(String, Vec<String>)> = Vec::new();
        for step in review::step_names(&document.model) {
            if let Some(remarks) = from_field.steps.remove(step) {
                steps.push((step.to_owned(), remarks));
            }
        }
        // Steps of performed procedures, and those that are gone since.
        steps.extend(from_field.steps);
        all.push(Listed {
            id: name.to_string(),
            title: document.model.title.clone(),
            revision: document.model.revision,
            word: standing.word(),
            sentence: standing.sentence(),
            good: standing.is_approved(),
            until: standing.approval().map(|approval| approval.until.to_string()),
            findings: match open.is_empty() {
                true => "nothing found".to_owned(),
                false => card::report::summary(&open),
            },
            walks: from_field.walks,
            field: steps,
        });
    }
    let left_out: Vec<String> = report.library.left_out().map(str::to_owned).collect();
    let page = match options.form {
        ListForm::Html => library(&on.to_string(), &all, &left_out)?,
        ListForm::Text | ListForm::Ical => text(&all, &left_out),
    };
    output::say(&page)?;
    Ok(Exit::Clean)
}

fn text(all: &[Listed], left_out: &[String]) -> String {
    let width = all.iter().map(|one| one.id.len()).max().unwrap_or(0);
    let mut text = String::new();
    for one in all {
        let sentence = one.sentence.trim_end_matches('.');
        let _ = writeln!(text, "{:width$}  revision {}  {sentence}  {}", one.id, one.revision, one.findings);
        for (step, remarks) in &one.field {
            for remark in remarks {
                let _ = writeln!(text, "{:width$}    {step}: {remark}", "");
            }
        }
    }
    for name in left_out {
        let _ = writeln!(text, "{name:width$}  cannot be used: its document has errors");
    }
    text
}

/// What the records say, procedure by procedure; nothing where there are none.
fn recorded(path: &Path) -> Result<BTreeMap<String, Field>> {
    let mut field: BTreeMap<String, Field> = BTreeMap::new();
    if !path.exists() {
        return Ok(field);
    }
    let journal = Journal::open_existing(path)?;
    // The latest walk first; within a step remarks stand in the order in which they were made.
    for chain in journal.chains()?.into_iter().rev() {
        let walk = walk::fold(&journal, &chain.id)?;
        let begin = walk.begin();
        let one = field.entry(begin.procedure.clone()).or_default();
        let training = if begin.training { ", training" } else { "" };
        one.walks.push(format!(
            "{}: {}, {}, {}{training}",
            records::time(chain.first_at),
            begin.person,
            begin.serial,
            walk.standing().words()
        ));
        let mut at = String::new();
        for (_, event) in walk::events(&journal, &chain.id)? {
            if let Some((step, remark)) = remark(&event, &at) {
                one.steps.entry(step).or_default().push(remark);
            }
            if let Some(step) = super::record::step_of(&event) {
                step.clone_into(&mut at);
            }
        }
    }
    Ok(field)
}

/// What an event tells the trainer; `at` is the step before it.
fn remark(event: &Event, at: &str) -> Option<(String, String)> {
    match event {
        Event::Noted { step, text } => Some((step.clone(), format!("note: {text}"))),
        Event::Reading { step, reading, attempt, verdict } if verdict != "within" => {
            Some((step.clone(), format!("reading {attempt} was {reading}, {verdict}")))
        }
        Event::LimitReached { step } => Some((step.clone(), "the limit of a wait was reached".to_owned())),
        Event::Looked { step, condition, yes: false, .. } => {
            Some((step.clone(), format!("{condition} was not as asked for")))
        }
        Event::Stopped { reason } => {
            let step = if at.is_empty() { "before step 1" } else { at };
            Some((step.to_owned(), format!("work stopped: {reason}")))
        }
        _ => None,
    }
}
