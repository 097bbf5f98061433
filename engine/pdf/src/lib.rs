//! The page model on paper: tagged PDF with embedded fonts, made without any other program.
//!
//! [`render`] gives the bytes of a file that conforms to PDF/UA-1 (ISO 14289-1) and PDF/A-2a (ISO 19005-2), as far as the
//! writer's own validator tells. The same page gives the same bytes: the only date in the file is the procedure's
//! effective date. No text is smaller than 10 pt.

mod diagram;
mod draw;
mod error;
mod fields;
mod file;
mod flow;
mod fonts;
mod head;
mod impose;
mod legible;
mod letters;
mod map;
mod options;
mod panel;
mod parts;
mod prose;
mod set;
mod stack;
mod table;
mod tree;
mod widgets;

pub use error::Error;
pub use file::render;
pub use legible::legible;
pub use options::{Options, Paper, Sheet};
pub use parts::{checklist, matrix, sheet};

#[cfg(test)]
mod tests;
