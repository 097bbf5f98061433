//! What a person says, and whether it is taken: an event, or a refusal with the reason and what would open the gate.

use crate::advance;
use crate::event::Event;
use crate::lapses::same_person;
use crate::leaving::Leaving;
use crate::state::Walk;
use crate::waits;
use calc::quantity::{Duration, Quantity, Range, Verdict};
use document::model::{Figure, Instrument, Kind, Measure, Question};
use machine::{Choice, NodeKind};
use std::fmt;

pub(crate) const WITHIN: &str = "within";

/// What a person says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Input {
    /// The value of the variant asked for.
    Variant(String),
    /// Yes or no to the question asked.
    Look(bool),
    /// The act is done.
    Done,
    /// This fastener is done.
    Fastener(u32),
    /// A second person signs: a hold point or a verification.
    Sign(String),
    /// A reading with its unit.
    Reading(String),
    /// An answer, as authored.
    Answer(String),
    /// The item to be done next, by its step's name.
    Item(String),
    /// Starts the timer that is due.
    StartTimer,
    /// The timer has run its time.
    TimerOver,
    /// What was waited for did not come.
    LimitReached,
    /// A remark.
    Note(String),
    /// The walk pauses.
    Pause,
    /// The walk goes on.
    Resume {
        /// Who walks from here.
        person: String,
    },
    /// Work stops.
    Stop(String),
    /// A photo, by the hash of its bytes.
    Photo {
        /// SHA-256, 64 hexadecimal digits.
        photo: String,
        /// What it shows.
        caption: String,
    },
    /// The act was done otherwise than written.
    Deviate {
        /// Why, and what was done instead.
        reason: String,
        /// Who allows it.
        person: String,
        /// In which role.
        role: String,
    },
    /// After a stop: something said on the way to leave the machine, or its release.
    Leaving(Leaving),
}

/// Why an input is not taken. Nothing is recorded.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refusal {
    /// The reason.
    pub reason: String,
    /// What would open the gate.
    pub opens: String,
}

impl fmt::Display for Refusal {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}. {}.", self.reason, self.opens)
    }
}

impl std::error::Error for Refusal {}

/// What is left of a wait, rounded up: a wait must never seem shorter than it is.
fn whole_seconds(millis: u64) -> Duration {
    Duration::from_millis(millis.div_ceil(1000).saturating_mul(1000))
}

pub(crate) fn refuse<T>(reason: impl Into<String>, opens: impl Into<String>) -> Result<T, Refusal> {
    Err(Refusal { reason: reason.into(), opens: opens.into() })
}

impl Walk {
    /// Turns an input into the event to be recorded.
    ///
    /// # Errors
    /// With the reason, if the input does not fit where the walk is or would pass a gate that is false or unknown.
    pub fn accept(&self, input: &Input, now_ms: i64) -> Result<Event, Refusal> {
        let status = self.status();
        if let Input::Leaving(said) = input {
            return self.leave(said);
        }
        if status.is_ended() {
            return refuse(format!("The walk is {}", status.words()), "Begin a new one");
        }
        match input {
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
            _ if self.paused => refuse("The walk is paused", "Resume it first"),
            Input::Pause => Ok(Event::Paused),
            Input::Sign(person) => self.sign(person),
            _ if self.unverified.is_some() && self.gate().is_none() => {
                refuse("The step awaits its verification", "A second person looks and signs")
            }
            Input::StartTimer => self.start_timer(),
            Input::TimerOver => self.timer_over(now_ms),
            _ if self.timer.is_some_and(|timer| !timer.over) => {
                let left = self.timer.and_then(|timer| waits::left(timer, now_ms));
                let opens = match left {
                    Some(left) => format!("{} are left", whole_seconds(left)),
                    None => "The clock went backwards: the wait starts again".to_owned(),
                };
                refuse("The wait is not over", opens)
            }
            Input::Variant(value) => self.variant(value),
            Input::Reading(text) if self.label_due().is_some() => self.label(text),
            _ if self.label_due().is_some() => {
                refuse("A figure of the product's label is asked for", "Give it with its unit")
            }
            Input::Look(yes) => self.look(*yes),
            _ if !self.variants_due.is_empty() => {
                refuse("The variant is not known", "Choose one of its values")
            }
            _ if self.gate().is_some() || self.is_starting() => {
                refuse("A condition is to be confirmed first", "Look at it and answer yes or no")
            }
            _ if self.ticks_doubted => {
                refuse("The ticked fasteners are to be looked at first", "Look at them and answer yes or no")
            }
            Input::Done => self.done(),
            Input::Deviate { reason, person, role } => self.deviate(reason, person, role),
            Input::Fastener(fastener) => self.fastener(*fastener),
            Input::Reading(text) => self.reading(text),
            Input::Answer(answer) => self.answer(answer),
            Input::Item(item) => self.item(item),
            Input::LimitReached => self.limit_reached(now_ms),
            // Taken above, wherever the walk stands.
            Input::Leaving(said) => self.leave(said),
        }
    }

