//! The ordinary suite: seconds, not minutes.

mod house;
mod mends;
mod program;
mod published;
mod spin;
mod walks;
