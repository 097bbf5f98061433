//! Every page and text that people read.
//!
//! - [`prose`]: authored text as blocks and spans, as HTML and as lines.
//! - [`report`]: findings laid out for a terminal or another program.
//! - [`page`]: a procedure as one page model, from which every card is made.
//! - [`html`]: the page as one self-contained file for screen and print.
//! - [`text`]: the page as plain text, 78 columns wide.
//! - [`markdown`]: the page as CommonMark with tables.
//! - [`index`]: the page at which a reviewer of many cards begins.
//! - [`checklist`]: the same as bare challenges and responses, by pause points.
//! - [`matrix`]: every hazard with the steps that expose to it and the controls found there.
//! - [`csv`]: one record of comma-separated values.
//! - [`map`]: the steps with every way from one to another, as positions, SVG and text.
//! - [`sheet`]: what is laid before somebody who decides, as HTML, text and paper.
//! - [`svg`]: a drawing of fasteners, for a page or a file of its own.
//! - [`mark`]: the text and the square code by which a card in hand is known.
//!
//! Everything returns text; the caller writes files. The same input gives the same bytes.

pub mod checklist;
mod clean;
mod count;
pub mod csv;
mod diagram;
pub mod html;
pub mod index;
pub mod map;
pub mod mark;
pub mod markdown;
pub mod matrix;
pub mod page;
pub mod prose;
pub mod report;
pub mod sheet;
pub mod text;
mod wrap;

pub use clean::{clean_line, is_unseen};
pub use count::{capital, count};
pub use diagram::{svg, svg_inline, svg_ticked};
pub use wrap::hang;

#[cfg(test)]
mod tests;
