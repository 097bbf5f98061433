//! The stage a walk is at: what is asked, what is taken, how the walk stands and what heads the page all follow from it.

use crate::event::Because;
use crate::gate::Next;
use crate::reading::Reading;
use crate::state::{Doubt, Walk};
use crate::status::Status;
use crate::ticks::Tick;
use crate::timers::{self, Clock};
use machine::{Choice, Conjunct, LookKind, NodeKind, VarId};

/// Where a walk is, with what decides what comes next.
#[derive(Clone, Debug)]
pub enum Stage {
    /// Nothing more is recorded but how the machine is left.
    Ended(Ending),
    /// Nobody walks until somebody goes on.
    Paused,
    /// A walk of format 1 that is not over: it is stopped, or finished on paper.
    Earlier(Status),
    /// Before step 1: which variant the machine is.
    Variant(VarId),
    /// Before step 1: a figure of the product's label.
    Label(Reading),
    /// A condition is to be looked at before anything else.
    Gate {
        /// The condition with the values one of which it must have.
        due: Conjunct,
        /// Why.
        because: Because,
        /// Which of the looks it is, from 1.
        number: usize,
        /// How many there are.
        of: usize,
        /// What comes once all are yes.
        behind: Behind,
    },
    /// A look was not yes: the gate stays shut.
    Shut {
        /// The condition with the values one of which it must have.
        due: Conjunct,
        /// Why it is asked.
        because: Because,
        /// The equipment's actions that may put it right, by name.
        offers: Vec<String>,
        /// Whether it may be looked at once more; if not, work stops here.
        may_look: bool,
        /// What would have come.
        behind: Behind,
    },
    /// Before anything else a condition is waited for that nobody can look at.
    Settle {
        /// The condition with the values to which it settles.
        due: Conjunct,
        /// How long that takes, in milliseconds.
        millis: u64,
        /// The timer.
        clock: Clock,
        /// What comes once it is over.
        behind: Behind,
    },
    /// The walk was interrupted at an act: whether that had been begun.
    BegunDoubted,
    /// The walk was interrupted among fasteners: those that are ticked are looked at.
    TicksDoubted,
    /// What was done or found waits for a second person.
    Verification,
    /// One fastener after the other.
    Fasten(Tick),
    /// An act.
    Act,
    /// A hold point.
    Hold,
    /// A reading.
    Measure {
        /// Which attempt, from 1.
        attempt: u32,
        /// How many there are.
        attempts: u32,
    },
    /// A question.
    Ask,
    /// The next item of an any-order block is chosen.
    Item,
    /// A wait.
    Wait {
        /// How long, in milliseconds.
        millis: u64,
        /// Its timer.
        clock: Clock,
        /// What else must have come, asked once the time is over.
        until: Option<machine::Tick>,
    },
    /// A condition that the step looks at.
    Look(machine::Tick),
    /// What comes next was not proved from here, and why: nothing but a stop is left.
    Locked(String),
}

/// How a walk ended.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Ending {
    /// Work was stopped, or the procedure says to stop.
    Stopped,
    /// The last step is done and all promises are kept.
    Completed,
    /// The same, with at least one act done otherwise than written.
    CompletedWithDeviation,
}

/// What comes behind a gate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Behind {
    /// The first step.
    Start,
    /// A second person's signature.
    Verification,
    /// A hold point.
    Hold,
    /// Any other step, or the end.
    Step,
}

/// What heads the question.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Heading {
    /// Something is asked before step 1.
    BeforeStart,
    /// Something is looked at once more.
    ConfirmAgain,
    /// Something is waited for once more.
    WaitAgain,
    /// Something is looked at before the work counts as done.
    BeforeDone,
    /// The step itself.
    Step,
}

impl Ending {
    /// The same as where the walk stands.
    #[must_use]
    pub fn status(self) -> Status {
        match self {
            Self::Stopped => Status::Stopped,
            Self::Completed => Status::Completed,
            Self::CompletedWithDeviation => Status::CompletedWithDeviation,
        }
    }
}

impl Behind {
    fn status(self) -> Status {
        match self {
            Self::Start => Status::NotStarted,
            Self::Verification => Status::AwaitingVerification,
            Self::Hold => Status::OnHold,
            Self::Step => Status::InProgress,
        }
    }
}

impl Because {
    fn heading(self) -> Heading {
        match self {
            Self::BeforeStart | Self::ByRecord => Heading::BeforeStart,
            Self::TakenUp | Self::Lapsed | Self::Deviated => Heading::ConfirmAgain,
            Self::BeforeDone => Heading::BeforeDone,
            Self::Step => Heading::Step,
        }
    }
}

