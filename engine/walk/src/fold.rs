//! How each event changes what is known of a walk.

use crate::belief::Belief;
use crate::event::{Because, Event, Look, ReadingVerdict};
use crate::gate::GateLook;
use crate::lapses::answers_step;
use crate::state::{Doubt, Running, Walk};
use crate::status::Status;
use crate::taking_up;
use document::LabelFigure;
use document::model::Name;
use machine::{Choice, Conjunct, NodeKind, VarId};
use std::sync::Arc;

impl Walk {
    /// Applies a recorded event. Events come from [`Walk::accept`] or from the journal.
    pub(crate) fn apply(&mut self, event: &Event, at_ms: i64) {
        if let Event::Noted { .. } | Event::Photographed { .. } = event {
            self.last_ms = at_ms;
            return;
        }
        if let Event::TakenBack { .. } = event {
            let before = self.before_event();
            self.taken_back(at_ms);
            self.account_for(event, before.as_ref());
            self.judge();
            self.tell_record();
            return;
        }
        let before = self.before_event();
        self.go_behind(event);
        self.given = self.before(event);
        self.surprise = self.told(event);
        self.note_hands(event);
        match event {
            // Of earlier formats nothing is believed.
            Event::Begin(_)
            | Event::Confirmed { .. }
            | Event::NormalConfirmed { .. }
            | Event::Looked { .. }
            | Event::TakenBack { .. }
            | Event::Noted { .. }
            | Event::Photographed { .. } => {}
            Event::Variant { variant, value } => {
                if let Some(var) = self.machine.layout.find(variant) {
                    self.variants_due.retain(|due| *due != var);
                    if let Some(set) = self.machine.layout.bit(var, value) {
                        self.narrow(Conjunct { var, set });
                    }
                }
            }
            Event::Label { procedure, amount, input, figure } => {
                let given = LabelFigure {
                    procedure: procedure.as_deref().map(Name::from),
                    amount: Name::from(amount.as_str()),
                    input: Name::from(input.as_str()),
                };
                self.labels_due.retain(|due| *due != given);
                given.fill(
                    Arc::make_mut(&mut self.library),
                    &Name::from(self.begin.equipment.as_str()),
                    figure,
                );
            }
            Event::Seen { condition, answer, found, .. } => {
                self.seen(condition, *answer, found.as_deref(), at_ms);
            }
            Event::CannotTell { .. } => self.choose(Choice::CannotTell, at_ms),
            Event::Restored { action, .. } => self.restored(action, at_ms),
            Event::Done { .. } => self.act_done(at_ms),
            Event::Fastened { .. } => self.ticks += 1,
            Event::ActBegun { yes, finished, .. } => {
                if self.doubt == Some(Doubt::Begun) {
                    match finished {
                        true => taking_up::was_done(self, at_ms),
                        false => taking_up::undoubted(self, *yes),
                    }
                }
            }
            Event::TicksLooked { yes, .. } => {
                if self.doubt == Some(Doubt::Ticks) {
                    taking_up::undoubted(self, *yes);
                }
            }
            Event::Verified { .. } => self.choose(Choice::Pass, at_ms),
            Event::NotVerified { .. } => self.choose(Choice::Fail, at_ms),
            Event::Released { role, .. } => {
                self.released_by(role);
                if self.node().kind == NodeKind::Hold {
                    self.choose(Choice::Done, at_ms);
                }
            }
            Event::Reading { verdict, .. } => match verdict {
                ReadingVerdict::Within => self.choose(Choice::Pass, at_ms),
                ReadingVerdict::Outside | ReadingVerdict::TooCloseToTell => {
                    self.choose(Choice::Fail, at_ms);
                }
            },
            Event::Answered { answer, .. } => {
                if let Some(choice) = self.answer_choice(answer) {
                    self.choose(choice, at_ms);
                }
            }
            Event::Chosen { step } => {
                if let Some((choice, _)) = self.open_items().into_iter().find(|(_, path)| path == step) {
                    self.choose(choice, at_ms);
                }
            }
            Event::WaitStarted { millis, .. } => {
                self.timer = Some(Running { since_ms: at_ms, millis: *millis, over: false });
            }
            Event::WaitOver { .. } => self.wait_over(at_ms),
            Event::LimitReached { .. } => self.choose(Choice::Fail, at_ms),
            Event::GrownOld { conditions, .. } => self.grew_old(conditions),
            Event::NeverProved { .. } => self.was_outside = true,
            Event::Paused => self.paused = true,
            Event::Resumed { person, .. } => taking_up::resumed(self, person),
            Event::Deviated { .. } => self.deviated(at_ms),
            Event::Stopped { reason, person } => {
                taking_up::stopped(self, person.as_deref());
                self.stopped = Some(reason.clone());
            }
            Event::LeavingDone { .. } | Event::LeavingLooked { .. } => {
                self.leaving.push((at_ms, event.clone()))
            }
            Event::Returned { .. } => self.returned = true,
        }
        self.position += 1;
        self.last_ms = at_ms;
        if self.stopped.is_none() {
            self.settle();
        }
        self.account_for(event, before.as_ref());
        self.judge();
        if self.stopped_ms.is_none() && self.status() == Status::Stopped {
            self.stopped_ms = Some(at_ms);
        }
        self.tell_record();
    }

