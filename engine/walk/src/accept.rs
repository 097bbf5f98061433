//! Whether what a person says is taken: an event, or a refusal with the reason and what would open the gate.

use crate::event::{Because, Event, Look};
use crate::input::Input;
use crate::refusal::{Refusal, refuse};
use crate::refused::{refused, unasked, whole_seconds};
use crate::stage::{Ending, Stage};
use crate::state::Walk;
use crate::timers::{self, Clock};
use calc::quantity::Quantity;
use document::model::{Kind, Name};
use document::same_person;
use machine::{Choice, Conjunct, Effect, Tick, VarId};

impl Walk {
    /// Turns an input into the event to be recorded.
    ///
    /// # Errors
    /// With the reason, if the input does not fit where the walk is or would pass a gate that is false or unknown.
    pub fn accept(&self, input: &Input, now_ms: i64) -> Result<Event, Refusal> {
        if let Input::Leaving(said) = input {
            return self.leave(said);
        }
        let stage = self.stage();
        if let (Stage::Ended(Ending::Stopped), Input::Resume { person }) = (&stage, input)
            && !self.returned
        {
            return self.resume(person);
        }
        if let (Stage::Ended(Ending::Stopped), Input::Note(text)) = (&stage, input)
            && !self.returned
        {
            return Ok(self.note(text));
        }
        if let Stage::Ended(ending) = stage {
            return refuse(format!("The walk is {}", ending.status().words()), "Begin a new one");
        }
        match self.at_any_stage(input) {
            Some(taken) => taken,
            None => self.at_stage(&stage, input, now_ms),
        }
    }

    /// What is taken wherever a walk under way is; none for what answers a question.
    fn at_any_stage(&self, input: &Input) -> Option<Result<Event, Refusal>> {
        Some(match input {
            Input::Note(text) => Ok(self.note(text)),
            Input::Photo { photo, caption } => Ok(Event::Photographed {
                step: self.here(),
                photo: photo.clone(),
                caption: caption.trim().to_owned(),
            }),
            Input::Stop(reason) => stop(reason, None),
            Input::StopAway { reason, person } => stop(reason, Some(person)),
            Input::Resume { person } => self.resume(person),
            Input::Pause if self.paused => refuse("The walk is paused", "Resume it first"),
            Input::Pause => Ok(Event::Paused),
            Input::TakeBack => self.take_back(),
            Input::Variant(_)
            | Input::Look(_)
            | Input::Is(_)
            | Input::Done
            | Input::WasDone
            | Input::Fastener(_)
            | Input::Sign(_)
            | Input::Deny(_)
            | Input::CannotTell
            | Input::Restored(_)
            | Input::Reading(_)
            | Input::Answer(_)
            | Input::Item(_)
            | Input::StartTimer
            | Input::TimerOver
            | Input::LimitReached
            | Input::Deviate { .. }
            | Input::Leaving(_) => return None,
        })
    }

    fn note(&self, text: &str) -> Event {
        Event::Noted { step: self.here(), text: text.to_owned() }
    }

    fn resume(&self, person: &str) -> Result<Event, Refusal> {
        Ok(Event::Resumed { person: named_person(person)?, unannounced: !self.paused })
    }

