//! The stage a walk is at: what is asked, what is taken, how the walk stands and what heads the page all follow from it.

use crate::questions::next_question;
use crate::reading::Reading;
use crate::state::Walk;
use crate::status::Status;
use crate::ticks::Tick;
use crate::timers::{self, Clock};
use machine::{Choice, Conjunct, NodeKind, VarId};

/// Where a walk is, with what decides what comes next.
#[derive(Clone, Debug)]
pub enum Stage {
    /// Nothing more is recorded but how the machine is left.
    Ended(Ending),
    /// Nobody walks until somebody goes on.
    Paused,
    /// Before step 1: which variant the machine is.
    Variant(VarId),
    /// Before step 1: a figure of the product's label.
    Label(Reading),
    /// A condition is to be confirmed before anything else.
    Gate {
        /// The condition with the values one of which it must have.
        due: Conjunct,
        /// Why.
        because: Because,
        /// What comes once it is confirmed.
        behind: Behind,
    },
    /// A condition lapsed that nobody can look at: it settles while time passes.
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
    /// Before step 1: the normal values of all other conditions, together.
    Normals,
    /// The walk was interrupted among fasteners: those that are ticked are looked at.
    TicksDoubted,
    /// What was done or found waits for a second person.
    Verification(Choice),
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
        until: Option<Conjunct>,
    },
    /// A condition that the step looks at.
    Look(Conjunct),
    /// A node at which nothing is asked and that the machine does not leave by itself: a fault of the documents.
    Stuck,
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

/// Why a question is asked.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Because {
    /// It must be so before step 1.
    BeforeStart,
    /// It was confirmed before, but an interruption or a handover came between.
    Lapsed,
    /// The step, or the end, relies on it.
    ReliedOn,
    /// The step is to look at it.
    Step,
}

/// What comes behind a gate.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Behind {
    /// More is asked before step 1.
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
    /// Something is confirmed once more.
    ConfirmAgain,
    /// Something is waited for once more.
    WaitAgain,
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

impl Stage {
    /// Where the walk stands.
    #[must_use]
    pub fn status(&self) -> Status {
        match self {
            Self::Ended(ending) => ending.status(),
            Self::Paused => Status::Interrupted,
            Self::Variant(_) | Self::Label(_) | Self::Normals => Status::NotStarted,
            Self::Settle { clock: Clock::Running { .. }, behind: Behind::Hold | Behind::Step, .. }
            | Self::Wait { clock: Clock::Running { .. }, .. } => Status::Waiting,
            Self::Gate { behind, .. } | Self::Settle { behind, .. } => behind.status(),
            Self::Verification(_) => Status::AwaitingVerification,
            Self::Hold => Status::OnHold,
            Self::TicksDoubted
            | Self::Fasten(_)
            | Self::Act
            | Self::Measure { .. }
            | Self::Ask
            | Self::Item
            | Self::Wait { .. }
            | Self::Look(_)
            | Self::Stuck => Status::InProgress,
        }
    }

    /// What heads the question.
    #[must_use]
    pub fn heading(&self) -> Heading {
        match self {
            Self::Variant(_)
            | Self::Label(_)
            | Self::Normals
            | Self::Gate { because: Because::BeforeStart, .. } => Heading::BeforeStart,
            Self::TicksDoubted | Self::Gate { because: Because::Lapsed, .. } => Heading::ConfirmAgain,
            Self::Settle { .. } => Heading::WaitAgain,
            Self::Gate { because: Because::ReliedOn | Because::Step, .. }
            | Self::Ended(_)
            | Self::Paused
            | Self::Verification(_)
            | Self::Fasten(_)
            | Self::Act
            | Self::Hold
            | Self::Measure { .. }
            | Self::Ask
            | Self::Item
            | Self::Wait { .. }
            | Self::Look(_)
            | Self::Stuck => Heading::Step,
        }
    }

    /// Whether a timer is to be started here.
    pub(crate) fn timer_is_due(&self) -> bool {
        match self {
            Self::Settle { clock, .. } | Self::Wait { clock, .. } => *clock == Clock::Due,
            Self::Ended(_)
            | Self::Paused
            | Self::Variant(_)
            | Self::Label(_)
            | Self::Gate { .. }
            | Self::Normals
            | Self::TicksDoubted
            | Self::Verification(_)
            | Self::Fasten(_)
            | Self::Act
            | Self::Hold
            | Self::Measure { .. }
            | Self::Ask
            | Self::Item
            | Self::Look(_)
            | Self::Stuck => false,
        }
    }
}

impl Walk {
    /// The stage the walk is at. What was stopped stays stopped; before step 1 and after a lapse what is not known is asked
    /// before the step that relies on it.
    #[must_use]
    pub fn stage(&self) -> Stage {
        if self.stopped.is_some() || self.node_id() == machine::STOP {
            return Stage::Ended(Ending::Stopped);
        }
        if self.paused {
            return Stage::Paused;
        }
        if let Some(&due) = self.variants_due.first() {
            return Stage::Variant(due);
        }
        if let Some(label) = self.label_due() {
            return Stage::Label(label);
        }
        if let Some(due) = self.gate() {
            return self.at_gate(due);
        }
        if !self.normals_due.is_empty() {
            return Stage::Normals;
        }
        if self.ticks_doubted {
            return Stage::TicksDoubted;
        }
        match self.unverified {
            Some(choice) => Stage::Verification(choice),
            None => self.at_node(),
        }
    }

    fn at_gate(&self, due: Conjunct) -> Stage {
        let behind = if self.is_starting() {
            Behind::Start
        } else if self.unverified.is_some() {
            Behind::Verification
        } else if self.node().kind == NodeKind::Hold {
            Behind::Hold
        } else {
            Behind::Step
        };
        if let Some(millis) = timers::settles(self, due) {
            return Stage::Settle { due, millis, clock: Clock::new(self), behind };
        }
        let because = if !self.start_due.is_empty() {
            Because::BeforeStart
        } else if !self.lapsed.is_empty() {
            Because::Lapsed
        } else {
            Because::ReliedOn
        };
        Stage::Gate { due, because, behind }
    }

    fn at_node(&self) -> Stage {
        match &self.node().kind {
            NodeKind::End if self.deviations > 0 => Stage::Ended(Ending::CompletedWithDeviation),
            NodeKind::End => Stage::Ended(Ending::Completed),
            NodeKind::Act => self.tick().map_or(Stage::Act, Stage::Fasten),
            NodeKind::Hold => Stage::Hold,
            NodeKind::Measure { attempt, attempts } => {
                Stage::Measure { attempt: *attempt, attempts: *attempts }
            }
            NodeKind::Ask => Stage::Ask,
            NodeKind::AnyOrder { .. } => Stage::Item,
            NodeKind::Wait(_) => Stage::Wait {
                millis: timers::length(self),
                clock: Clock::new(self),
                until: next_question(self),
            },
            NodeKind::Confirm(_) | NodeKind::RepeatUntil { .. } => {
                next_question(self).map_or(Stage::Stuck, Stage::Look)
            }
            NodeKind::Enter | NodeKind::Route => Stage::Stuck,
        }
    }

    /// Where the walk stands.
    #[must_use]
    pub fn status(&self) -> Status {
        self.stage().status()
    }
}
