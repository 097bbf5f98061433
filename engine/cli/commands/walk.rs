//! `walk`: begins a walk and goes through it.

use super::interview::{Interview, Lines};
use crate::arguments::Walk;
use crate::clock::Clock;
use crate::exit::Exit;
use crate::{approvals, output, register};
use anyhow::{Context, Result, bail};
use document::{Day, Library};
use journal::Journal;
use records::{Beginning, MachineNotice, NotBegun};
use std::path::Path;
use walk::{Begin, ToBegin};

pub(crate) fn run(options: &Walk) -> Result<Exit> {
    let report = super::read_and_check(&options.from)?;
    super::find(&report.library, &options.procedure)?;
    if let Some(finding) = records::not_proved(&report, &options.procedure) {
        super::tell_errors(&report, &options.procedure)?;
        output::complain(&format!("{}\n", NotBegun::NotProved(finding)));
        return Ok(Exit::Findings);
    }
    // Before it is said that it could be walked for training.
    if let Some(why) = walk::not_by_hand(&report.library, &options.procedure) {
        output::complain(&format!("{why}\n"));
        return Ok(Exit::Findings);
    }
    let on = approvals::day(None, &report.library)?;
    let (_, status) = approvals::status(&report.library, &options.procedure, on)?;
    if !(options.training || options.rehearsal || status.is_approved()) {
        output::complain(&format!("{} It can be walked for training: add `--training`\n", status.sentence()));
        return Ok(Exit::Findings);
    }
    let mut lines = Lines::new();
    let person = named(options.person.as_ref(), "Your name: ", &mut lines)?;
    let serial = named(options.serial.as_ref(), "Serial number of the machine: ", &mut lines)?;
    let beginning = Beginning {
        procedure: &options.procedure,
        serial: &serial,
        person: &person,
        training: options.training,
        rehearsal: options.rehearsal,
        not_proved: None,
        is_approved: status.is_approved(),
    };
    let lacks = || may_not_walk(&report.library, &options.procedure, &person);
    let begin = match beginning.begin(&report.library, lacks)? {
        Ok(begin) => begin,
        Err(why) => {
            output::complain(&match why {
                NotBegun::Lacks(why) => format!("{why}. It can be walked for training: add `--training`\n"),
                NotBegun::Serial
                | NotBegun::NotProved(_)
                | NotBegun::NotByHand(_)
                | NotBegun::NoProcedure
                | NotBegun::NotShown(_) => format!("{why}\n"),
            });
            return Ok(Exit::Findings);
        }
    };
    tell_machine(&report.library, &options.journal.journal, &begin, on)?;
    let clock = Clock::now(options.rehearsal);
    let mut journal = open(&options.journal.journal)?;
    let certificate = report.certificate(&options.procedure);
    let wanted = ToBegin { begin, certificate };
    let (id, live) = loop {
        let id = match &options.name {
            Some(name) => name.clone(),
            None => walk::free_name(&journal, &options.procedure, on)?,
        };
        match walk::begin(&mut journal, &id, wanted.clone(), clock.millis()) {
            Ok(live) => break (id, live),
            // Another program took the name meanwhile.
            Err(walk::Error::Journal(journal::Error::ChainExists { .. })) if options.name.is_none() => {}
            Err(error) => return Err(error.into()),
        }
    };
    if !status.is_approved() {
        output::say(&format!("NOT APPROVED: {}\n", status.sentence()))?;
    }
    output::say(&format!("The walk is recorded as {id}\n"))?;
    Interview::new(live, clock, lines).run()
}

/// Says what is to be known of the machine, and names the walks that are damaged.
pub(super) fn tell_machine(library: &Library, records: &Path, begin: &Begin, on: Day) -> Result<()> {
    // A register that cannot be used hides nothing that stopped walks tell.
    let register = register::read(library).unwrap_or_else(|error| {
        output::complain(&format!("what the register says of machines cannot be told: {error:#}\n"));
        None
    });
    let zone = register::zone_or_utc(register::beside(library))?;
    let (walks, damaged) = super::due::walks(records, zone)?;
    super::record::tell_damaged(&damaged);
    let Begin { equipment, serial, .. } = begin;
    for notice in records::machine_notices(register.as_ref(), zone, &walks, &damaged, on, equipment, serial) {
        output::say(&match notice {
            MachineNotice::OutOfService(out) => format!("OUT OF SERVICE: {out}\n"),
            MachineNotice::Unlisted(serial) => {
                format!("NOT IN THE REGISTER: {serial}: it may have been mistyped\n")
            }
            MachineNotice::MayBeOutOfService { serial, walk } => {
                format!("MAY BE OUT OF SERVICE: {serial}: the walk {walk} is damaged\n")
            }
        })?;
    }
    Ok(())
}

/// Why somebody may not walk a procedure for good today; nothing where no file of people says so.
pub(super) fn may_not_walk(library: &Library, procedure: &str, person: &str) -> Result<Option<String>> {
    let Some(document) = library.procedures.get(procedure) else { return Ok(None) };
    let people = approvals::people(library, procedure)?;
    let on = approvals::day(None, library)?;
    Ok(people.and_then(|people| people.may_not_walk(person, document.model.performers.keys(), &on)))
}

/// Makes the folder in which a file of records stands.
pub(super) fn make_folder(records: &Path) -> Result<()> {
    if let Some(folder) = records.parent().filter(|folder| !folder.as_os_str().is_empty()) {
        std::fs::create_dir_all(folder).with_context(|| format!("`{}` cannot be made", folder.display()))?;
    }
    Ok(())
}

pub(super) fn open(path: &Path) -> Result<Journal> {
    make_folder(path)?;
    let mut journal = Journal::open(path)
        .with_context(|| format!("the records in `{}` cannot be opened", path.display()))?;
    if let Err(error) = walk::catch_up(&mut journal) {
        // Lists go by the records themselves then, and name what is damaged.
        output::complain(&format!("what lists tell of walks cannot be brought up to date: {error}\n"));
    }
    Ok(journal)
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
