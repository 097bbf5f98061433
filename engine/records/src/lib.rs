//! What the records say of all walks together, and what follows for the machines.
//!
//! - [`Walked`]: a walk in a line; [`Filter`]: which walks are wanted.
//! - [`Register`]: the machines of a depot by serial number, with how often what is to be done on them.
//! - [`Due`]: what is due on each machine and which are out of service, by the register and the records.
//! - [`Beginning`]: whether a walk may begin, and as what.
//! - [`change`]: whether the documents in force are still those that a walk goes by.
//! - [`judged`]: whether what a walk goes by is proved under the equipment in force.
//! - [`Footing`]: what is still taken of a walk of which that is not so.
//! - [`machine_notices`]: what to know of the machine before it is worked on.
//! - [`walked`]: all walks, and those that are damaged beside them; [`Incomplete`]: where all are wanted or nothing.
//! - [`field`]: what walks tell of each procedure.
//! - [`calendar`]: the same as a file for a calendar.
//! - [`exported`] and [`printed`]: records for other programs and for paper.
//! - [`act`]: an act of the equipment with its warnings, what to wear and who does it.
//! - [`leaving`]: what to do before a machine is left after a stop.
//!
//! Nothing here reads files or clocks: texts, records and days come in.

mod acts;
mod asked_for_more;
mod asked_otherwise;
mod beginning;
mod calendar;
mod change;
mod damage;
mod due;
pub mod exported;
mod field;
mod footing;
mod intact;
mod judged;
mod lately;
pub mod leaving;
mod notices;
pub mod printed;
mod register;
mod time;
mod told;
mod walks;

/// What `check` holds the documents of a walk to is what the journal takes.
const _: () = assert!(document::limits::MAX_RECORD_BYTES == journal::PAYLOAD_BYTES_MAX);

pub use acts::{Act, ActWarning, act};
pub use beginning::{Beginning, NotBegun, out_of_service};
pub use calendar::{NoCalendar, calendar};
pub use change::{Basis, Change, change};
pub use damage::{Damaged, Incomplete, damaged_among};
pub use due::{Due, Item, Out, due};
pub use field::{FieldLines, field};
pub use footing::{Footing, Stood};
pub use intact::not_intact;
pub use judged::{Ground, Judged, Unproved, judged, not_proved};
pub use notices::{MachineNotice, machine_notices};
pub use register::{Fleet, Interval, Machine, OutOfService, Register, Site, Uses};
pub use time::{shown, time};
pub use told::{Read, walked, walked_since, walked_with_remarks};
pub use walks::{Filter, STATUSES, Walked};
