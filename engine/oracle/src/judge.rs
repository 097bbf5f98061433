//! The judge of what is so and what is known: every path kept apart, nothing joined, nothing compiled.
//!
//! It knows nothing but the documents. A *record* is what somebody at the machine is entitled to believe; each way to leave
//! a place is a list of *deeds*, and a deed makes of one record the records after it. Whatever is asked of a place
//! (needs, rules, plans for stopping, taking up again) is asked of each record by itself.

mod explore;
mod fault;
mod lasting;
mod look;
mod model;
#[cfg(test)]
mod names;
mod offered;
mod place;
mod plan;
mod read;
mod read_step;
mod record;
mod relied;
mod resume;
mod run;
mod start;
mod ways;
#[cfg(test)]
mod world;
mod write;

pub use explore::{Explored, TooLarge, explore};
pub use fault::Fault;
pub use look::Said;
pub use model::{Cube, Judged, Restoring, Settling, Variable};
pub use place::{Items, Level, Phase, Place};
pub use plan::Planner;
pub use record::Record;
pub use ways::{Deed, Way};
