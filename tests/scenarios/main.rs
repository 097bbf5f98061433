//! The ordinary suite: seconds, not minutes.

mod house;
mod walks;
