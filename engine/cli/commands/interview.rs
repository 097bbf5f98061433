//! A walk in a terminal, or from a script of answers on standard input.

use super::in_force::InForce;
use super::screen;
use super::words::{CANNOT_TELL, Command, HELP, NOTE, choice, denied_by, no_name, said_with_is, split};
use crate::clock::Clock;
use crate::exit::Exit;
use crate::output;
use anyhow::Result;
use calc::quantity::Duration as Time;
use records::{Footing, Ground, Judged};
use std::io::{BufRead, IsTerminal, stdin};
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::Duration;
use walk::{Error, Input, LiveWalk, Look, Other, Prompt, Question, Status, Tick, Timer, Walk};

/// A line longer than this is cut: no answer is.
const LINE_LIMIT: usize = 10_000;

/// Lines of standard input, read beside the countdowns.
pub(super) struct Lines {
    lines: Receiver<String>,
    terminal: bool,
}

impl Lines {
    pub(super) fn new() -> Self {
        let (send, lines) = channel();
        std::thread::spawn(move || {
            for line in stdin().lock().split(b'\n') {
                let Ok(line) = line else { break };
                // What is no text is no answer, and ends nothing.
                let mut line = String::from_utf8_lossy(&line).trim_end_matches('\r').to_owned();
                line.truncate(line.floor_char_boundary(LINE_LIMIT));
                if send.send(line).is_err() {
                    break;
                }
            }
        });
        Self { lines, terminal: stdin().is_terminal() }
    }

    /// The next line; `None` at the end of the input.
    pub(super) fn next(&mut self) -> Option<String> {
        self.lines.recv().ok()
    }

    fn within(&mut self, time: Duration) -> Result<Option<String>, RecvTimeoutError> {
        match self.lines.recv_timeout(time) {
            Ok(line) => Ok(Some(line)),
            Err(RecvTimeoutError::Timeout) => Ok(None),
            Err(RecvTimeoutError::Disconnected) => Err(RecvTimeoutError::Disconnected),
        }
    }
}

/// A walk with someone to talk to.
pub(super) struct Interview<'j> {
    live: LiveWalk<'j>,
    clock: Clock,
    lines: Lines,
    shown: String,
    /// Whether the step is shown once more though it was shown: an answer was taken back.
    is_shown_again: bool,
    /// The equipment as it stands now, where it says otherwise than what the walk goes by: the machine is left by it.
    ground: Option<Ground>,
    in_force: InForce,
}

impl<'j> Interview<'j> {
    pub(super) fn new(live: LiveWalk<'j>, clock: Clock, lines: Lines) -> Self {
        let (ground, in_force) = (None, InForce::default());
        Self { live, clock, lines, shown: String::new(), is_shown_again: false, ground, in_force }
    }

    /// The same, with the machine left by the equipment as it stands now.
    pub(super) fn left_by(self, ground: Option<Ground>) -> Self {
        Self { ground, ..self }
    }

    /// By what the machine is left, where that is not what the walk goes by.
    pub(super) fn ground(&self) -> Option<&Ground> {
        self.ground.as_ref()
    }

    /// Asks until the walk ends, is paused, or nobody answers any more.
    pub(super) fn run(mut self) -> Result<Exit> {
        output::say(&screen::beginning(self.live.walk()))?;
        loop {
            let prompt = self.live.prompt();
            match &prompt {
                Prompt::Ended(status) => return self.ended(*status),
                Prompt::Paused => {
                    output::say(&format!("Paused. Go on with: gatewright resume {}\n", self.live.id()))?;
                    return Ok(Exit::Findings);
                }
                _ => {}
            }
            let heading = screen::heading(self.live.walk());
            self.judge(heading == self.shown)?;
            if self.in_force.footing(self.live.walk()) == Footing::Shut {
                let Some(line) = self.ask("(stop REASON) > ")? else { return self.left() };
                self.respond(&line, &prompt)?;
                continue;
            }
            if heading != self.shown || self.is_shown_again {
                output::say(&heading)?;
                (self.shown, self.is_shown_again) = (heading, false);
            }
            output::say(&screen::told(self.live.walk()))?;
            let running = match &prompt {
                Prompt::Settle { timer, .. } => Some(timer.clone()),
                Prompt::Wait(timer) if !self.live.walk().timer_has_run() => Some(timer.clone()),
                _ => None,
            };
            let line = match running {
                Some(timer) => match self.count_down(&timer)? {
                    Waited::Over => continue,
                    Waited::Line(line) => Some(line),
                },
                None => {
                    output::say(&screen::question(self.live.walk(), &prompt))?;
                    self.lines.next()
                }
            };
            let Some(line) = line else { return self.left() };
            if !self.lines.terminal {
                output::say(&format!("{}\n", line.trim()))?;
            }
            self.respond(line.trim(), &prompt)?;
        }
    }

