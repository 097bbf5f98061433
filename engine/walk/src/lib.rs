//! Runs a machine: one accepted event, one durable record; the state is the fold of the records.
//!
//! [`Walk`] is the fold: it says at which stage it is ([`Walk::stage`]) and what is asked there ([`Walk::prompt`]), turns an
//! input into an event or refuses it with the reason ([`Walk::accept`]), and applies events. [`LiveWalk`] adds the journal:
//! an event is on disk before it counts.
//! Nothing here reads a clock or a screen: the time comes in with every call.

mod accept;
mod advance;
mod compiled;
mod deviation;
mod error;
mod event;
mod field;
mod figures;
mod fold;
mod input;
mod labels;
mod lapses;
mod leaving;
mod live;
mod prompt;
mod questions;
mod reading;
mod refusal;
mod refused;
mod stage;
mod state;
mod status;
mod ticks;
mod timers;
mod words;

pub use compiled::CompiledCache;
pub use error::Error;
pub use event::{Begin, DocumentText, Event, FORMAT, ReadingVerdict};
pub use field::{FieldRemark, field_remarks, step_of};
pub use input::{Input, Leaving};
pub use live::{
    Events, Kept, LiveWalk, Taken, as_it_stands, begin, begin_among, beginning, begun_with, check_chain,
    events, fold, free_name, resume, resume_among, verified,
};
pub use prompt::{Prompt, Question, Timer};
pub use reading::Reading;
pub use refusal::Refusal;
pub use stage::{Because, Behind, Ending, Heading, Stage};
pub use state::Walk;
pub use status::Status;
pub use ticks::Tick;
pub use timers::Clock;
pub use words::words;
