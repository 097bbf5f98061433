//! `people`: who can sign in in the browser, and in which roles.

use crate::arguments::{People, PeopleCommand};
use crate::exit::Exit;
use crate::output;
use anyhow::{Context, Result, bail};
use credentials::{CredentialStore, Role};
use document::Day;
use std::fmt::Write as _;
use std::io::{BufRead as _, IsTerminal as _, stdin};
use std::path::Path;

pub(crate) fn run(options: &People) -> Result<Exit> {
    let mut credentials = open(&options.journal.journal)?;
    match &options.command {
        PeopleCommand::List => return list(&credentials),
        PeopleCommand::Add { name, roles } => {
            let roles: Vec<Role> = roles.iter().map(|role| read_role(role)).collect::<Result<_>>()?;
            let pin = new_pin(name)?;
            credentials.add_person(name, &pin)?;
            for role in &roles {
                credentials.grant(name, role)?;
            }
            output::say(&format!("{} can sign in now\n", name.trim()))?;
        }
        PeopleCommand::Grant { name, role } => credentials.grant(name, &read_role(role)?)?,
        PeopleCommand::Revoke { name, role } => credentials.revoke(name, role)?,
        PeopleCommand::Pin { name } => {
            let pin = new_pin(name)?;
            credentials.set_pin(name, &pin)?;
        }
        PeopleCommand::Remove { name } => credentials.remove_person(name)?,
    }
    Ok(Exit::Clean)
}

/// The people beside the records; the folder is made where it is not there.
pub(super) fn open(records: &Path) -> Result<CredentialStore> {
    super::walk::make_folder(records)?;
    Ok(CredentialStore::beside(records)?)
}

fn list(credentials: &CredentialStore) -> Result<Exit> {
    let mut text = String::new();
    for person in credentials.people()? {
        let roles: Vec<String> = person
            .roles
            .iter()
            .map(|role| match &role.until {
                Some(until) => format!("{} until {until}", role.role),
                None => role.role.clone(),
            })
            .collect();
        let roles = if roles.is_empty() { "no role".to_owned() } else { roles.join(", ") };
        let _ = writeln!(text, "{}: {roles}", person.name);
    }
    if text.is_empty() {
        text.push_str("nobody can sign in yet; add somebody with `gatewright people add NAME --role ROLE`\n");
    }
    output::say(&text)?;
    Ok(Exit::Clean)
}

/// `technician` or `technician:2027-11-02`.
fn read_role(text: &str) -> Result<Role> {
    Ok(match text.split_once(':') {
        Some((role, until)) => Role { role: role.to_owned(), until: Some(Day::parse(until)?) },
        None => Role { role: text.to_owned(), until: None },
    })
}

/// Asks for a new PIN without showing it, twice; from a script it is one line of standard input. Gives its hash.
pub(super) fn new_pin(name: &str) -> Result<String> {
    let pin = if stdin().is_terminal() {
        let term = console::Term::stderr();
        let ask = |question: &str| -> Result<String> {
            output::complain(question);
            Ok(term.read_secure_line()?)
        };
        let pin = ask(&format!("New PIN of {name} (6 to 12 digits, not shown): "))?;
        if ask("The same once more: ")? != pin {
            bail!("the two were not the same; nothing was changed");
        }
        pin
    } else {
        let mut line = String::new();
        stdin().lock().read_line(&mut line).context("the PIN cannot be read from standard input")?;
        line
    };
    Ok(credentials::hash_pin(pin.trim())?)
}
