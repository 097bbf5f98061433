//! Whether what a person says is taken: an event, or a refusal with the reason and what would open the gate.

use crate::advance;
use crate::event::Event;
use crate::input::Input;
use crate::questions::is_fresh;
use crate::refusal::{Refusal, refuse};
use crate::refused::{refused, unasked, whole_seconds};
use crate::stage::Stage;
use crate::state::Walk;
use crate::timers::{self, Clock};
use calc::quantity::Quantity;
use document::model::{Kind, Name, Question};
use document::same_person;
use machine::{Choice, Conjunct, VarId};

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
            Input::Note(text) => Ok(Event::Noted { step: self.here(), text: text.clone() }),
            Input::Photo { photo, caption } => Ok(Event::Photographed {
                step: self.here(),
                photo: photo.clone(),
                caption: caption.trim().to_owned(),
            }),
            Input::Stop(reason) if reason.trim().is_empty() => {
                refuse("Work is stopped with a reason", "Give the reason")
            }
            Input::Stop(reason) => Ok(Event::Stopped { reason: reason.trim().to_owned() }),
            Input::Resume { person } if person.trim().is_empty() => {
                refuse("Nobody is named", "Give your name")
            }
            Input::Resume { person } => {
                Ok(Event::Resumed { person: person.trim().to_owned(), unannounced: !self.paused })
            }
            Input::Pause if self.paused => refuse("The walk is paused", "Resume it first"),
            Input::Pause => Ok(Event::Paused),
            Input::Variant(_)
            | Input::Look(_)
            | Input::Done
            | Input::Fastener(_)
            | Input::Sign(_)
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

    /// What is taken at each stage: an answer to what it asks for. Whatever else is said is refused.
    fn at_stage(&self, stage: &Stage, input: &Input, now_ms: i64) -> Result<Event, Refusal> {
        match (input, stage) {
            (Input::Variant(value), Stage::Variant(due)) => self.variant(*due, value),
            (Input::Reading(text), Stage::Label(_)) => self.label(text),
            (Input::Look(yes), Stage::Gate { due, .. }) => self.confirm(*due, *yes),
            (Input::Look(yes), Stage::Normals) => self.confirm_normals(*yes),
            (Input::Look(yes), Stage::TicksDoubted) => {
                Ok(Event::TicksLooked { step: self.here(), yes: *yes })
            }
            (Input::Look(yes), Stage::Look(conjunct)) => self.look(*conjunct, *yes),
            (
                Input::Look(true),
                Stage::Wait { clock: Clock::Over { .. }, until: Some(conjunct), millis: _ },
            ) => self.look(*conjunct, true),
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
            (Input::Sign(person), Stage::Verification(_)) => self.verify(person),
            (Input::Sign(person), Stage::Hold) => self.release(person),
            (Input::Fastener(fastener), Stage::Fasten(tick)) => self.fastener(tick, *fastener),
            (Input::Deviate { reason, person, role }, Stage::Fasten(_) | Stage::Act) => {
                self.deviate(reason, person, role)
            }
            (Input::Done, Stage::Act) => Ok(Event::Done { step: self.here() }),
            (Input::Reading(text), Stage::Measure { attempt, .. }) => self.reading(*attempt, text),
            (Input::Answer(answer), Stage::Ask) => self.answer(answer),
            (Input::Item(item), Stage::Item) => self.item(item),
            // A new input does not compile until somebody says where it is taken.
            (
                Input::Variant(_)
                | Input::Look(_)
                | Input::Done
                | Input::Fastener(_)
                | Input::Sign(_)
                | Input::Reading(_)
                | Input::Answer(_)
                | Input::Item(_)
                | Input::StartTimer
                | Input::TimerOver
                | Input::LimitReached
                | Input::Note(_)
                | Input::Pause
                | Input::Resume { .. }
                | Input::Stop(_)
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

    fn confirm(&self, due: Conjunct, yes: bool) -> Result<Event, Refusal> {
        let var = self.machine.layout.var(due.var);
        let values = self.values(due);
        if !yes {
            return refuse(
                format!("The gate stays shut: {} must be {}", var.label, document::model::either(&values)),
                "Make it so and look again, or stop work",
            );
        }
        Ok(Event::Confirmed { condition: var.name.to_string(), values })
    }

    fn confirm_normals(&self, yes: bool) -> Result<Event, Refusal> {
        if !yes {
            return refuse(
                "The gate stays shut: the machine is not as it should be handed on",
                "Make it so and look again, or stop work",
            );
        }
        let name = |due: &Conjunct| self.machine.layout.var(due.var).name.to_string();
        let conditions = self.normals_due.iter().map(|due| (name(due), self.values(*due).join(" or ")));
        Ok(Event::NormalConfirmed { conditions: conditions.collect() })
    }

    fn look(&self, conjunct: Conjunct, yes: bool) -> Result<Event, Refusal> {
        let layout = &self.machine.layout;
        let var = layout.var(conjunct.var);
        let contradicts = !is_fresh(self)
            && self.states.iter().all(|state| {
                let field = state.bits.field(layout, conjunct.var);
                if yes { field & conjunct.set == 0 } else { field & !conjunct.set == 0 }
            });
        if contradicts {
            return refuse(
                format!(
                    "By the record {} cannot be so: what you see and what was recorded differ",
                    var.label
                ),
                "Look again; if it stays so, stop work",
            );
        }
        let (step, condition, values) = (self.here(), var.name.to_string(), self.values(conjunct));
        Ok(Event::Looked { step, condition, values, yes })
    }

    fn verify(&self, person: &str) -> Result<Event, Refusal> {
        let (person, role) =
            self.signer(person, self.step().and_then(|step| step.common.verified_by.as_ref()))?;
        Ok(Event::Verified { step: self.here(), person, role })
    }

    fn release(&self, person: &str) -> Result<Event, Refusal> {
        let Some(Kind::Hold(hold)) = self.step().map(|step| &step.kind) else {
            return refuse("Nobody's signature is due here", "Do what the step says");
        };
        let (person, role) = self.signer(person, Some(&hold.released_by))?;
        Ok(Event::Released { step: self.here(), person, role })
    }

    /// Somebody else than who does the work, and the role they sign in.
    fn signer(&self, person: &str, role: Option<&Name>) -> Result<(String, String), Refusal> {
        let Some(role) = role else {
            return refuse("Nobody's signature is due here", "Do what the step says");
        };
        let person = person.trim();
        if person.is_empty() {
            return refuse("Nobody is named", format!("Give the name of the {}", role.words()));
        }
        if same_person(person, &self.person) {
            return refuse(
                format!("{person} does the work: a {} must be somebody else", role.words()),
                "Another person looks and signs",
            );
        }
        Ok((person.to_owned(), role.to_string()))
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
        let Some(Kind::Ask(Question { answers, .. })) = self.step().map(|step| &step.kind) else {
            return refuse("No question is asked here", "Do what the step says");
        };
        let known: Vec<&str> = answers.keys().map(String::as_str).collect();
        let Some(choice) = advance::answer_choice(self, answer) else {
            return refuse(
                format!("`{answer}` is not one of the answers"),
                format!("Answer {}", known.join(" or ")),
            );
        };
        if advance::after(self, choice).is_none() {
            return refuse(
                "By the record this cannot be so: what you see and what was recorded differ",
                "Look again; if it stays so, stop work",
            );
        }
        Ok(Event::Answered { step: self.here(), answer: answer.to_owned() })
    }

    fn item(&self, item: &str) -> Result<Event, Refusal> {
        let open = advance::open_items(self);
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
        if advance::after(self, Choice::Fail).is_none() {
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
