//! Runs a machine: one accepted event, one durable record; the state is the fold of the records.
//!
//! [`Walk`] is the fold: it says what is asked now ([`Walk::prompt`]), turns an input into an event or refuses it with
//! the reason ([`Walk::accept`]), and applies events. [`LiveWalk`] adds the journal: an event is on disk before it counts.
//! Nothing here reads a clock or a screen: the time comes in with every call.

mod advance;
mod compiled;
mod deviation;
mod event;
mod fasten;
mod field;
mod inputs;
mod labels;
mod lapses;
mod leaving;
mod live;
mod prompt;
mod state;
mod waits;
mod words;

pub use compiled::CompiledCache;
pub use event::{Begin, DocumentText, Event, FORMAT};
pub use fasten::Tick;
pub use field::{FieldRemark, field_remarks, step_of};
pub use inputs::{Input, Refusal};
pub use leaving::Leaving;
pub use live::{
    Error, Kept, LiveWalk, Taken, begin, begin_among, begun_with, events, fold, free_name, resume,
    resume_among,
};
pub use prompt::{Because, Prompt, Question, Reading, Timer};
pub use state::{Status, Walk};
pub use words::words;