    /// What is taken at each stage: an answer to what it asks for. Whatever else is said is refused.
    fn at_stage(&self, stage: &Stage, input: &Input, now_ms: i64) -> Result<Event, Refusal> {
        match (input, stage) {
            (Input::Variant(value), Stage::Variant(due)) => self.variant(*due, value),
            (Input::Reading(text), Stage::Label(_)) => self.label(text),
            (
                Input::Look(answer),
                Stage::Gate { due, because, .. } | Stage::Shut { due, because, may_look: true, .. },
            ) => {
                self.is_told(*due, *answer)?;
                Ok(self.at_gate_seen(*due, *because, *answer, None))
            }
            (
                Input::Is(value),
                Stage::Gate { due, because, .. } | Stage::Shut { due, because, may_look: true, .. },
            ) => Ok(self.at_gate_seen(*due, *because, Look::No, Some(self.other(*due, value)?))),
            (Input::Restored(action), Stage::Shut { due, offers, .. }) if offers.contains(action) => {
                if !self.is_offered(action, now_ms) {
                    return refuse(
                        "What this act needs was looked at too long ago by now",
                        "Look again, or stop work",
                    );
                }
                let condition = self.named(*due);
                Ok(Event::Restored { step: self.here(), action: action.clone(), condition })
            }
            (Input::Look(answer), Stage::BegunDoubted) => {
                Ok(Event::ActBegun { step: self.here(), yes: *answer != Look::No, finished: false })
            }
            (Input::WasDone, Stage::BegunDoubted) if self.may_be_done() => {
                // When it was done nobody knows.
                let old = self.old_by_now(now_ms);
                if !old.is_empty() {
                    return refuse(
                        self.too_long_ago(&old),
                        "Answer yes or no, and look at what the act needs",
                    );
                }
                Ok(Event::ActBegun { step: self.here(), yes: true, finished: true })
            }
            (Input::Look(answer), Stage::TicksDoubted) => {
                Ok(Event::TicksLooked { step: self.here(), yes: *answer == Look::Yes })
            }
            (Input::Look(answer), Stage::Look(tick)) => {
                self.is_told(tick.asked, *answer)?;
                self.look(tick, *answer, None)
            }
            (Input::Is(value), Stage::Look(tick)) => {
                self.look(tick, Look::No, Some(self.other(tick.asked, value)?))
            }
            (
                Input::Look(answer),
                Stage::Wait { clock: Clock::Over { .. }, until: Some(tick), millis: _ },
            ) if *answer != Look::No || tick.failed || timers::limit(self).is_none() => {
                self.is_told(tick.asked, *answer)?;
                self.look(tick, *answer, None)
            }
            (Input::Is(value), Stage::Wait { clock: Clock::Over { .. }, until: Some(tick), millis: _ })
                if tick.failed || timers::limit(self).is_none() =>
            {
                self.look(tick, Look::No, Some(self.other(tick.asked, value)?))
            }
            (
                Input::LimitReached,
                Stage::Wait { clock: Clock::Over { since_ms }, until: Some(_), millis: _ },
            ) => self.limit_reached(*since_ms, now_ms),
            (Input::StartTimer | Input::TimerOver, Stage::Settle { due, millis, clock, behind: _ }) => {
                timer(self.named(*due), *millis, *clock, input, now_ms)
            }
            (Input::StartTimer | Input::TimerOver, Stage::Wait { millis, clock, until: _ }) => {
                timer(self.here(), *millis, *clock, input, now_ms)
            }
            (Input::Sign(person), Stage::Verification) => self.verify(person),
            (Input::Deny(person), Stage::Verification) => self.deny(person),
            (Input::Sign(person), Stage::Hold) => self.release(person),
            (Input::Fastener(fastener), Stage::Fasten(tick)) => self.fastener(tick, *fastener),
            (Input::Deviate { reason, person, role }, Stage::Fasten(_) | Stage::Act) => {
                self.deviate(reason, person, role)
            }
            (Input::Done, Stage::Act) => Ok(Event::Done { step: self.here() }),
            (Input::Reading(text), Stage::Measure { attempt, .. }) => self.reading(*attempt, text),
            (Input::Answer(answer), Stage::Ask) => self.answer(answer),
            (Input::CannotTell, Stage::Ask | Stage::Measure { .. }) if self.may_not_tell() => {
                Ok(Event::CannotTell { step: self.here() })
            }
            (Input::Item(item), Stage::Item) => self.item(item),
            // A new input does not compile until somebody says where it is taken.
            (
                Input::Variant(_)
                | Input::Look(_)
                | Input::Is(_)
                | Input::Done
                | Input::WasDone
                | Input::Fastener(_)
                | Input::Sign(_)
                | Input::Deny(_)
                | Input::CannotTell
                | Input::Restored(_)
                | Input::Reading(_)
                | Input::Answer(_)
                | Input::Item(_)
                | Input::StartTimer
                | Input::TimerOver
                | Input::LimitReached
                | Input::TakeBack
                | Input::Note(_)
                | Input::Pause
                | Input::Resume { .. }
                | Input::Stop(_)
                | Input::StopAway { .. }
                | Input::Photo { .. }
                | Input::Deviate { .. }
                | Input::Leaving(_),
                _,
            ) => Err(refused(stage, input, now_ms)),
        }
    }

    /// The name of the condition that is due.
    fn named(&self, due: Conjunct) -> String {
        self.machine.layout.var(due.var).name.to_string()
    }

    pub(crate) fn here(&self) -> String {
        self.node().path.clone()
    }

