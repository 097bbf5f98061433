//! After a stop, in the terminal: the way to leave the machine, act by act, and its release for use again.

use super::interview::Interview;
use super::second::{may_not_sign, not_taken, releasing_role};
use super::told::before_act;
use super::words::{CANNOT_TELL, Command, HELP_LEAVING, NOTE, chosen, is_answer, no_name, offered_together};
use crate::output;
use anyhow::Result;
use records::leaving::{Next, ToldBy, next};
use std::time::Duration;
use walk::{Input, Leaving};

/// What a line says of a condition: the values that lead one way, or one of them alone; none of them where nobody can tell.
/// Nothing where it is none of these.
fn seen(line: &str, choices: Vec<Vec<String>>) -> Option<Vec<String>> {
    if line == CANNOT_TELL {
        return Some(Vec::new());
    }
    let said = chosen(line);
    if let Some(value) = choices.iter().flatten().find(|value| *value == said) {
        return Some(vec![value.clone()]);
    }
    choices.into_iter().find(|values| values.join(" or ") == said)
}

impl Interview<'_> {
    /// After a stop: the way to leave the machine, act by act, and its release for use again. Whoever has no more to say
    /// ends it.
    pub(super) fn leave_machine(&mut self) -> Result<()> {
        output::say("\n--- Leaving the machine\n")?;
        while !self.walk().is_returned() {
            let said = match self.next_of_way() {
                Next::Act { act, shown, number, total, wait, rest: _ } => {
                    if let Some(shown) = &shown {
                        output::say(&before_act(shown, "  "))?;
                    }
                    let words = shown.map_or_else(|| act.clone(), |shown| shown.words);
                    if let Some(millis) = wait {
                        output::say(&format!("{number} of {total}: {words}\n"))?;
                        self.wait_since_last(millis)?;
                    } else {
                        let Some(line) = self.ask(&format!("{number} of {total}: {words} (done) > "))? else {
                            return Ok(());
                        };
                        if self.is_answered(Command::read(&line))? {
                            continue;
                        }
                        if !matches!(line.as_str(), "done" | "d") {
                            output::say("  Say `done` when it is done.\n")?;
                            continue;
                        }
                        if !matches!(self.next_of_way(), Next::Act { act: due, .. } if due == act) {
                            output::say("  By now what this counts on was looked at too long ago.\n")?;
                            continue;
                        }
                    }
                    Leaving::Done(act)
                }
                Next::Look { condition, label, choices, told_by } => {
                    for ToldBy { value, question } in told_by {
                        output::say(&format!("  {value}: {question}\n"))?;
                    }
                    let offered: Vec<String> =
                        choices.iter().map(|values| offered_together(values)).collect();
                    let question =
                        format!("What is so of the {label}? ({} / {CANNOT_TELL}) > ", offered.join(" / "));
                    let Some(line) = self.ask(&question)? else { return Ok(()) };
                    if self.is_answered(Command::read(&line))? {
                        continue;
                    }
                    match seen(&line, choices) {
                        Some(values) => Leaving::Looked { condition, values },
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

    fn next_of_way(&mut self) -> Next {
        let now_ms = self.clock().millis();
        next(self.walk(), self.ground(), now_ms)
    }

    /// Answers a command on the way to leave the machine; whether there was one, and what was asked is asked again.
    fn is_answered(&mut self, command: Option<Command<'_>>) -> Result<bool> {
        let Some(command) = command else { return Ok(false) };
        match command {
            Command::Note("") => output::say(NOTE)?,
            Command::Note(text) => {
                self.give(&Input::Note(text.to_owned()))?;
            }
            Command::Help => output::say(HELP_LEAVING)?,
            Command::Stop(_) => output::say("  Work is stopped already.\n")?,
            Command::Back => output::say("  Nothing can be taken back after a stop.\n")?,
            Command::Pause => output::say("  Work is stopped: nothing is left to pause.\n")?,
            Command::Deviate(_) => {
                output::say("  Nothing is done otherwise on the way to leave the machine.\n")?
            }
        }
        Ok(true)
    }

    /// Who releases the machine, and what was found; nothing if it stays out of use.
    fn release(&mut self) -> Result<Option<Leaving>> {
        let role = releasing_role(self.walk());
        let words = role.replace('-', " ");
        loop {
            output::say(&format!("The machine stays out of use until the {words} releases it.\n"))?;
            let found = self.ask("What was found and put right (Enter: it stays out of use) > ")?;
            let Some(remark) = found.filter(|found| !found.is_empty()) else { return Ok(None) };
            let command = Command::read_in_text(&remark);
            if let Some(Command::Note(_) | Command::Help) = command {
                self.is_answered(command)?;
                continue;
            }
            if command.is_some() || is_answer(&remark) {
                output::say(&format!(
                    "  `{remark}` is a word of the walk and no remark. Say in a sentence what was found and put right.\n"
                ))?;
                continue;
            }
            let Some(person) = self.ask(&format!("Released by (name of the {words}) > "))? else {
                return Ok(None);
            };
            if let Some(said) = no_name(&person) {
                output::say(&said)?;
                continue;
            }
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
                self.jump(left)?;
            } else {
                std::thread::sleep(Duration::from_millis(left.min(1000)));
            }
        }
    }
}
