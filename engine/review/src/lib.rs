//! Approvals that bind, what changed for safety, and the officer's pages.
//!
//! An [`Approval`] is a small text that stands beside a procedure and names the hash of the content it is for. What it is
//! worth at a day is its [`ApprovalStatus`], which is worked out anew every time from the texts: nothing is believed because it
//! was once computed. Nothing here reads files or clocks: texts and days come in.

mod approval;
mod approval_status;
mod compare;
mod decision;
pub mod pages;
mod people;
mod place;
mod remarks;
mod request;
mod signature;
mod signers;
mod waits;

pub use approval::{Accepted, Approval, Walkthrough, Withdrawal};
pub use approval_status::{ApprovalStatus, Evidence, approval_status};
pub use compare::{Change, Class, Comparison, Group, Side, What, compare};
pub use decision::{Decision, Officer, Outcome, decide};
pub use document::{Day, DayError, FormError};
pub use people::{Held, People, Person};
pub use place::{step_at, step_names};
pub use remarks::{Remark, Returned};
pub use request::{Refused, Request, Subject, approve};
pub use signature::{NAMESPACE, RECORDS, SignatureError, sign, verify};
pub use signers::{Signers, SignersError};
pub use waits::{Waits, longest_waits};
