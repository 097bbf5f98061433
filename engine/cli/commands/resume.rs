//! `resume`: goes on with a walk where its records end.

use super::interview::{Interview, Lines};
use super::walk::{may_not_walk, named, open};
use crate::arguments::Resume;
use crate::clock::Clock;
use crate::exit::Exit;
use crate::output;
use anyhow::{Context as _, Result, bail};
use journal::{ChainSummary, Journal};
use walk::{Input, Status};

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
        return Interview::new(live, clock, lines).run();
    }
    if status.is_ended() {
        bail!("the walk {id} is {}: nothing is left to do in it", status.words());
    }
    let person = named(options.person.as_ref(), "Your name: ", &mut lines)?;
    let begin = live.walk().begin();
    if !begin.training
        && let Some(why) = may_not_walk(live.walk().library(), &begin.procedure, &person)?
    {
        output::complain(&format!("{why}. Somebody who has the role goes on with the walk\n"));
        return Ok(Exit::Findings);
    }
    let clock = Clock::after(live.walk());
    output::say(&format!("The walk {id} goes on where its records end\n"))?;
    live.answer(&Input::Resume { person }, clock.millis())?;
    Interview::new(live, clock, lines).run()
}

fn last_open(journal: &Journal) -> Result<String> {
    let chains = journal.chains()?;
    let is_open = |chain: &ChainSummary| Ok(!walk::verified(journal, &chain.id)?.0.status().is_ended());
    let open = |chain| is_open(chain).map(|open| open.then(|| chain.id.clone()));
    let (open, damaged) = records::readable(journal, chains.iter().rev(), open)?;
    super::record::tell_damaged(&damaged);
    open.into_iter().flatten().next().context("every recorded walk that can be read has ended")
}
