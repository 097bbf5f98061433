//! The rules. Findings of the graph and of the proof get their words here; each rule has its explanation beside it.
//!
//! [`check`] takes what was read, compiles every procedure whose documents are sound, proves it, and gives all findings
//! in one order. It never stops at the first fault.

mod context;
mod findings;
mod mend;
mod registry;
mod rules;
mod story;
#[cfg(test)]
mod tests;
mod words;
mod writing;

pub use findings::{Checked, Fault, Report, check, check_one};
pub use mend::{Mend, mend};
pub use registry::{Explanation, FAMILIES, explain, explanations};
pub use story::story_to;
pub use words::{cube_words, move_words, values_words};
pub use writing::Accepted;

pub use proof::Budget;
