//! One file a page, or a form and what comes of it.

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
