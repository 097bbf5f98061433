//! Runs a machine: one accepted event, one durable record; the state is the fold of the records.
//!
//! [`Walk`] is the fold: it says at which stage it is ([`Walk::stage`]) and what is asked there ([`Walk::prompt`]), turns an
//! input into an event or refuses it with the reason ([`Walk::accept`]), and applies events. [`LiveWalk`] adds the journal:
//! an event is on disk before it counts.
//! Nothing here reads a clock or a screen: the time comes in with every call.

mod accept;
mod account;
mod advance;
mod asking_on;
mod belief;
mod by_hand;
mod carried;
mod compiled;
mod deviation;
mod earlier;
mod entry;
mod error;
mod event;
mod field;
mod figures;
mod fold;
mod gate;
mod gated;
mod hands;
mod input;
mod judging;
mod keys;
mod labels;
mod lapses;
mod leaving;
mod live;
mod outline;
mod overall;
mod owed;
mod prompt;
mod reading;
mod refusal;
mod refused;
mod releasing;
mod said_before;
mod spoken;
mod stage;
mod state;
mod status;
mod taking_back;
mod taking_up;
mod telling;
mod ticks;
mod timers;
mod words;

pub use asking_on::Other;
pub use by_hand::not_by_hand;
pub use compiled::CompiledCache;
pub use error::Error;
pub use event::{Because, Begin, DocumentText, Event, FORMAT, Look, ReadingVerdict};
pub use field::{FieldRemark, step_of};
pub use form::Certificate;
pub use input::{Input, Leaving};
pub use live::{
    Events, Kept, LiveWalk, Taken, ToBegin, as_it_stands, begin, begin_among, beginning, begun_with,
    check_chain, events, fold, free_name, resume, resume_among, verified,
};
pub use outline::Outline;
pub use overall::{catch_up, line_by_records, line_of, remarks_of, told_otherwise, without_what_they_go_by};
pub use prompt::{Offer, Prompt, Question, Timer};
pub use reading::Reading;
pub use refusal::Refusal;
pub use stage::{Behind, Ending, Heading, Stage};
pub use state::Walk;
pub use status::Status;
pub use telling::{Line, field_remarks};
pub use ticks::Tick;
pub use timers::Clock;
pub use words::{surprise, words};
