//! `resume`: goes on with a walk where its records end.

use super::in_force::{in_force, judged};
use super::interview::{Interview, Lines};
use super::screen;
use super::walk::{may_not_walk, named, open, tell_machine};
use super::words::Command;
use crate::arguments::Resume;
use crate::clock::Clock;
use crate::exit::Exit;
use crate::{approvals, output};
use anyhow::{Context as _, Result, bail};
use document::{Library, Zone};
use journal::Journal;
use records::leaving::{Next, next};
use records::{Basis, Judged};
use walk::{Begin, Input, Status};

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
            Some(in_force) => judged(live.walk(), &in_force.library).ground,
            None => None,
        };
        let due = next(live.walk(), ground.as_ref(), clock.millis());
        if matches!(due, Next::Act { .. } | Next::Look { .. }) {
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
    let in_force = in_force.library;
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

/// Why work is stopped, of somebody who can do nothing else; none at the end of the input.
fn stop_reason(lines: &mut Lines) -> Result<Option<String>> {
    loop {
        output::say("(stop REASON) > ")?;
        let Some(line) = lines.next() else { return Ok(None) };
        match Command::read(line.trim()) {
            Some(Command::Stop(reason)) if !reason.is_empty() => return Ok(Some(reason.to_owned())),
            Some(
                Command::Stop(_)
                | Command::Note(_)
                | Command::Deviate(_)
                | Command::Back
                | Command::Pause
                | Command::Help,
            )
            | None => output::say("  Say `stop REASON`.\n")?,
        }
    }
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
    // No day of a walk is told here, so that it does not matter in which zone it would be.
    let (walks, damaged) = records::walked(journal, Zone::UTC)?;
    super::record::tell_damaged(&damaged);
    walks.into_iter().rev().find(|walk| !walk.ended).map(|walk| walk.id).context(
        "every recorded walk that can be read has ended; \
         with its NAME one that was stopped goes on with the way to leave the machine",
    )
}
