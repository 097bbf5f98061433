//! The long suite: `tests/run --long`.

mod fuzz;
mod spin;