    fn variant(&self, due: VarId, value: &str) -> Result<Event, Refusal> {
        let var = self.machine.layout.var(due);
        if !var.values.iter().any(|known| known == value) {
            return refuse(
                format!("`{value}` is not a {} of this equipment", var.label),
                format!("Choose one of {}", var.values.join(", ")),
            );
        }
        Ok(Event::Variant { variant: var.name.to_string(), value: value.to_owned() })
    }

    /// Whether an answer tells what there is to be told: a plain "no" does not everywhere.
    fn is_told(&self, due: Conjunct, answer: Look) -> Result<(), Refusal> {
        match answer {
            Look::No => self.told_by_no(due),
            Look::Yes | Look::CannotTell => Ok(()),
        }
    }

    /// A look of a gate, whatever it shows.
    fn at_gate_seen(&self, due: Conjunct, because: Because, answer: Look, found: Option<String>) -> Event {
        let seen = self.seen_set(due, answer, found.as_deref());
        let at = self.gate_look(Some(due.var));
        let recorded = at.zip(seen).map(|(at, seen)| self.ruled_out(at, seen)).unwrap_or_default();
        self.seen_as(due, (answer, found), because, recorded)
    }

    fn seen_as(
        &self,
        due: Conjunct,
        (answer, found): (Look, Option<String>),
        because: Because,
        recorded: Vec<String>,
    ) -> Event {
        let (step, condition, values) = (self.here(), self.named(due), self.values(due));
        Event::Seen { step, condition, values, answer, found, because, recorded }
    }

    /// A look of the step: what is seen counts, whatever the record says.
    fn look(&self, tick: &Tick, answer: Look, found: Option<String>) -> Result<Event, Refusal> {
        let due = tick.asked;
        let Some(next) = self.after(self.choice(due.var, answer, found.as_deref())) else {
            return refuse(
                "Any value is asked for here: there is no no",
                "Look and answer yes, or cannot tell",
            );
        };
        let field = Conjunct { set: self.field(due.var), ..due };
        let recorded = if next.surprise { self.values(field) } else { Vec::new() };
        Ok(self.seen_as(due, (answer, found), Because::Step, recorded))
    }

    fn verify(&self, person: &str) -> Result<Event, Refusal> {
        let (person, role) = self.verifier(person)?;
        Ok(Event::Verified { step: self.here(), person, role })
    }

    fn deny(&self, person: &str) -> Result<Event, Refusal> {
        let (person, role) = self.verifier(person)?;
        Ok(Event::NotVerified { step: self.here(), person, role })
    }

    fn release(&self, person: &str) -> Result<Event, Refusal> {
        let Some(role) = self.releasing_role() else {
            return refuse("Nobody's signature is due here", "Do what the step says");
        };
        let (person, role) = signer(person, role, |person| same_person(person, &self.person))?;
        Ok(Event::Released { step: self.here(), person, role })
    }

    /// Somebody who took no part in what is verified, and the role they sign in.
    fn verifier(&self, person: &str) -> Result<(String, String), Refusal> {
        let Some(role) = self.verifying_role() else {
            return refuse("Nobody's signature is due here", "Do what the step says");
        };
        signer(person, role, |person| self.hands.took_part(&self.here(), person))
    }

    fn reading(&self, attempt: u32, text: &str) -> Result<Event, Refusal> {
        let Some(Kind::Measure(measure)) = self.step().map(|step| &step.kind) else {
            return refuse("No reading is due here", "Do what the step says");
        };
        let unit = self.instrument(measure).map_or("", |instrument| instrument.unit.text());
        let reading = Quantity::parse(text).or_else(|error| {
            refuse(format!("`{text}` is no reading: {error}"), format!("Give it in {unit}, with the unit"))
        })?;
        let (range, uncertainty) = self.acceptance(measure).or_else(|error| {
            refuse(format!("The range of this reading is faulty: {error}"), "Stop work and tell the trainer")
        })?;
        let verdict = range.judge(&reading, uncertainty.as_ref()).or_else(|error| {
            refuse(format!("`{text}` does not fit this reading: {error}"), format!("Give it in {unit}"))
        })?;
        let reading = text.trim().to_owned();
        Ok(Event::Reading { step: self.here(), reading, attempt, verdict: verdict.into() })
    }

    fn answer(&self, answer: &str) -> Result<Event, Refusal> {
        self.told_enough(answer)?;
        let choice = self.answer_choice(answer);
        let Some((choice, next)) = choice.and_then(|choice| Some((choice, self.after(choice)?))) else {
            return refuse("This answer leads nowhere", "Stop work and tell the trainer");
        };
        let recorded = if next.surprise { self.contradicted(choice) } else { Vec::new() };
        Ok(Event::Answered { step: self.here(), answer: answer.to_owned(), recorded })
    }

