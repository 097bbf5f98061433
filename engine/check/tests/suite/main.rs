//! Whole documents judged by all rules: published texts, the bundled library, seeded faults, mends.

#[path = "../../../../tests/support/edit.rs"]
mod edit;

mod demo;
mod faults;
mod mends;
mod published;
mod wording;
