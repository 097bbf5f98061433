//! Authored text as data: blocks of spans, read from Markdown with the figures of `{{ amount }}` filled in. Every form
//! writes them itself, so that a new block or span does not compile until each form has said how it looks there.

mod fill;
mod html;
mod lines;
mod model;
mod read;

pub(crate) use fill::Values;
pub(crate) use html::escape;
pub(crate) use lines::Line;
pub use model::{Block, List, Prose, Span};

#[cfg(test)]
mod tests;
