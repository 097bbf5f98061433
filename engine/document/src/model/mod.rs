//! The typed documents, as a person writes them. Places are not kept here: a value's place is found by its JSON
//! pointer in [`crate::Document::places`].

mod amount;
mod cube;
mod equipment;
mod lookup;
mod name;
mod parts;
mod procedure;
mod question;
mod seeing;
mod stated;
mod step;

pub use amount::{Amount, Figure, Input, StatedInput};
pub use cube::{Cube, Leaves, Values};
pub use equipment::{
    Action, Ask, Certainty, Condition, EnergySource, Equipment, FastenerPlace, Fasteners, Hazard, Instrument,
    Lapse, LayoutKind, Rule, Settles, TighteningOrder, Units, Work, Worst, WritingScheme,
};
pub use name::Name;
pub use parts::{Answer, Confirm, Fasten, Hold, Measure, Outcome, Pass, Target, Wait};
pub use procedure::{LevelOfUse, Listed, NoneWord, Procedure};
pub use question::either;
pub use seeing::{SeenBy, While};
pub use stated::Stated;
pub use step::{Common, Kind, MAIN_KEYS, Question, Repeat, Step};