    /// The conditions that an answer shows and the record ruled out, with the values they had by the record.
    fn contradicted(&self, choice: Choice) -> Vec<String> {
        let outcome = self.node().outcomes.iter().find(|outcome| outcome.choice == choice);
        let shown = outcome.into_iter().flat_map(|outcome| &outcome.effects);
        let ruled_out = shown.filter_map(|effect| match *effect {
            Effect::Look(shown) if self.field(shown.var) & shown.set == 0 => Some(shown.var),
            Effect::Look(_)
            | Effect::Write(_)
            | Effect::Open(_)
            | Effect::Find(_)
            | Effect::Lose(_)
            | Effect::Verify(_) => None,
        });
        let was = |var: VarId| {
            let values = self.values(Conjunct { var, set: self.field(var) });
            format!("the {} was {}", self.machine.layout.var(var).label, values.join(" or "))
        };
        ruled_out.map(was).collect()
    }

    fn item(&self, item: &str) -> Result<Event, Refusal> {
        let open = self.open_items();
        let Some((_, path)) =
            open.iter().find(|(_, path)| path == item || path.rsplit('/').next() == Some(item))
        else {
            let names: Vec<&str> = open.iter().filter_map(|(_, path)| path.rsplit('/').next()).collect();
            return refuse(
                format!("`{item}` is not open here"),
                format!("Choose one of {}", names.join(", ")),
            );
        };
        Ok(Event::Chosen { step: path.clone() })
    }

    fn limit_reached(&self, since_ms: i64, now_ms: i64) -> Result<Event, Refusal> {
        let Some(limit) = timers::limit(self) else {
            return refuse("No limit runs here", "Do what the step says");
        };
        let passed = u64::try_from(now_ms - since_ms).unwrap_or(0);
        if passed < limit {
            return refuse(
                "The limit is not reached",
                format!("{} are left; stop work if you cannot wait", whole_seconds(limit - passed)),
            );
        }
        if self.after(Choice::Fail).is_none() {
            return refuse("This wait has no limit", "Wait on, or stop work");
        }
        Ok(Event::LimitReached { step: self.here() })
    }
}

/// Starts a timer, once more where the clock went backwards, or ends one that has run its time.
fn timer(step: String, millis: u64, clock: Clock, input: &Input, now_ms: i64) -> Result<Event, Refusal> {
    match (clock, input) {
        (Clock::Over { .. }, Input::StartTimer) => {
            refuse("The time is over", "Look whether what is waited for has come")
        }
        (Clock::Due | Clock::Running { .. }, Input::StartTimer) => Ok(Event::WaitStarted { step, millis }),
        (Clock::Due | Clock::Over { .. }, _) => Err(unasked(input)),
        (Clock::Running { since_ms, millis }, _) => match timers::left(since_ms, millis, now_ms) {
            Some(0) => Ok(Event::WaitOver { step }),
            Some(left) => refuse("The wait is not over", format!("{} are left", whole_seconds(left))),
            None => refuse("The clock went backwards", "The wait starts again: start its timer"),
        },
    }
}

/// Somebody else than who does the work, and the role they sign in.
fn signer(
    person: &str,
    role: &Name,
    does_the_work: impl Fn(&str) -> bool,
) -> Result<(String, String), Refusal> {
    let person = person.trim();
    if person.is_empty() {
        return refuse("Nobody is named", format!("Give the name of the {}", role.words()));
    }
    if does_the_work(person) {
        return refuse(
            format!("{person} does the work, or did a part of it: a {} must be somebody else", role.words()),
            "Another person looks and signs",
        );
    }
    Ok((person.to_owned(), role.to_string()))
}

fn named_person(person: &str) -> Result<String, Refusal> {
    let person = person.trim();
    if person.is_empty() { refuse("Nobody is named", "Give your name") } else { Ok(person.to_owned()) }
}

fn stop(reason: &str, person: Option<&str>) -> Result<Event, Refusal> {
    let reason = reason.trim();
    if reason.is_empty() {
        return refuse("Work is stopped with a reason", "Give the reason");
    }
    let person = person.map(named_person).transpose()?;
    Ok(Event::Stopped { reason: reason.to_owned(), person })
}
