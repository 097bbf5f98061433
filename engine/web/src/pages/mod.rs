//! One file a page, or a form and what comes of it.
//!
//! Rules for a new page: the question and its first button stand on a phone's first screen unless a warning comes
//! before; among fasteners the next one comes before the text that was read at the first; a table becomes lines with
//! their heads on a phone; the filled button is the next thing to do and is never one that would be refused; nothing
//! that has the focus lies under the bar of *Stop work*.

pub(crate) mod assets;
pub(crate) mod begin;
pub(crate) mod deviate;
pub(crate) mod export;
pub(crate) mod home;
pub(crate) mod library;
pub(crate) mod machines;
pub(crate) mod photo;
pub(crate) mod record;
pub(crate) mod records;
pub(crate) mod review;
pub(crate) mod sign;
pub(crate) mod sign_in;
pub(crate) mod stop;
pub(crate) mod unlock;
pub(crate) mod verify;
pub(crate) mod walk;

use crate::fault::Fault;

pub(crate) async fn not_there() -> Fault {
    Fault::NotThere
}
