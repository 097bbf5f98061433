//! The rules. Findings of the graph and of the proof get their words here; each rule has its explanation.
//!
//! [`check`] takes what was read, compiles every procedure whose documents are sound, proves it, and gives all findings
//! in one order. It never stops at the first fault.

#[macro_use]
mod rule;

mod accept;
mod context;
mod findings;
mod isolation;
mod judge;
mod lines;
mod mend;
mod performed;
mod registry;
mod rounds;
mod rules;
mod second;
mod story;
#[cfg(test)]
mod tests;
mod text;
mod together;
mod words;
mod written;

pub use accept::Accepted;
pub use findings::{Checked, Fault, Report, check, check_one, relies_on_errors};
pub use mend::{Mend, Mended, NO_MEND, mend};
pub use registry::{Explanation, explain, explanations, families};
pub use second::{Second, formed, refusal};
pub use story::story_to;
pub use words::plan_step_words;

pub use proof::Budget;

/// What is assumed wherever something is called proved or refuted.
pub const ASSUMED: &str =
    "acts done as written; every look may fail; stops, interruptions and handovers anywhere";
