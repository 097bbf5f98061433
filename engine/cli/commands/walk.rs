//! `walk`: begins a walk and goes through it.

use super::interview::{Clock, Interview, Lines};
use crate::arguments::Walk;
use crate::exit::Exit;
use crate::output;
use anyhow::{Context, Result, bail};
use chrono::DateTime;
use document::model::Name;
use journal::Journal;
use std::path::Path;
use walk::{Begin, DocumentText, FORMAT};

pub(crate) fn run(options: &Walk) -> Result<Exit> {
    let report = super::read_and_check(&options.from)?;
    let document = super::find(&report.library, &options.procedure)?;
    if !report.is_sound(&options.procedure) {
        super::tell_errors(&report, &options.procedure)?;
        output::complain(&format!("`{}` has errors: it cannot be walked\n", options.procedure));
        return Ok(Exit::Findings);
    }
    let on = crate::approvals::day(None)?;
    let (content, standing) = crate::approvals::standing(&report.library, &options.procedure, &on)?;
    let training = options.training || options.rehearsal;
    if !training && !standing.is_approved() {
        output::complain(&format!(
            "{} It can be walked for training: add `--training`\n",
            standing.sentence()
        ));
        return Ok(Exit::Findings);
    }
    let mut lines = Lines::new();
    let person = named(options.person.as_ref(), "Your name: ", &mut lines)?;
    let serial = named(options.serial.as_ref(), "Serial number of the machine: ", &mut lines)?;
    let clock = Clock::now(options.rehearsal);
    let documents = report
        .library
        .relies_on(&options.procedure)
        .into_iter()
        .filter_map(|id| report.library.sources.get(id.0 as usize))
        .map(|source| DocumentText { name: source.name.clone(), text: source.text.clone() })
        .collect();
    let begin = Begin {
        format: FORMAT,
        procedure: options.procedure.clone(),
        revision: document.model.revision,
        content,
        equipment: document.model.equipment.to_string(),
        serial,
        person,
        training,
        rehearsal: options.rehearsal,
        documents,
    };
    let mut journal = open(&options.journal.journal)?;
    let id = match &options.name {
        Some(name) => name.clone(),
        None => free_name(&journal, &document.model.procedure, clock.millis())?,
    };
    let live = walk::begin(&mut journal, &id, begin, clock.millis())?;
    output::say(&format!("The walk is recorded as {id}\n"))?;
    Interview::new(live, clock, lines).run()
}

pub(super) fn open(path: &Path) -> Result<Journal> {
    if let Some(folder) = path.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        std::fs::create_dir_all(folder).with_context(|| format!("`{}` cannot be made", folder.display()))?;
    }
    Journal::open(path).with_context(|| format!("the records in `{}` cannot be opened", path.display()))
}

/// What was given, or what a person says when asked.
pub(super) fn named(given: Option<&String>, question: &str, lines: &mut Lines) -> Result<String> {
    if let Some(given) = given {
        return Ok(given.trim().to_owned())
            .and_then(|given| if given.is_empty() { bail!("a name may not be empty") } else { Ok(given) });
    }
    loop {
        output::say(question)?;
        match lines.next() {
            None => bail!("nobody is named"),
            Some(line) if line.trim().is_empty() => {}
            Some(line) => return Ok(line.trim().to_owned()),
        }
    }
}

/// The procedure and the day, with the first number that is free.
fn free_name(journal: &Journal, procedure: &Name, now_ms: i64) -> Result<String> {
    let day = DateTime::from_timestamp_millis(now_ms)
        .map_or_else(String::new, |now| now.format("%Y-%m-%d").to_string());
    let taken: Vec<String> = journal.chains()?.into_iter().map(|chain| chain.id).collect();
    let names = (1..).map(|number: u64| format!("{procedure}-{day}-{number}"));
    names.into_iter().find(|name| !taken.contains(name)).context("no name is free")
}
