//! `record`: reads walks back.

use crate::arguments::{ExportForm, JournalFile, Record, RecordCommand, Verify, Wanted};
use crate::exit::Exit;
use crate::{files, output};
#[cfg(feature = "pdf")]
use anyhow::bail;
use anyhow::{Context, Result};
use card::clean_line;
use document::Zone;
use journal::{Journal, Verification};
use records::exported::Export;
use records::{Damaged, Filter, Walked, time, walked};
use std::fmt::Write as _;
use walk::Outline;

pub(crate) fn run(options: &Record) -> Result<Exit> {
    let journal = open(&options.journal)?;
    match &options.command {
        RecordCommand::List(wanted) => list(&journal, wanted),
        RecordCommand::Show { walk } => show(&journal, walk),
        RecordCommand::Verify(options) => verify(&journal, options),
        RecordCommand::Export { walk, wanted, form } => export(&journal, walk.as_deref(), wanted, *form),
    }
}

fn open(file: &JournalFile) -> Result<Journal> {
    let path = file.journal.display();
    Journal::open_existing(&file.journal).with_context(|| format!("the records in `{path}` cannot be read"))
}

/// The walks that are wanted, in the order in which they were begun.
fn wanted(journal: &Journal, wanted: &Wanted) -> Result<(Vec<Walked>, Vec<Damaged>)> {
    let filter = Filter {
        serial: wanted.serial.clone(),
        procedure: wanted.procedure.clone(),
        revision: wanted.revision.clone(),
        person: wanted.person.clone(),
        standing: wanted.state.clone(),
        from: wanted.since,
        to: wanted.until,
    };
    // Which zone it is matters only where a day is asked for.
    let zone = if wanted.since.or(wanted.until).is_some() { zone_of(wanted)? } else { Zone::UTC };
    let (mut walks, damaged) = walked(journal, zone)?;
    walks.retain(|walk| filter.fits(walk));
    Ok((walks, damaged))
}

/// Names the walks that are damaged; whoever asked for all of them must not take the others for all there are.
pub(super) fn tell_damaged(damaged: &[Damaged]) -> Exit {
    for one in damaged {
        let Damaged { walk, why, machine: _ } = one;
        output::complain(&format!("the walk {walk} is damaged and left out: {why}; {}\n", one.doubt()));
    }
    if damaged.is_empty() { Exit::Clean } else { Exit::Findings }
}

/// The zone of the site.
fn zone_of(wanted: &Wanted) -> Result<Zone> {
    let documents = files::stamps(&wanted.from);
    crate::register::zone_or_utc(documents.keys().filter_map(|path| path.to_str()))
}

fn list(journal: &Journal, which: &Wanted) -> Result<Exit> {
    let mut text = String::new();
    let (walks, damaged) = wanted(journal, which)?;
    for walk in &walks {
        let reason =
            walk.stopped.as_ref().map(|reason| format!(" ({})", clean_line(reason))).unwrap_or_default();
        let _ = writeln!(
            text,
            "{}  {}  {}{reason}  {} revision {}  serial {}  {}{}",
            walk.id,
            time(walk.first_ms),
            walk.standing,
            walk.procedure,
            walk.revision,
            walk.serial,
            walk.people.join(", "),
            match (walk.training, walk.rehearsal) {
                (_, true) => "  rehearsal, training only",
                (true, false) => "  training only",
                (false, false) => "",
            }
        );
    }
    if text.is_empty() && damaged.is_empty() {
        text.push_str(if journal.head()?.len == 0 { "no walk is recorded\n" } else { "no walk fits\n" });
    }
    output::say(&text)?;
    Ok(tell_damaged(&damaged))
}

/// The standing, with the reason of a stop.
fn standing(outline: &Outline) -> String {
    let words = outline.status.words();
    outline.stopped.as_ref().map_or_else(|| words.to_owned(), |reason| format!("{words} ({reason})"))
}

