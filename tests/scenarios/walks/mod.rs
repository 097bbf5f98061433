//! Walks in the terminal. What can be judged without the program stands in `engine/walk/tests`.

mod acts;
#[path = "../../../engine/walk/tests/suite/driver.rs"]
mod driver;
mod earlier;
mod limits;
mod program;
mod second;
mod site;
mod unproved;
mod words;

pub(crate) use crate::support::run::root;
pub(crate) use driver::{Driver, begin};