    pub(crate) fn here(&self) -> String {
        self.node().path.clone()
    }

    fn variant(&self, value: &str) -> Result<Event, Refusal> {
        let Some(&due) = self.variants_due.first() else {
            return refuse("No variant is asked for", "Do what the step says");
        };
        let var = self.machine.layout.var(due);
        if !var.values.iter().any(|known| known == value) {
            return refuse(
                format!("`{value}` is not a {} of this equipment", var.label),
                format!("Choose one of {}", var.values.join(", ")),
            );
        }
        Ok(Event::Variant { variant: var.name.to_string(), value: value.to_owned() })
    }

    fn look(&self, yes: bool) -> Result<Event, Refusal> {
        let layout = &self.machine.layout;
        if !self.variants_due.is_empty() {
            return refuse("The variant is not known", "Choose one of its values");
        }
        if let Some(gate) = self.gate() {
            if waits::due(self).is_some() {
                return refuse("This cannot be seen, only waited for", "Start the timer");
            }
            let var = layout.var(gate.var);
            let values = self.values(gate);
            if !yes {
                return refuse(
                    format!(
                        "The gate stays shut: {} must be {}",
                        var.label,
                        document::model::either(&values)
                    ),
                    "Make it so and look again, or stop work",
                );
            }
            return Ok(Event::Confirmed { condition: var.name.to_string(), values });
        }
        if !self.normals_due.is_empty() {
            if !yes {
                return refuse(
                    "The gate stays shut: the machine is not as it should be handed on",
                    "Make it so and look again, or stop work",
                );
            }
            let words = |set, var| layout.words_of(var, set).join(" or ");
            let conditions = self
                .normals_due
                .iter()
                .map(|due| (layout.var(due.var).name.to_string(), words(due.set, due.var)))
                .collect();
            return Ok(Event::NormalConfirmed { conditions });
        }
        if self.ticks_doubted {
            return Ok(Event::TicksLooked { step: self.here(), yes });
        }
        let Some(conjunct) = advance::next_question(self) else {
            return refuse("Nothing is asked that yes or no would answer", "Do what the step says");
        };
        if matches!(self.node().kind, NodeKind::Wait(_)) && !yes {
            return refuse("What is waited for has not come", "Wait on, or say so when the limit is reached");
        }
        let contradicts = !advance::is_fresh(self)
            && self.states.iter().all(|state| {
                let field = state.bits.field(layout, conjunct.var);
                if yes { field & conjunct.set == 0 } else { field & !conjunct.set == 0 }
            });
        let var = layout.var(conjunct.var);
        let values = self.values(conjunct);
        if contradicts {
            return refuse(
                format!(
                    "By the record {} cannot be so: what you see and what was recorded differ",
                    var.label
                ),
                "Look again; if it stays so, stop work",
            );
        }
        Ok(Event::Looked { step: self.here(), condition: var.name.to_string(), values, yes })
    }

    fn done(&self) -> Result<Event, Refusal> {
        if let Some(tick) = self.tick() {
            return refuse(
                format!("Fasteners of pass {} of {} are still open", tick.pass, tick.passes),
                format!("Fastener {} is next", tick.next().unwrap_or_default()),
            );
        }
        match &self.node().kind {
            NodeKind::Act => Ok(Event::Done { step: self.here() }),
            NodeKind::Hold => refuse("This is a hold point", "The named role releases it by name"),
            NodeKind::Measure { .. } => refuse("A reading is due", "Give it with its unit"),
            NodeKind::Ask => refuse("A question is asked", "Give one of its answers"),
            NodeKind::Wait(_) if self.timer.is_none() => refuse("A wait is due", "Start its timer"),
            NodeKind::AnyOrder { .. } => refuse("Items are still open", "Choose the next one"),
            _ => refuse("Conditions are asked", "Look and answer yes or no"),
        }
    }

    fn sign(&self, person: &str) -> Result<Event, Refusal> {
        if self.gate().is_some() || self.is_starting() {
            return refuse("A condition is to be confirmed first", "Look at it and answer yes or no");
        }
        let step = self.step();
        let role = if self.unverified.is_some() {
            step.and_then(|step| step.common.verified_by.as_ref())
        } else {
            step.and_then(
                |step| if let Kind::Hold(hold) = &step.kind { Some(&hold.released_by) } else { None },
            )
        };
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
        let (step, person, role) = (self.here(), person.to_owned(), role.to_string());
        Ok(if self.unverified.is_some() {
            Event::Verified { step, person, role }
        } else {
            Event::Released { step, person, role }
        })
    }