    /// Judges the walk anew where the documents were changed meanwhile. Once what it goes by is proved again it is taken up
    /// again: somebody waited meanwhile, and every pause is an interruption. Whether anything is otherwise than before.
    fn judge(&mut self, is_laid_open: bool) -> Result<bool> {
        let was_unproved = self.in_force.unproved().is_some();
        let walk = self.live.walk();
        if walk.begin().is_earlier() {
            return Ok(false);
        }
        let Some(Judged { unproved, ground }) = self.in_force.again(walk, is_laid_open) else {
            return Ok(false);
        };
        self.ground = ground;
        if let Some(unproved) = &unproved {
            output::say(&format!("\n{}", screen::unproved(unproved)))?;
            return Ok(true);
        }
        if was_unproved {
            output::say(
                "What the walk goes by is proved again: it goes on, and what the rest relies on is asked again.\n",
            )?;
            let person = self.live.walk().person().to_owned();
            self.give(&Input::Resume { person })?;
        }
        Ok(true)
    }

    fn respond(&mut self, line: &str, prompt: &Prompt) -> Result<()> {
        self.judge(true)?;
        if let Some(Command::Deviate(reason)) = Command::read(line) {
            return self.deviate(reason);
        }
        let inputs = match inputs(line, prompt) {
            Ok(inputs) => inputs,
            Err(said) => return output::say(&said),
        };
        // Of several, those before the first that is refused count: each is a record of its own.
        for input in inputs {
            self.jump_to_limit(&input, prompt)?;
            let taken_back = self.taken_back(&input);
            if !self.may_sign(&input, prompt)? || !self.give(&input)? {
                break;
            }
            if let Some(what) = taken_back {
                output::say(&format!("  TAKEN BACK  {what}\n"))?;
                self.is_shown_again = true;
            }
        }
        Ok(())
    }

    /// In a rehearsal nobody waits for the limit of a wait either.
    fn jump_to_limit(&mut self, input: &Input, prompt: &Prompt) -> Result<()> {
        let Prompt::Wait(Timer { since_ms: Some(since), limit: Some(limit), .. }) = prompt else {
            return Ok(());
        };
        if *input != Input::LimitReached || !self.clock.is_rehearsal() {
            return Ok(());
        }
        let passed = u64::try_from(self.clock.millis() - since).unwrap_or(0);
        self.jump(limit.saturating_sub(passed))
    }

    /// Says so, and jumps over so much time.
    pub(super) fn jump(&mut self, millis: u64) -> Result<()> {
        let told = Time::from_millis(millis.div_ceil(1000) * 1000);
        output::say(&format!("  (rehearsal: the clock jumps {told} ahead)\n"))?;
        self.clock.jump(millis);
        Ok(())
    }

    /// What an input takes back, in words.
    fn taken_back(&self, input: &Input) -> Option<String> {
        let takes_back = matches!(input, Input::TakeBack);
        self.walk().can_take_back().filter(|_| takes_back).map(str::to_owned)
    }

    /// The walk as it stands.
    pub(super) fn walk(&self) -> &Walk {
        self.live.walk()
    }

    pub(super) fn clock(&mut self) -> &mut Clock {
        &mut self.clock
    }

    pub(super) fn answer(&mut self, input: &Input, now_ms: i64) -> Result<(), Error> {
        let footing = self.in_force.footing(self.live.walk());
        if let Some(refusal) = footing.refused(input, true, self.in_force.unproved()) {
            return Err(Error::Refused(refusal));
        }
        self.live.answer(input, now_ms).map(|_| ())
    }