fn show(journal: &Journal, id: &str) -> Result<Exit> {
    let (outline, events, verification) = walk::as_it_stands(journal, id)?;
    let begin = &outline.begin;
    let mut text = String::new();
    let _ = writeln!(text, "walk        {id}");
    let _ = writeln!(text, "procedure   {} revision {}", begin.procedure, begin.revision);
    let _ = writeln!(text, "content     {}", begin.content);
    // Of format 1 no walk carried any.
    if !begin.is_earlier() {
        let _ = writeln!(text, "certificate {}", begin.certificate.as_deref().unwrap_or("none"));
    }
    let _ = writeln!(text, "equipment   {} serial {}", begin.equipment, begin.serial);
    let _ = writeln!(text, "begun by    {}", begin.person);
    let _ = writeln!(text, "standing    {}", standing(&outline));
    if let Some(mark) = super::screen::mark(begin) {
        let _ = writeln!(text, "            {mark}");
    }
    text.push('\n');
    for (seq, ((at_ms, _), words)) in events.iter().zip(walk::words(&events)).enumerate() {
        let _ = writeln!(text, "{seq:4}  {}  {}", time(*at_ms), clean_line(&words));
    }
    output::say(&text)?;
    match verification {
        Verification::Intact { .. } => Ok(Exit::Clean),
        Verification::Broken(fault) => {
            output::complain(&format!("the walk {id} is damaged: {fault}\n"));
            Ok(Exit::Findings)
        }
    }
}

fn verify(journal: &Journal, options: &Verify) -> Result<Exit> {
    // What comes on record meanwhile is not told as verified.
    let head = journal.head()?;
    if let Some(fault) = records::not_intact(journal)? {
        output::say(&format!("not intact: {fault}\n"))?;
        return Ok(Exit::Findings);
    }
    let records = card::count(usize::try_from(head.len)?, "record");
    output::say(&format!("intact: {records}, each hash as computed\nhead {} {}\n", head.len, head.hash))?;
    super::head::run(journal, &head, options)
}

fn export(journal: &Journal, walk: Option<&str>, which: &Wanted, form: ExportForm) -> Result<Exit> {
    let (ids, damaged) = match walk {
        Some(walk) => (vec![walk.to_owned()], Vec::new()),
        None => {
            let (walks, damaged) = wanted(journal, which)?;
            (walks.into_iter().map(|walk| walk.id).collect::<Vec<_>>(), damaged)
        }
    };
    let export = |ids: Vec<String>, damaged| match walk {
        Some(walk) => Ok(Export::of(journal, walk)?),
        None => Ok::<_, anyhow::Error>(Export::of_all(journal, ids, damaged)?),
    };
    match form {
        ExportForm::Text => {
            let mut exit = tell_damaged(&damaged);
            for id in &ids {
                match show(journal, id) {
                    Ok(Exit::Clean) => {}
                    Ok(_) => exit = Exit::Findings,
                    // One that cannot be read takes no other away.
                    Err(error) if walk.is_none() && error.is::<walk::Error>() => {
                        output::complain(&format!("the walk {id} is damaged and left out: {error}\n"));
                        exit = Exit::Findings;
                    }
                    Err(error) => return Err(error),
                }
            }
            Ok(exit)
        }
        ExportForm::Csv => {
            let export = export(ids, damaged)?;
            output::write(|to| export.csv(journal, to))?;
            Ok(tell_damaged(export.damaged()))
        }
        ExportForm::Json => {
            let export = export(ids, damaged)?;
            output::write(|to| export.json(journal, to))?;
            Ok(tell_damaged(export.damaged()))
        }
        #[cfg(feature = "pdf")]
        ExportForm::Pdf => {
            let Some(id) = walk else { bail!("a PDF holds one record: name the walk") };
            output::give_pdf(&crate::review_pages::on_paper(records::printed::sheet(
                journal,
                id,
                zone_of(which)?,
            )?)?)?;
            Ok(Exit::Clean)
        }
    }
}