    fn reading(&self, text: &str) -> Result<Event, Refusal> {
        let (Some(Kind::Measure(measure)), NodeKind::Measure { attempt, .. }) =
            (self.step().map(|step| &step.kind), &self.node().kind)
        else {
            return refuse("No reading is due here", "Do what the step says");
        };
        let unit = self.instrument(measure).map(|instrument| instrument.unit.clone()).unwrap_or_default();
        let reading = Quantity::parse(text).or_else(|error| {
            refuse(format!("`{text}` is no reading: {error}"), format!("Give it in {unit}, with the unit"))
        })?;
        let (range, uncertainty) = self.acceptance(measure).or_else(|error| {
            refuse(format!("The range of this reading is faulty: {error}"), "Stop work and tell the trainer")
        })?;
        let verdict = range.judge(&reading, uncertainty.as_ref()).or_else(|error| {
            refuse(format!("`{text}` does not fit this reading: {error}"), format!("Give it in {unit}"))
        })?;
        let verdict = match verdict {
            Verdict::Within => WITHIN,
            Verdict::Outside => "outside",
            Verdict::TooCloseToTell => "too close to tell",
        };
        Ok(Event::Reading {
            step: self.here(),
            reading: text.trim().to_owned(),
            attempt: *attempt,
            verdict: verdict.to_owned(),
        })
    }

    pub(crate) fn instrument(&self, measure: &Measure) -> Option<&Instrument> {
        self.equipment()?.instruments.get(&measure.instrument)
    }

    /// A figure of the present step, for the variants of this machine.
    pub(crate) fn figure(&self, figure: &Figure) -> Result<Option<Quantity>, String> {
        let (Some(equipment), Some(document)) = (self.equipment(), self.document()) else {
            return Err("its documents are missing".to_owned());
        };
        let cases = document::figure_cases(equipment, Some(&document.model), figure);
        let cases = cases.map_err(|error| error.to_string())?;
        let layout = &self.machine.layout;
        let fits = |(variant, value): &(document::model::Name, String)| {
            let Some(var) = layout.find(variant) else { return false };
            let set = self.states.first().map(|state| state.bits.field(layout, var));
            set.is_some() && set == layout.bit(var, value)
        };
        let case = cases.into_iter().find(|case| case.variants.iter().all(fits));
        Ok(case.map(|case| case.quantity))
    }

    /// The range of a reading and the uncertainty of its instrument.
    pub(crate) fn acceptance(&self, measure: &Measure) -> Result<(Range, Option<Quantity>), String> {
        let limit = |figure: &Option<Figure>| -> Result<Option<Quantity>, String> {
            figure.as_ref().map_or(Ok(None), |figure| self.figure(figure))
        };
        let range = Range::new(limit(&measure.at_least)?, limit(&measure.at_most)?);
        let uncertainty = self.instrument(measure).and_then(|instrument| instrument.uncertainty.as_deref());
        let uncertainty = uncertainty.map(Quantity::parse).transpose().map_err(|error| error.to_string())?;
        Ok((range.map_err(|error| error.to_string())?, uncertainty))
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

    fn start_timer(&self) -> Result<Event, Refusal> {
        let Some(millis) = waits::due(self) else {
            return refuse("No wait is due here", "Do what the step says");
        };
        if self.timer.is_some_and(|timer| timer.over) {
            return refuse("The time is over", "Look whether what is waited for has come");
        }
        Ok(Event::WaitStarted { step: self.wait_name(), millis })
    }

    fn wait_name(&self) -> String {
        match self.gate() {
            Some(gate) => self.machine.layout.var(gate.var).name.to_string(),
            None => self.here(),
        }
    }

    fn timer_over(&self, now_ms: i64) -> Result<Event, Refusal> {
        let Some(timer) = self.timer.filter(|timer| !timer.over) else {
            return refuse("No timer runs", "Start it first");
        };
        match waits::left(timer, now_ms) {
            Some(0) => Ok(Event::WaitOver { step: self.wait_name() }),
            Some(left) => refuse("The wait is not over", format!("{} are left", whole_seconds(left))),
            None => refuse("The clock went backwards", "The wait starts again: start its timer"),
        }
    }

    fn limit_reached(&self, now_ms: i64) -> Result<Event, Refusal> {
        let (Some(timer), Some(limit)) = (self.timer, waits::limit(self)) else {
            return refuse("No limit runs here", "Do what the step says");
        };
        let passed = u64::try_from(now_ms - timer.since_ms).unwrap_or(0);
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