    /// Asks for a line; none at the end of the input.
    pub(super) fn ask(&mut self, question: &str) -> Result<Option<String>> {
        output::say(question)?;
        let line = self.lines.next().map(|line| line.trim().to_owned());
        if let Some(line) = line.as_ref().filter(|_| !self.lines.terminal) {
            output::say(&format!("{line}\n"))?;
        }
        Ok(line)
    }

    /// Waits in real time and counts down where someone sees it. In a script the clock alone ends a wait: no line of the
    /// script is taken for it.
    fn count_down(&mut self, timer: &Timer) -> Result<Waited> {
        loop {
            let now = self.clock.millis();
            let since = timer.since_ms.unwrap_or(now);
            let passed = u64::try_from(now - since).unwrap_or(0);
            let left = timer.millis.saturating_sub(passed);
            if now < since {
                // The clock went backwards: nothing is known of what has passed.
                self.live.answer(&Input::StartTimer, now)?;
                output::say("\nThe clock went backwards: the wait starts again.\n")?;
                return Ok(Waited::Over);
            }
            if left == 0 {
                if self.judge(true)? {
                    return Ok(Waited::Over);
                }
                if self.lines.terminal && timer.millis > 0 {
                    output::say("\rThe time is over.          \n")?;
                }
                match self.live.answer(&Input::TimerOver, now) {
                    Ok(_) => return Ok(Waited::Over),
                    Err(Error::Refused(refusal)) => output::say(&format!("  NOT TAKEN  {refusal}\n"))?,
                    Err(error) => return Err(error.into()),
                }
            }
            if self.clock.is_rehearsal() {
                self.jump(left)?;
                continue;
            }
            let pause = Duration::from_millis(left.min(1000));
            if self.lines.terminal {
                output::say(&format!("\r{} left     ", Time::from_millis(left.div_ceil(1000) * 1000)))?;
                match self.lines.within(pause) {
                    Ok(Some(line)) => return Ok(Waited::Line(line)),
                    Ok(None) => {}
                    Err(_) => std::thread::sleep(pause),
                }
            } else {
                std::thread::sleep(pause);
            }
        }
    }

    fn ended(&mut self, status: Status) -> Result<Exit> {
        output::say(&screen::ending(self.live.walk(), self.ground(), status))?;
        if status == Status::Stopped {
            self.leave_machine()?;
        }
        let completed = matches!(status, Status::Completed | Status::CompletedWithDeviation);
        Ok(if completed { Exit::Clean } else { Exit::Findings })
    }

    fn left(&self) -> Result<Exit> {
        output::say(&format!(
            "\nNo answer any more: the walk stays where it is. Go on with: gatewright resume {}\n",
            self.live.id()
        ))?;
        Ok(Exit::Findings)
    }
}

enum Waited {
    Over,
    Line(String),
}

/// What a line means where it is said: one input, or at a group of fasteners one for each that it names.
fn inputs(line: &str, prompt: &Prompt) -> Result<Vec<Input>, String> {
    match (prompt, input(line, prompt)) {
        (Prompt::Fasten(tick), Ok(Input::Done)) => fasteners(line, tick),
        (_, input) => input.map(|input| vec![input]),
    }
}

/// An empty line is the next fastener; otherwise their numbers in the order in which they were done.
fn fasteners(line: &str, tick: &Tick) -> Result<Vec<Input>, String> {
    let words: Vec<&str> = line
        .split(|letter: char| letter == ',' || letter.is_whitespace())
        .filter(|word| !word.is_empty())
        .collect();
    if words.is_empty() {
        return Ok(tick.next().map(Input::Fastener).into_iter().collect());
    }
    words.into_iter().map(|word| word.parse().map(Input::Fastener)).collect::<Result<_, _>>().map_err(|_| {
        "  Press Enter for the next fastener, or give numbers in order, such as `4 3 5`.\n".to_owned()
    })
}

