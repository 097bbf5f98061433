//! The ordinary suite: seconds, not minutes.

mod certificates;
mod house;
mod machines;
mod mends;
mod paper;
mod program;
mod random_walks;
mod review;
mod screens;
mod served;
mod spin;
mod truthful;
mod units;
mod walks;

#[path = "../support/mod.rs"]
mod support;
