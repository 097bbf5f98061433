//! What the tests stand on; the driver of walks is shared with the suite of the program, which has its own.

pub(crate) mod demo;
#[path = "../../../../../tests/support/walks.rs"]
pub(crate) mod walks;
