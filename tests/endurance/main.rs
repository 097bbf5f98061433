//! The long suite: `tests/run --long`.
