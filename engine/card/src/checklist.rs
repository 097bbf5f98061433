//! The checklist: the same procedure as a bare list of challenges and responses, for people who know the work.
//!
//! Every step is one line, the condition or value that is wanted at its end, and every question of a confirmation is one.
//! Lines are grouped into pause points of 5 to
//! 9 (common in checklist literature, no standard; 2nd), and a group ends where the work pauses of itself if it can: at
//! a hold point, a wait, a gate or a decision. A response is a state or a value, never "checked" (Degani and Wiener,
//! NASA CR-177549, guideline 1, 2nd).

mod build;
mod group;
mod html;
mod model;
mod response;
mod text;

pub use html::html;
pub use model::{Checklist, FULL, Item, Warned};
pub use text::text;

#[cfg(test)]
mod tests;
