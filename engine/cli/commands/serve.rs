//! `serve`: walks and records in a browser.

use super::people;
use super::reread::Reread;
use crate::arguments::Serve;
use crate::exit::Exit;
use crate::output;
use anyhow::{Context, Result, bail};
use credentials::Role;
use document::Zone;
use journal::Journal;
use records::Walked;
use std::io::{BufRead as _, IsTerminal as _, stdin};
use std::path::Path;
use std::sync::Arc;
use web::Options;

pub(crate) fn run(options: &Serve) -> Result<Exit> {
    let records = options.journal.journal.clone();
    let recorded = Recorded::read(&records)?;
    let (reread, documents) = Reread::first(&options.from, recorded.has_open())?;
    let mut credentials = people::open(&records)?;
    if credentials.people()?.is_empty() {
        if !stdin().is_terminal() {
            bail!("nobody can sign in yet; add somebody with `gatewright people add NAME --role ROLE`");
        }
        output::say("Nobody can sign in yet. The first person:\n")?;
        let name = first_name()?;
        let pin = people::new_pin(&name)?;
        credentials.add_person(&name, &pin)?;
        credentials.grant(&name, &Role { role: options.releasing_role.clone(), until: None })?;
    }
    drop(credentials);
    recorded.tell_earlier();
    if !options.listen.ip().is_loopback() {
        output::complain(
            "gatewright: other machines can reach this address, and what they send can be read on the way; \
             put a server in front of it that speaks TLS\n",
        );
    }
    let serving = Options {
        listen: options.listen,
        hosts: options.hosts.clone(),
        lock_minutes: options.lock_after,
        releasing_role: options.releasing_role.clone(),
        records,
    };
    let ready = |address| {
        // Whoever closed the output does not need the address.
        let _ = output::say(&format!("serving on http://{address}/\n"));
    };
    let watched = Arc::clone(&documents);
    std::thread::spawn(move || reread.go_on(&watched));
    web::serve(
        documents,
        serving,
        Box::new(crate::review_pages::FileReviewService::default()),
        ready,
        Box::new(|line| output::complain(&format!("gatewright: {line}\n"))),
    )?;
    Ok(Exit::Clean)
}

/// The walks on record when the program starts.
#[derive(Default)]
struct Recorded {
    walks: Vec<Walked>,
    /// Whether some cannot be read: which of them are open nobody knows.
    has_damaged: bool,
}

impl Recorded {
    fn read(records: &Path) -> Result<Self> {
        if !records.exists() {
            return Ok(Self::default());
        }
        let journal = Journal::open_existing(records)?;
        // What is damaged is told where walks are listed.
        match records::walked(&journal, Zone::UTC) {
            Ok((walks, damaged)) => Ok(Self { walks, has_damaged: !damaged.is_empty() }),
            // What can be read is served all the same.
            Err(error @ journal::Error::Corrupt { .. }) => {
                output::complain(&format!("gatewright: {error}\n"));
                Ok(Self { walks: Vec::new(), has_damaged: true })
            }
            Err(error) => Err(error.into()),
        }
    }

    /// Whether somebody may be at a machine: a walk goes on, or its machine was not released after a stop.
    fn has_open(&self) -> bool {
        self.has_damaged || self.walks.iter().any(|walk| !walk.ended || walk.out_of_use)
    }

    /// Names the walks of record format 1 that are not over: nobody goes on with them here.
    fn tell_earlier(&self) {
        for walk in &self.walks {
            if walk.is_earlier && !walk.ended {
                output::complain(&format!(
                    "gatewright: the walk {} was begun by an earlier version, for which `proved` meant less; stop work in \
                     it or finish it on paper\n",
                    card::clean_line(&walk.id)
                ));
            }
        }
    }
}

/// Asks for the name of the first who can sign in.
fn first_name() -> Result<String> {
    output::say("Name: ")?;
    let mut line = String::new();
    stdin().lock().read_line(&mut line).context("the name cannot be read")?;
    Ok(line.trim().to_owned())
}
