//! `resume`: goes on with a walk where its records end.

use super::interview::{Interview, Lines};
use super::screen;
use super::walk::{may_not_walk, named, open, tell_machine};
use crate::arguments::Resume;
use crate::budget::Budget;
use crate::clock::Clock;
use crate::exit::Exit;
use crate::{approvals, files, output};
use anyhow::{Context as _, Result, bail};
use document::{InputFile, Library};
use journal::{ChainSummary, Journal};
use records::leaving::{Next, next};
use records::{Basis, Judged};
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};
use walk::{Begin, DocumentText, Input, Status, Walk};

pub(crate) fn run(options: &Resume) -> Result<Exit> {
    if !options.journal.journal.exists() {
        bail!("no walk is recorded in `{}`", options.journal.journal.display());
    }
    let mut journal = open(&options.journal.journal)?;
    let id = match &options.walk {
        Some(walk) => walk.clone(),
        None => last_open(&journal)?,
    };
    let mut live = walk::resume(&mut journal, &id)?;
    let status = live.walk().status();
    let mut lines = Lines::new();
    if status == Status::Stopped && !live.walk().is_returned() {
        // Nothing more is walked; how the machine is left, and its release, are still to be said.
        let clock = Clock::after(live.walk());
        let ground = match in_force(live.walk().begin())? {
            Some(in_force) => judged(live.walk(), &in_force).ground,
            None => None,
        };
        if matches!(next(live.walk(), ground.as_ref()), Next::Act { .. } | Next::Look { .. }) {
            output::say("Nobody was at the machine meanwhile: the way to leave it begins anew\n")?;
            let person = named(options.person.as_ref(), "Your name: ", &mut lines)?;
            live.answer(&Input::Resume { person }, clock.millis())?;
        }
        return Interview::new(live, clock, lines).left_by(ground).run();
    }
    if status.is_ended() {
        bail!("the walk {id} is {}: nothing is left to do in it", status.words());
    }
    if live.walk().begin().is_earlier() {
        // It can only be left.
        output::say(&format!("{}\n", screen::EARLIER))?;
        let clock = Clock::after(live.walk());
        return Interview::new(live, clock, lines).run();
    }
    let person = named(options.person.as_ref(), "Your name: ", &mut lines)?;
    let begin = live.walk().begin();
    let Some(in_force) = in_force(begin)? else {
        bail!(
            "none of the documents of this walk stands where it stood, so that neither the people of the site nor \
             what is in force can be found: go on from the folder in which the walk began"
        );
    };
    if !begin.training
        && let Some(why) = may_not_walk(live.walk().library(), &begin.procedure, &person)?
    {
        output::complain(&format!("{why}. Somebody who has the role goes on with the walk\n"));
        return Ok(Exit::Findings);
    }
    tell_changed(&in_force, begin)?;
    let on = approvals::day(None, &in_force)?;
    tell_machine(&in_force, &options.journal.journal, begin, on)?;
    let clock = Clock::after(live.walk());
    let Judged { unproved, ground } = judged(live.walk(), &in_force);
    if let Some(unproved) = unproved {
        output::say(&screen::unproved(&unproved))?;
        let Some(reason) = stop_reason(&mut lines)? else { return Ok(Exit::Findings) };
        live.answer(&Input::StopAway { reason, person }, clock.millis())?;
        return Interview::new(live, clock, lines).left_by(ground).run();
    }
    output::say(&format!("The walk {id} goes on where its records end\n"))?;
    live.answer(&Input::Resume { person }, clock.millis())?;
    Interview::new(live, clock, lines).run()
}

/// What the documents in force say of what a walk goes by.
fn judged(walk: &Walk, in_force: &Library) -> Judged {
    let Budget { states, seconds } = super::budget();
    let end = Instant::now() + Duration::from_secs(seconds);
    let go_on = || Instant::now() < end;
    records::judged(walk, in_force, &::check::Budget { boxes: states, go_on: &go_on })
}

/// Why work is stopped, of somebody who can do nothing else; none at the end of the input.
fn stop_reason(lines: &mut Lines) -> Result<Option<String>> {
    loop {
        output::say("(stop REASON) > ")?;
        let Some(line) = lines.next() else { return Ok(None) };
        match line.trim().strip_prefix("stop ") {
            Some(reason) if !reason.trim().is_empty() => return Ok(Some(reason.trim().to_owned())),
            Some(_) | None => output::say("  Say `stop REASON`.\n")?,
        }
    }
}

/// The documents as they stand now, from the folders of those the walk began with; a rehearsal or training walk goes by its
/// own where these are gone, and nothing else does.
fn in_force(begin: &Begin) -> Result<Option<Library>> {
    let folder = |text: &DocumentText| match Path::new(&text.name).parent() {
        Some(folder) if folder != Path::new("") => folder.to_owned(),
        Some(_) | None => PathBuf::from("."),
    };
    let folders: BTreeSet<PathBuf> = begin.documents.iter().map(folder).collect();
    if !begin.documents.iter().any(|document| Path::new(&document.name).is_file()) {
        let files = begin.documents.iter().map(|DocumentText { name, text }| InputFile {
            name: name.clone(),
            bytes: text.clone().into_bytes(),
        });
        return Ok(begin.training.then(|| crate::jobs::read(&files.collect::<Vec<_>>()).library));
    }
    let folders: Vec<PathBuf> = folders.into_iter().filter(|folder| folder.is_dir()).collect();
    Ok(Some(crate::jobs::read(&files::read_all(&folders)?).library))
}

/// Says so where the procedure is not any more what the walk goes by, or is not approved any more.
fn tell_changed(library: &Library, begin: &Begin) -> Result<()> {
    let basis = Basis::new(begin);
    let unapproved = || -> Result<Option<String>> {
        let on = approvals::day(None, library)?;
        let (_, status) = approvals::status(library, &basis.procedure, on)?;
        Ok((!status.is_approved()).then(|| status.sentence()))
    };
    let content = library.content_hash(&basis.procedure);
    let change = records::change(&basis, library, content.as_deref(), unapproved)?;
    change.map_or(Ok(()), |change| output::say(&format!("CHANGED: {change}\n")))
}

fn last_open(journal: &Journal) -> Result<String> {
    let chains = journal.chains()?;
    let is_open = |chain: &ChainSummary| Ok(!walk::verified(journal, &chain.id)?.0.status.is_ended());
    let open = |chain| is_open(chain).map(|open| open.then(|| chain.id.clone()));
    let (open, damaged) = records::readable(journal, chains.iter().rev(), open)?;
    super::record::tell_damaged(&damaged);
    open.into_iter().flatten().next().context("every recorded walk that can be read has ended")
}
