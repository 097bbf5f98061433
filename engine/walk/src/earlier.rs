//! Walks of record format 1, made before "proved" had its present meaning. They are read and told as they were and never
//! replayed through the machine, which would believe other things: where they stand follows from the documents and from what
//! was said, and nothing is believed of the machine worked on.

mod cursor;

use crate::event::{Begin, Event, ReadingVerdict};
use crate::field::step_of;
use crate::status::Status;
use cursor::{Cursor, End, Phase};
use document::model::{Equipment, Kind, Name};
use document::{InputFile, LabelFigure, Library};
use std::collections::BTreeSet;

/// Where a walk of format 1 stands by its events, in order and without its beginning.
pub(crate) fn status<'e>(
    begin: &Begin,
    library: &Library,
    events: impl Iterator<Item = &'e Event>,
) -> Status {
    let procedure = library.procedures.get(begin.procedure.as_str());
    let Some(procedure) = procedure else { return without_documents(events) };
    let cursor = Cursor::new(library, &procedure.model);
    let mut follower = Follower {
        equipment: library.equipment.get(begin.equipment.as_str()).map(|document| &document.model),
        before: Before::new(begin, library),
        cursor,
        has_begun: false,
        seen: BTreeSet::new(),
        timer: false,
        unverified: None,
        owed: BTreeSet::new(),
        deviations: 0,
        is_paused: false,
        is_stopped: false,
    };
    follower.begin();
    for event in events {
        follower.apply(event);
        follower.begin();
    }
    follower.status()
}

/// The documents as they were, whatever this program says of them today.
pub(crate) fn documents(begin: &Begin) -> Library {
    let file = |document: &crate::event::DocumentText| InputFile {
        name: document.name.clone(),
        bytes: document.text.clone().into_bytes(),
    };
    document::read(&begin.documents.iter().map(file).collect::<Vec<_>>()).library
}

/// Where documents cannot be read any more only what ends or pauses a walk tells.
fn without_documents<'e>(events: impl Iterator<Item = &'e Event>) -> Status {
    let mut status = Status::InProgress;
    for event in events {
        match event {
            Event::Stopped { .. } => return Status::Stopped,
            Event::Paused => status = Status::Interrupted,
            _ if step_of(event).is_some() => status = Status::InProgress,
            _ => {}
        }
    }
    status
}

/// What is still to be said before step 1.
struct Before {
    variants: BTreeSet<String>,
    labels: Vec<LabelFigure>,
    conditions: BTreeSet<String>,
    normals: bool,
}

impl Before {
    fn new(begin: &Begin, library: &Library) -> Self {
        let equipment = library.equipment.get(begin.equipment.as_str()).map(|document| &document.model);
        let procedure = library.procedures.get(begin.procedure.as_str()).map(|document| &document.model);
        let requires = procedure.map(|procedure| &procedure.requires);
        let is_open = |name: &Name, values: usize| {
            let known = equipment.and_then(|equipment| equipment.conditions.get(name));
            known.is_some_and(|condition| values < condition.values.len())
        };
        let required = requires.into_iter().flatten().filter(|(name, values)| is_open(name, values.0.len()));
        let conditions = required.map(|(name, _)| name.to_string()).collect();
        let is_normal = |(name, condition): (&Name, &document::model::Condition)| {
            condition.normal.is_some() && requires.is_none_or(|requires| !requires.contains_key(name))
        };
        Self {
            variants: equipment
                .into_iter()
                .flat_map(|equipment| equipment.variants.keys())
                .map(ToString::to_string)
                .collect(),
            labels: document::label_figures(library, &Name::from(begin.procedure.as_str())),
            conditions,
            normals: equipment.is_some_and(|equipment| equipment.conditions.iter().any(is_normal)),
        }
    }

    fn is_over(&self) -> bool {
        self.variants.is_empty() && self.labels.is_empty() && self.conditions.is_empty() && !self.normals
    }
}

/// What was done or found and waits for a second person.
#[derive(Clone, Copy)]
enum Due {
    /// The step is over then.
    Finish,
    /// That answer leads on then.
    Answer(usize),
}

struct Follower<'a> {
    equipment: Option<&'a Equipment>,
    before: Before,
    cursor: Cursor<'a>,
    has_begun: bool,
    /// Conditions of the present look that were answered yes.
    seen: BTreeSet<String>,
    timer: bool,
    unverified: Option<Due>,
    /// What is still asked after an act that was done otherwise.
    owed: BTreeSet<String>,
    deviations: u32,
    is_paused: bool,
    is_stopped: bool,
}

impl<'a> Follower<'a> {
    /// Comes to the first step once nothing is to be said before it.
    fn begin(&mut self) {
        if !self.has_begun && self.before.is_over() {
            self.has_begun = true;
            self.cursor.arrive();
        }
    }

