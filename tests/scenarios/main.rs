//! The ordinary suite: seconds, not minutes.

mod house;
mod program;
mod walks;