impl Stage {
    /// Where the walk stands.
    #[must_use]
    pub fn status(&self) -> Status {
        match self {
            Self::Ended(ending) => ending.status(),
            Self::Paused => Status::Interrupted,
            Self::Earlier(status) => *status,
            Self::Variant(_) | Self::Label(_) => Status::NotStarted,
            Self::Settle { clock: Clock::Running { .. }, behind: Behind::Hold | Behind::Step, .. }
            | Self::Wait { clock: Clock::Running { .. }, .. } => Status::Waiting,
            Self::Gate { behind, .. } | Self::Shut { behind, .. } | Self::Settle { behind, .. } => {
                behind.status()
            }
            Self::Verification => Status::AwaitingVerification,
            Self::Hold => Status::OnHold,
            Self::BegunDoubted
            | Self::TicksDoubted
            | Self::Fasten(_)
            | Self::Act
            | Self::Measure { .. }
            | Self::Ask
            | Self::Item
            | Self::Wait { .. }
            | Self::Look(_)
            | Self::Locked(_) => Status::InProgress,
        }
    }

    /// What heads the question.
    #[must_use]
    pub fn heading(&self) -> Heading {
        match self {
            Self::Variant(_) | Self::Label(_) => Heading::BeforeStart,
            Self::Gate { because, .. } | Self::Shut { because, .. } => because.heading(),
            Self::BegunDoubted | Self::TicksDoubted => Heading::ConfirmAgain,
            Self::Settle { .. } => Heading::WaitAgain,
            Self::Ended(_)
            | Self::Paused
            | Self::Earlier(_)
            | Self::Verification
            | Self::Fasten(_)
            | Self::Act
            | Self::Hold
            | Self::Measure { .. }
            | Self::Ask
            | Self::Item
            | Self::Wait { .. }
            | Self::Look(_)
            | Self::Locked(_) => Heading::Step,
        }
    }

    /// Whether a timer is to be started here.
    pub(crate) fn timer_is_due(&self) -> bool {
        match self {
            Self::Settle { clock, .. } | Self::Wait { clock, .. } => *clock == Clock::Due,
            Self::Ended(_)
            | Self::Paused
            | Self::Earlier(_)
            | Self::Variant(_)
            | Self::Label(_)
            | Self::Gate { .. }
            | Self::Shut { .. }
            | Self::BegunDoubted
            | Self::TicksDoubted
            | Self::Verification
            | Self::Fasten(_)
            | Self::Act
            | Self::Hold
            | Self::Measure { .. }
            | Self::Ask
            | Self::Item
            | Self::Look(_)
            | Self::Locked(_) => false,
        }
    }
}

impl Walk {
    /// The stage the walk is at. What was stopped stays stopped; what is not known is asked before the step that relies on it.
    #[must_use]
    pub fn stage(&self) -> Stage {
        if self.stopped.is_some() {
            return Stage::Ended(Ending::Stopped);
        }
        match self.earlier {
            Some(status @ (Status::Completed | Status::CompletedWithDeviation)) => {
                let is_plain = status == Status::Completed;
                let ending = if is_plain { Ending::Completed } else { Ending::CompletedWithDeviation };
                return Stage::Ended(ending);
            }
            Some(Status::Stopped) => return Stage::Ended(Ending::Stopped),
            Some(
                status @ (Status::NotStarted
                | Status::InProgress
                | Status::Waiting
                | Status::OnHold
                | Status::AwaitingVerification
                | Status::Interrupted),
            ) => return Stage::Earlier(status),
            None => {}
        }
        if self.node_id() == machine::STOP {
            return Stage::Ended(Ending::Stopped);
        }
        if self.paused {
            return Stage::Paused;
        }
        if let Some(why) = self.never_proved() {
            return Stage::Locked(why);
        }
        if let Some(&due) = self.variants_due.first() {
            return Stage::Variant(due);
        }
        if let Some(label) = self.label_due() {
            return Stage::Label(label);
        }
        match self.doubt {
            Some(Doubt::Begun) => return Stage::BegunDoubted,
            Some(Doubt::Ticks) => return Stage::TicksDoubted,
            None => {}
        }
        match self.gate_asks() {
            Some(next) => self.at_gate(next),
            None => self.at_node(),
        }
    }

