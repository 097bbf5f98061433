//! The ordinary suite: seconds, not minutes.

mod faults;
mod house;
mod machines;
mod mends;
mod paper;
mod program;
mod published;
mod random_walks;
mod review;
mod screens;
mod served;
mod spin;
mod units;
mod walks;
mod wording;

#[path = "../support/mod.rs"]
mod support;
