//! The ordinary suite: seconds, not minutes.

mod house;
mod mends;
mod program;
mod spin;
mod walks;