    fn at_gate(&self, next: Next) -> Stage {
        let behind = if !self.has_started {
            Behind::Start
        } else if matches!(self.node().kind, NodeKind::Verify { .. }) {
            Behind::Verification
        } else if self.node().kind == NodeKind::Hold {
            Behind::Hold
        } else {
            Behind::Step
        };
        let looks = self.gate.as_ref().map_or(&[][..], |gate| &gate.looks);
        match next {
            Next::Look(at) => Stage::Gate {
                due: looks[at].due,
                because: looks[at].because,
                number: at + 1,
                of: looks.len(),
                behind,
            },
            Next::Shut(at) => Stage::Shut {
                due: looks[at].due,
                because: looks[at].because,
                offers: self
                    .offers(at, self.last_ms)
                    .into_iter()
                    .map(|action| action.name.to_string())
                    .collect(),
                may_look: looks[at].failed < 2 && self.can_answer(at),
                behind,
            },
            Next::Wait(var, millis) => {
                let settling = self.machine.settling.iter().find(|settling| settling.var == var);
                let from = settling.map_or(0, |settling| settling.from);
                let set = self.machine.layout.all(var) & !from;
                Stage::Settle { due: Conjunct { var, set }, millis, clock: Clock::new(self), behind }
            }
            Next::Lost(var) => {
                let label = &self.machine.layout.var(var).label;
                Stage::Locked(format!("nobody can tell any more whether the {label} is as recorded"))
            }
        }
    }

    fn at_node(&self) -> Stage {
        if let Some(why) = self.locked() {
            return Stage::Locked(why);
        }
        match self.node().kind {
            NodeKind::End if self.deviations > 0 => Stage::Ended(Ending::CompletedWithDeviation),
            NodeKind::End => Stage::Ended(Ending::Completed),
            NodeKind::Act if self.is_release_due() => Stage::Hold,
            NodeKind::Act => self.tick().map_or(Stage::Act, Stage::Fasten),
            NodeKind::Verify { .. } => Stage::Verification,
            NodeKind::Hold => Stage::Hold,
            NodeKind::Measure { attempt, attempts } => Stage::Measure { attempt, attempts },
            NodeKind::Ask => Stage::Ask,
            NodeKind::AnyOrder { .. } => Stage::Item,
            NodeKind::Wait => self.wait(None),
            NodeKind::Tick(tick) => match tick.look {
                LookKind::Until => self.wait(Some(tick)),
                LookKind::Confirm | LookKind::Round { .. } => Stage::Look(tick),
            },
            NodeKind::Enter | NodeKind::Route | NodeKind::InAct { .. } | NodeKind::Follows { .. } => {
                Stage::Locked("nothing leads on from here".to_owned())
            }
        }
    }

    fn wait(&self, until: Option<machine::Tick>) -> Stage {
        Stage::Wait { millis: timers::length(self), clock: Clock::new(self), until }
    }

    /// Why what is next here was not proved, if it was not.
    fn locked(&self) -> Option<String> {
        if let Some(&need) = self.machine.unmet(&self.state).first() {
            let due = self.node().needs[need].conjunct;
            return Some(format!("by the record nobody knows that this is so: {}", self.fact(due)));
        }
        match self.node().kind {
            NodeKind::Act | NodeKind::Wait | NodeKind::Hold => self.breaks(Choice::Done),
            NodeKind::End if self.node_id() == machine::DONE => {
                if !self.machine.found(&self.state).is_empty() {
                    return Some("a rule was found broken and nothing ended it".to_owned());
                }
                let promise = self.machine.unkept(&self.state).first().copied();
                let due = promise.map(|at| self.machine.promises[at].conjunct);
                due.map(|due| format!("nobody knows that this is so, as promised: {}", self.fact(due)))
            }
            NodeKind::End
            | NodeKind::Route
            | NodeKind::Enter
            | NodeKind::InAct { .. }
            | NodeKind::Follows { .. }
            | NodeKind::Tick(_)
            | NodeKind::Measure { .. }
            | NodeKind::Ask
            | NodeKind::AnyOrder { .. }
            | NodeKind::Verify { .. } => None,
        }
    }

    /// Whether a look of the gate can be answered now.
    fn can_answer(&self, at: usize) -> bool {
        self.gate.as_ref().and_then(|gate| gate.looks.get(at)).is_some_and(|look| {
            look.because == Because::ByRecord || self.can_see(&self.surely(), look.due.var)
        })
    }

    /// Where the walk stands.
    #[must_use]
    pub fn status(&self) -> Status {
        self.stage().status()
    }
}
