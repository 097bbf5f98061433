//! What people say to a walk.

use crate::event::Look;

/// What a person says.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Input {
    /// The value of the variant asked for.
    Variant(String),
    /// What is seen of what is asked.
    Look(Look),
    /// It is none of the values asked for: it is this one.
    Is(String),
    /// At a question with answers or a reading: nobody can tell.
    CannotTell,
    /// At a shut gate: this action of the equipment was done.
    Restored(String),
    /// The act is done.
    Done,
    /// After an interruption at an act: it had been done to its end before.
    WasDone,
    /// This fastener is done.
    Fastener(u32),
    /// A second person signs: a hold point or a verification.
    Sign(String),
    /// A second person finds that what is to be verified was not done, or is not so.
    Deny(String),
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
    /// The last answer was a mistake.
    TakeBack,
    /// A remark.
    Note(String),
    /// The walk pauses.
    Pause,
    /// The walk goes on. After a stop: the way to leave the machine begins anew.
    Resume {
        /// Who walks from here.
        person: String,
    },
    /// Work stops.
    Stop(String),
    /// Work is stopped by somebody who was not at the walk, and has taken up nothing.
    StopAway {
        /// Why.
        reason: String,
        /// Who.
        person: String,
    },
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

/// Something said after work was stopped. What comes next on the way is worked out by whoever asks: it needs the planner.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Leaving {
    /// An act or a wait of the way was done.
    Done(String),
    /// A condition that decides the way was looked at.
    Looked {
        /// The condition.
        condition: String,
        /// The values one of which it has; none where nobody can tell.
        values: Vec<String>,
    },
    /// The machine is released for use again.
    Returned {
        /// Who releases it.
        person: String,
        /// In which role.
        role: String,
        /// What was found and put right.
        remark: String,
    },
}