    /// What comes behind a gate stands on record where it is shut: a program took it that asked less there. The walk goes on as
    /// it did by that.
    fn go_behind(&mut self, event: &Event) {
        for may_move in [true, false] {
            if !self.comes_behind(event) {
                return;
            }
            self.gate = None;
            self.belief = Belief::new(self.state.clone());
            if self.node_id() == machine::DONE {
                self.done_seen = true;
            }
            if !self.has_started {
                self.has_started = true;
                self.hands.begins(&self.person);
            }
            if may_move {
                self.settle();
            }
        }
    }

    /// Whether an event belongs to what comes behind the gate that is shut: the step, or another gate.
    fn comes_behind(&self, event: &Event) -> bool {
        let Some(gate) = &self.gate else { return false };
        match event {
            Event::Seen { because: because @ (Because::BeforeDone | Because::Lapsed), condition, .. } => {
                let is_asked = |look: &GateLook| look.because == *because;
                // What is looked at before done may stand behind a look at what covers it.
                !gate.looks.iter().any(is_asked)
                    || *because == Because::BeforeDone
                        && self.gate_look(self.machine.layout.find(condition)).is_none()
            }
            Event::WaitStarted { step, .. } | Event::WaitOver { step } => {
                let is_named = |(var, _): &(VarId, u64)| *self.machine.layout.var(*var).name == **step;
                *step == self.here() && !gate.waits.iter().any(is_named)
            }
            Event::GrownOld { .. } => true,
            event => answers_step(event),
        }
    }

    /// Notes who took part, before an event moves the walk.
    fn note_hands(&mut self, event: &Event) {
        let path = self.node().path.clone();
        match event {
            Event::Verified { .. }
            | Event::NotVerified { .. }
            | Event::ActBegun { yes: false, .. }
            | Event::TicksLooked { yes: false, .. } => {
                self.hands.is_over(&path, &self.person);
                return;
            }
            Event::Released { person, .. } => self.hands.released(&path, person),
            Event::ActBegun { yes: true, .. } | Event::TicksLooked { yes: true, .. } => {
                self.hands.all_did(&path);
                return;
            }
            Event::Seen { because: Because::Step, .. }
            | Event::CannotTell { .. }
            | Event::Done { .. }
            | Event::Fastened { .. }
            | Event::Reading { .. }
            | Event::Answered { .. }
            | Event::Chosen { .. }
            | Event::WaitOver { .. }
            | Event::LimitReached { .. }
            | Event::Deviated { .. } => {}
            Event::Begin(_)
            | Event::Variant { .. }
            | Event::Label { .. }
            | Event::Seen { .. }
            | Event::Restored { .. }
            | Event::Confirmed { .. }
            | Event::NormalConfirmed { .. }
            | Event::Looked { .. }
            | Event::WaitStarted { .. }
            | Event::GrownOld { .. }
            | Event::NeverProved { .. }
            | Event::TakenBack { .. }
            | Event::Noted { .. }
            | Event::Photographed { .. }
            | Event::Paused
            | Event::Resumed { .. }
            | Event::Stopped { .. }
            | Event::LeavingDone { .. }
            | Event::LeavingLooked { .. }
            | Event::Returned { .. } => return,
        }
        if self.gate.is_none() && !matches!(self.node().kind, NodeKind::Verify { .. }) {
            self.hands.did(&path, &self.person);
        }
    }

    /// A look was answered: of a gate, or of the step.
    fn seen(&mut self, condition: &str, answer: Look, found: Option<&str>, at_ms: i64) {
        if self.gate.is_some() {
            if let Some(at) = self.gate_look(self.machine.layout.find(condition)) {
                self.gate_answered(at, answer, found, at_ms);
            }
            return;
        }
        if let NodeKind::Tick(tick) = &self.node().kind
            && self.machine.layout.find(condition) == Some(tick.asked.var)
        {
            self.choose(self.choice(tick.asked.var, answer, found), at_ms);
        }
    }

    /// What is told of an answer that contradicts the record, what is seen against what the record said; and of a reading that is not
    /// accepted, why.
    fn told(&self, event: &Event) -> Option<String> {
        match event {
            Event::Seen { condition, values, answer, found, recorded, .. } if !recorded.is_empty() => {
                let layout = &self.machine.layout;
                let var = layout.find(condition)?;
                let due = Conjunct { var, set: layout.set_of(var, values) };
                let seen = self.seen_set(due, *answer, found.as_deref())?;
                Some(format!(
                    "The {} is {}, though by the record it was {}. What is seen counts.",
                    layout.var(var).label,
                    layout.words_of(var, seen).join(" or "),
                    recorded.join(" or ")
                ))
            }
            Event::Reading { reading, verdict: ReadingVerdict::Outside, .. } => {
                Some(format!("The reading {reading} is outside what is accepted here."))
            }
            Event::Reading { reading, verdict: ReadingVerdict::TooCloseToTell, .. } => Some(format!(
                "The reading {reading} is too close to a limit for this instrument to tell: it counts as outside."
            )),
            Event::Answered { recorded, .. } if !recorded.is_empty() => {
                Some(format!("By the record {}. What is seen counts.", recorded.join(", ")))
            }
            _ => None,
        }
    }
}