    fn apply(&mut self, event: &Event) {
        match event {
            Event::Variant { variant, value } => {
                self.before.variants.remove(variant);
                self.cursor.variants.insert(variant.clone(), value.clone());
            }
            Event::Label { procedure, amount, input, .. } => {
                let given = LabelFigure {
                    procedure: procedure.as_deref().map(Name::from),
                    amount: Name::from(amount.as_str()),
                    input: Name::from(input.as_str()),
                };
                self.before.labels.retain(|due| *due != given);
            }
            Event::Confirmed { condition, .. } => {
                self.before.conditions.remove(condition);
                self.owed.remove(condition);
            }
            Event::NormalConfirmed { .. } => self.before.normals = false,
            Event::Looked { condition, yes: true, .. } => {
                self.seen.insert(condition.clone());
                if self.asked().iter().all(|name| self.seen.contains(*name)) {
                    self.verified(Due::Finish);
                }
            }
            Event::Looked { yes: false, .. } | Event::LimitReached { .. } => self.moved(Cursor::fail),
            Event::Done { .. } => self.verified(Due::Finish),
            Event::Verified { .. } => {
                if let Some(due) = self.unverified.take() {
                    self.take(due);
                }
            }
            Event::Released { .. } => self.moved(Cursor::finish),
            Event::Reading { verdict: ReadingVerdict::Within, .. } => self.verified(Due::Finish),
            Event::Reading { attempt, .. } => {
                if let Some(Kind::Measure(measure)) = self.cursor.step().map(|step| &step.kind)
                    && *attempt > measure.retests
                {
                    self.moved(Cursor::fail);
                }
            }
            Event::Answered { answer, .. } => {
                let at = self
                    .cursor
                    .step()
                    .and_then(|step| step.kind.answers().position(|(word, _)| word == answer));
                if let Some(at) = at {
                    self.verified(Due::Answer(at));
                }
            }
            Event::Chosen { step } => self.moved(|cursor| cursor.choose(step)),
            Event::WaitStarted { .. } => self.timer = true,
            Event::WaitOver { step } => {
                self.timer = false;
                self.owed.remove(step);
                let is_wait = matches!(self.cursor.step().map(|step| &step.kind), Some(Kind::Wait(_)));
                if is_wait && *step == self.cursor.path() && self.asked().is_empty() {
                    self.verified(Due::Finish);
                }
            }
            Event::Paused => self.is_paused = true,
            Event::Resumed { unannounced, .. } => {
                self.is_paused = false;
                self.timer &= !unannounced;
            }
            Event::Deviated { .. } => {
                self.deviations += 1;
                self.owed = self.left_by_act();
                self.moved(Cursor::finish);
            }
            Event::Stopped { .. } => self.is_stopped = true,
            // What later formats say is said of these walks only after the stop.
            Event::Seen { .. }
            | Event::CannotTell { .. }
            | Event::Restored { .. }
            | Event::NotVerified { .. }
            | Event::ActBegun { .. }
            | Event::Begin(_)
            | Event::Fastened { .. }
            | Event::TicksLooked { .. }
            | Event::TakenBack { .. }
            | Event::Noted { .. }
            | Event::Photographed { .. }
            | Event::LeavingDone { .. }
            | Event::LeavingLooked { .. }
            | Event::GrownOld { .. }
            | Event::NeverProved { .. }
            | Event::Returned { .. } => {}
        }
    }

    /// The conditions that are asked one by one where the walk stands.
    fn asked(&self) -> Vec<&str> {
        let cube = match (self.cursor.step().map(|step| &step.kind), self.cursor.phase) {
            (Some(Kind::Confirm(cube)), Phase::Body) => cube,
            (Some(Kind::Wait(wait)), Phase::Body) => &wait.until,
            (Some(Kind::Repeat(repeat)), Phase::Until) => &repeat.until,
            _ => return Vec::new(),
        };
        cube.keys().map(|name| &**name).collect()
    }

    fn verified(&mut self, due: Due) {
        if self.cursor.step().is_some_and(|step| step.common.verified_by.is_some()) {
            self.unverified = Some(due);
        } else {
            self.take(due);
        }
    }

    fn take(&mut self, due: Due) {
        match due {
            Due::Finish => self.moved(Cursor::finish),
            Due::Answer(at) => {
                let to = self.cursor.step().and_then(|step| step.kind.answers().nth(at));
                if let Some((_, answer)) = to {
                    let target = &answer.target().0;
                    self.moved(|cursor| cursor.go(target));
                }
            }
        }
    }

    /// What the present act leaves.
    fn left_by_act(&self) -> BTreeSet<String> {
        let Some(step) = self.cursor.step() else { return BTreeSet::new() };
        let action = step.kind.action().and_then(|name| self.equipment?.actions.get(name));
        let leaves =
            step.common.leaves.keys().chain(action.into_iter().flat_map(|action| action.leaves.keys()));
        leaves.map(ToString::to_string).collect()
    }

    fn moved(&mut self, along: impl FnOnce(&mut Cursor<'a>)) {
        along(&mut self.cursor);
        self.seen.clear();
        self.timer = false;
        self.unverified = None;
    }

    fn status(&self) -> Status {
        if self.is_stopped || self.cursor.end == Some(End::Stop) {
            return Status::Stopped;
        }
        if self.is_paused {
            return Status::Interrupted;
        }
        if !self.before.is_over() {
            return Status::NotStarted;
        }
        if self.unverified.is_some() {
            return Status::AwaitingVerification;
        }
        let is_hold = matches!(self.cursor.step().map(|step| &step.kind), Some(Kind::Hold(_)));
        match self.cursor.end {
            Some(End::Done) if self.owed.is_empty() && self.deviations > 0 => Status::CompletedWithDeviation,
            Some(End::Done) if self.owed.is_empty() => Status::Completed,
            _ if self.timer => Status::Waiting,
            None if is_hold => Status::OnHold,
            None | Some(End::Done | End::Stop) => Status::InProgress,
        }
    }
}