/// What a line means where it is said; or what to say to it.
fn input(line: &str, prompt: &Prompt) -> Result<Input, String> {
    match Command::read(line) {
        Some(Command::Stop(reason)) => return Ok(Input::Stop(reason.to_owned())),
        Some(Command::Note("")) => return Err(NOTE.to_owned()),
        Some(Command::Note(text)) => return Ok(Input::Note(text.to_owned())),
        Some(Command::Back) => return Ok(Input::TakeBack),
        Some(Command::Pause) => return Ok(Input::Pause),
        Some(Command::Help) => return Err(HELP.to_owned()),
        // Somebody else is asked for it, before it is an input.
        Some(Command::Deviate(_)) | None => {}
    }
    let (word, rest) = split(line);
    Ok(match prompt {
        Prompt::Variant { values, .. } => Input::Variant(choice(line, &as_str(values))?),
        Prompt::Look(Question { others, .. }) => look(line, others)?,
        Prompt::AsLeft { may_be_done: true, .. } if line == "finished" => Input::WasDone,
        Prompt::AsLeft { .. } => look(line, &[])?,
        Prompt::Shut { .. } if word == "did" => Input::Restored(rest.to_owned()),
        Prompt::Shut { question: Question { others, .. }, .. } => look(line, others)?,
        Prompt::Sign { check, .. } => sign(line, check.is_none())?,
        Prompt::Reading(reading) if reading.may_not_tell && line == CANNOT_TELL => Input::CannotTell,
        Prompt::Reading(_) => Input::Reading(line.to_owned()),
        Prompt::Answer { may_not_tell: true, .. } if line == CANNOT_TELL => Input::CannotTell,
        Prompt::Answer { answers, .. } => Input::Answer(choice(line, &as_str(answers))?),
        Prompt::Item(items) => {
            let names: Vec<&str> = items.iter().map(|path| screen::item_name(path)).collect();
            Input::Item(choice(line, &names)?)
        }
        Prompt::Wait(_) if line == "limit" => Input::LimitReached,
        Prompt::Wait(timer)
            if timer.until.is_some() && (word == "is" || matches!(line, "yes" | "no" | CANNOT_TELL)) =>
        {
            look(line, &timer.others)?
        }
        Prompt::Act if matches!(line, "done" | "d") => Input::Done,
        Prompt::Act => return Err("  Say `done` when it is done.\n".to_owned()),
        Prompt::Locked(_) | Prompt::Earlier => return Err("  Say `stop REASON`.\n".to_owned()),
        Prompt::Settle { .. } | Prompt::Wait(_) | Prompt::Fasten(_) | Prompt::Paused | Prompt::Ended(_) => {
            Input::Done
        }
    })
}

/// A name signs; what is verified may be denied, and a hold point is only not released.
fn sign(line: &str, may_be_denied: bool) -> Result<Input, String> {
    if let Some(person) = denied_by(line).filter(|_| may_be_denied) {
        return Ok(Input::Deny(person.to_owned()));
    }
    no_name(line).map_or_else(|| Ok(Input::Sign(line.to_owned())), Err)
}

fn as_str(words: &[String]) -> Vec<&str> {
    words.iter().map(String::as_str).collect()
}

fn look(line: &str, others: &[Other]) -> Result<Input, String> {
    if let Some(value) = said_with_is(line) {
        if others.is_empty() || others.iter().any(|other| other.value == value) {
            return Ok(Input::Is(value.to_owned()));
        }
        let known: Vec<String> = others.iter().map(|other| format!("is {}", other.value)).collect();
        return Err(format!(
            "  `{value}` is not asked on here: say {}, or `{CANNOT_TELL}`.\n",
            known.join(" / ")
        ));
    }
    match line {
        "yes" | "y" => Ok(Input::Look(Look::Yes)),
        "no" | "n" => Ok(Input::Look(Look::No)),
        CANNOT_TELL | "c" => Ok(Input::Look(Look::CannotTell)),
        _ if others.is_empty() => Err(format!("  Answer `yes`, `no` or `{CANNOT_TELL}`.\n")),
        _ => Err(format!("  Answer `yes`, `is VALUE` or `{CANNOT_TELL}`.\n")),
    }
}
