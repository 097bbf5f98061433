//! The map of a procedure: its steps in written order, folded into columns, with every way from one to another.
//!
//! The layout has one layer for each step, in the order of the numbers, so that a step is found where its number says.
//! Each box holds the step's short title and one line for every way out, with the number it leads to; ways inside a
//! column are drawn as lines too, on tracks at the right of the boxes. Nothing is drawn on top of anything else: boxes
//! stand in one lane, lines have theirs, and all text stands inside a box or a strip of its own.
//!
//! All positions are whole tenths of a millimetre from the top left of a column, for SVG and for paper alike.

mod build;
mod columns;
mod lines;
mod measure;
mod model;
mod place;
mod room;
mod rows;
mod svg;
mod words;

pub use model::{
    Anchor, Area, COLUMN_HEIGHT, COLUMN_WIDTH, COLUMNS_ACROSS, Column, Frame, Label, Line, Map, MapBox, Role,
    Shape, TYPE_SIZE, Way,
};
pub use svg::svg;
pub(crate) use svg::{column_svg, sample};
pub(crate) use words::lines;
pub use words::text;

#[cfg(test)]
mod tests;
