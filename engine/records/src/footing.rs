//! Whether a walk is gone on with, by the documents in force.

use crate::judged::Unproved;
use walk::{Heading, Input, Refusal, Walk};

/// What a walk under way is worth by the documents in force.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Footing {
    /// What it goes by is proved.
    Proved,
    /// It is not proved any more, and the walk is still at the step at which it was when that was seen: what somebody did
    /// or saw there is recorded, and nothing is begun.
    UnderWay,
    /// It is not proved any more, and that step is over: nothing but a stop is taken, and that
    /// the last answer was a mistake.
    Shut,
}

/// At which step a walk is, and whether the step itself is asked about or something before it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Stood {
    heading: Heading,
    step: String,
    rounds: Vec<u32>,
}

impl Stood {
    /// Where a walk is.
    #[must_use]
    pub fn of(walk: &Walk) -> Self {
        let node = walk.node();
        Self { heading: walk.stage().heading(), step: node.path.clone(), rounds: node.rounds.clone() }
    }
}

impl Footing {
    /// Whether somebody may say this: at the walk, or come to it. What is neither a stop nor a remark tells what was done or
    /// seen at the step under way, takes that back, or else goes on.
    fn takes(self, input: &Input, attends: bool) -> bool {
        match input {
            Input::Stop(_)
            | Input::StopAway { .. }
            | Input::Leaving(_)
            | Input::Note(_)
            | Input::Photo { .. }
            | Input::Pause => true,
            // It begins nothing, and what was not done must not be on record when work stops.
            Input::TakeBack => match self {
                Self::Proved => true,
                Self::UnderWay | Self::Shut => attends,
            },
            Input::Look(_)
            | Input::Is(_)
            | Input::CannotTell
            | Input::Restored(_)
            | Input::Done
            | Input::WasDone
            | Input::Fastener(_)
            | Input::Sign(_)
            | Input::Deny(_)
            | Input::Reading(_)
            | Input::Answer(_)
            | Input::TimerOver
            | Input::LimitReached
            | Input::Deviate { .. } => match self {
                Self::Proved => true,
                Self::UnderWay => attends,
                Self::Shut => false,
            },
            Input::Variant(_) | Input::Item(_) | Input::StartTimer | Input::Resume { .. } => match self {
                Self::Proved => true,
                Self::UnderWay | Self::Shut => false,
            },
        }
    }

    /// Why an input is not taken, where it is not.
    #[must_use]
    pub fn refused(self, input: &Input, attends: bool, unproved: Option<&Unproved>) -> Option<Refusal> {
        let Unproved { why, changes: _ } = unproved?;
        let opens = "Stop work, or wait: the walk goes on once what it goes by is proved again";
        let refusal = || Refusal { reason: why.trim_end_matches('.').to_owned(), opens: opens.to_owned() };
        (!self.takes(input, attends)).then(refusal)
    }
}
