//! The long suite: `tests/run --long`.

mod fuzz;
mod served;
mod spin;

#[path = "../support/mod.rs"]
#[expect(dead_code, reason = "the ordinary suite uses the rest of it")]
mod support;
