//! What takes a second person in the terminal: signatures and deviations. Whoever signs is named;
//! where a file of people stands beside the procedures, the person must have the role in it today.

use super::interview::Interview;
use super::words::no_name;
use crate::arguments::RELEASING_ROLE;
use crate::{approvals, output};
use anyhow::Result;
use walk::{Error, Input, Prompt, Walk};

/// The role that allows deviations and releases the machine, as the equipment has it.
pub(super) fn releasing_role(walk: &Walk) -> String {
    let named = walk.equipment().and_then(|equipment| equipment.release.as_ref());
    named.map_or_else(|| RELEASING_ROLE.to_owned(), ToString::to_string)
}

/// Why somebody may not sign in a role today; nothing where no file of people says so.
pub(super) fn may_not_sign(walk: &Walk, person: &str, role: &str) -> Result<Option<String>> {
    let people = approvals::people(walk.library(), &walk.begin().procedure)?;
    let on = approvals::day(None, walk.library())?;
    Ok(people.and_then(|people| people.may_not_sign(person.trim(), role, &on)))
}

pub(super) fn not_taken(why: &str, role: &str) -> Result<()> {
    output::say(&format!("  NOT TAKEN  {why}. Somebody with the role {} signs.\n", role.replace('-', " ")))
}

impl Interview<'_> {
    /// Whether an input that somebody else signs may be given to the walk; if not, that is told.
    pub(super) fn may_sign(&self, input: &Input, prompt: &Prompt) -> Result<bool> {
        let (Input::Sign(person) | Input::Deny(person), Prompt::Sign { role, .. }) = (input, prompt) else {
            return Ok(true);
        };
        match may_not_sign(self.walk(), person, role)? {
            Some(why) => not_taken(&why, role).map(|()| false),
            None => Ok(true),
        }
    }

    /// An act is done otherwise than written, if somebody allows it who may.
    pub(super) fn deviate(&mut self, reason: &str) -> Result<()> {
        let role = releasing_role(self.walk());
        let mut person = String::new();
        // Where nothing can be done otherwise the walk says so, and nobody is asked.
        if self.walk().may_deviate() && !reason.is_empty() {
            let Some(named) = self.ask(&format!("Allowed by (name of the {}) > ", role.replace('-', " ")))?
            else {
                return Ok(());
            };
            if let Some(said) = no_name(&named) {
                return output::say(&said);
            }
            if let Some(why) = may_not_sign(self.walk(), &named, &role)? {
                return not_taken(&why, &role);
            }
            person = named;
        }
        self.give(&Input::Deviate { reason: reason.to_owned(), person, role }).map(|_| ())
    }

    /// Gives an input; says so if it is refused.
    pub(super) fn give(&mut self, input: &Input) -> Result<bool> {
        let now = self.clock().millis();
        match self.answer(input, now) {
            Ok(()) => Ok(true),
            Err(Error::Refused(refusal)) => {
                output::say(&format!("  NOT TAKEN  {refusal}\n"))?;
                Ok(false)
            }
            Err(error) => Err(error.into()),
        }
    }
}
