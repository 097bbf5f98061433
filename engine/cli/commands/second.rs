//! What takes a second person in the terminal: signatures, deviations, and what follows a stop. Whoever signs is named;
//! where a file of people stands beside the procedures, the person must have the role in it today.

use super::interview::Interview;
use crate::arguments::RELEASING_ROLE;
use crate::{approvals, output};
use anyhow::Result;
use calc::quantity::Duration as Time;
use records::leaving::{Next, ToldBy, next};
use std::time::Duration;
use walk::{Error, Input, Leaving, Prompt, Walk};

/// The role that allows deviations and releases the machine, as the equipment has it.
fn releasing_role(walk: &Walk) -> String {
    let named = walk.equipment().and_then(|equipment| equipment.release.as_ref());
    named.map_or_else(|| RELEASING_ROLE.to_owned(), ToString::to_string)
}

/// Why somebody may not sign in a role today; nothing where no file of people says so.
fn may_not_sign(walk: &Walk, person: &str, role: &str) -> Result<Option<String>> {
    let people = approvals::people(walk.library(), &walk.begin().procedure)?;
    let on = approvals::day(None, walk.library())?;
    Ok(people.and_then(|people| people.may_not_sign(person.trim(), role, &on)))
}

fn not_taken(why: &str, role: &str) -> Result<()> {
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
            if let Some(why) = may_not_sign(self.walk(), &named, &role)? {
                return not_taken(&why, &role);
            }
            person = named;
        }
        self.give(&Input::Deviate { reason: reason.to_owned(), person, role }).map(|_| ())
    }

    /// After a stop: the way to leave the machine, act by act, and its release for use again. Whoever has no more to say
    /// ends it.
    pub(super) fn leave_machine(&mut self) -> Result<()> {
        output::say("\n--- Leaving the machine\n")?;
        while !self.walk().is_returned() {
            let said = match next(self.walk(), self.ground()) {
                Next::Act { act, number, total, wait, .. } => {
                    if let Some(millis) = wait {
                        output::say(&format!("{number} of {total}: {act}\n"))?;
                        self.wait_since_last(millis)?;
                    } else {
                        match self.ask(&format!("{number} of {total}: {act} (done) > "))?.as_deref() {
                            None => return Ok(()),
                            Some("done" | "d") => {}
                            Some(_) => {
                                output::say("  Say `done` when it is done.\n")?;
                                continue;
                            }
                        }
                    }
                    Leaving::Done(act)
                }
                Next::Look { condition, label, choices, told_by } => {
                    for ToldBy { value, question } in told_by {
                        output::say(&format!("  {value}: {question}\n"))?;
                    }
                    let words: Vec<String> = choices.iter().map(|values| values.join(" or ")).collect();
                    let question =
                        format!("What is so of the {label}? ({} / cannot tell) > ", words.join(" / "));
                    let Some(line) = self.ask(&question)? else { return Ok(()) };
                    match choices.into_iter().zip(words).find(|(_, words)| *words == line) {
                        Some((values, _)) => Leaving::Looked { condition, values },
                        None if line == "cannot tell" => Leaving::Looked { condition, values: Vec::new() },
                        None => {
                            output::say("  Answer as one of these.\n")?;
                            continue;
                        }
                    }
                }
                Next::Cannot { words } => {
                    output::say(&format!("{words}\n"))?;
                    match self.release()? {
                        Some(said) => said,
                        None => return Ok(()),
                    }
                }
                Next::Nothing | Next::Stuck => match self.release()? {
                    Some(said) => said,
                    None => return Ok(()),
                },
            };
            self.give(&Input::Leaving(said))?;
        }
        output::say("The machine was released for use again.\n")
    }

    /// Who releases the machine, and what was found; nothing if it stays out of use.
    fn release(&mut self) -> Result<Option<Leaving>> {
        let role = releasing_role(self.walk());
        let words = role.replace('-', " ");
        loop {
            output::say(&format!("The machine stays out of use until the {words} releases it.\n"))?;
            let found = self.ask("What was found and put right (Enter: it stays out of use) > ")?;
            let Some(remark) = found.filter(|found| !found.is_empty()) else { return Ok(None) };
            let Some(person) = self.ask(&format!("Released by (name of the {words}) > "))? else {
                return Ok(None);
            };
            match may_not_sign(self.walk(), &person, &role)? {
                Some(why) => not_taken(&why, &role)?,
                None if person.is_empty() => {}
                None => return Ok(Some(Leaving::Returned { person, role, remark })),
            }
        }
    }

    /// Waits so long since the last record; a rehearsal jumps.
    fn wait_since_last(&mut self, millis: u64) -> Result<()> {
        loop {
            let passed = self.clock().millis() - self.walk().last_ms();
            // A clock that went backwards says nothing of what has passed: the wait begins again.
            let passed = u64::try_from(passed).unwrap_or(0);
            let left = millis.saturating_sub(passed);
            if left == 0 {
                return Ok(());
            }
            if self.clock().is_rehearsal() {
                output::say(&format!("  (rehearsal: the clock jumps {} ahead)\n", Time::from_millis(left)))?;
                self.clock().jump(left);
            } else {
                std::thread::sleep(Duration::from_millis(left.min(1000)));
            }
        }
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
