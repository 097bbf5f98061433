//! A map as plain data.

use serde::Serialize;

/// Width of every column: three stand side by side on A4 and on Letter.
pub const COLUMN_WIDTH: i32 = 570;
/// Greatest height of a column: a page of A4 or Letter with its margins and a heading.
pub const COLUMN_HEIGHT: i32 = 2200;
/// Columns side by side on a sheet.
pub const COLUMNS_ACROSS: usize = 3;
/// Size of all type: 10 pt (CAP 676 ch. 7, least size, 2nd), in tenths of a millimetre.
pub const TYPE_SIZE: i32 = 35;

/// A map as data.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Map {
    /// The columns, to be read from left to right.
    pub columns: Vec<Column>,
    /// The kinds of boxes in it, with their words, for the legend.
    pub legend: Vec<(Shape, &'static str)>,
    /// Every way, from row to row: the same as text.
    pub ways: Vec<Way>,
}

/// One column.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Column {
    /// Its height.
    pub height: i32,
    /// Frames round blocks, drawn first.
    pub frames: Vec<Frame>,
    /// Lines, drawn next.
    pub lines: Vec<Line>,
    /// Boxes, none of which touches another.
    pub boxes: Vec<MapBox>,
    /// All text.
    pub labels: Vec<Label>,
}

/// A frame round the items of a block.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Frame {
    /// Where it is.
    pub area: Area,
}

/// A rectangle.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct Area {
    /// From the left.
    pub x: i32,
    /// From the top.
    pub y: i32,
    /// Width.
    pub width: i32,
    /// Height.
    pub height: i32,
}

/// How a box is drawn.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Shape {
    /// The beginning and the ends.
    End,
    /// An act.
    Act,
    /// A gate or a decision: what is found decides the way.
    Look,
    /// A wait.
    Wait,
    /// A hold point.
    Hold,
    /// A block of steps, or another procedure.
    Block,
}

/// A step.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
pub struct MapBox {
    /// How it is drawn.
    pub shape: Shape,
    /// Where it is.
    pub area: Area,
    /// The width of the cell at its left that holds the number; 0 for a box without one.
    pub cell: i32,
}

/// A line along the way, of straight pieces.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Line {
    /// Its corners from the beginning to the end.
    pub points: Vec<(i32, i32)>,
    /// Whether its end has an arrowhead.
    pub arrow: bool,
}

/// A text on one line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Label {
    /// Where it begins, or ends if it is flush right, or its middle if it is centred.
    pub x: i32,
    /// Its base line.
    pub y: i32,
    /// The text.
    pub text: String,
    /// Which point of it `x` is.
    pub anchor: Anchor,
    /// What it is.
    pub role: Role,
}

/// Which point of a text is given.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Anchor {
    /// Its left end.
    Start,
    /// Its middle.
    Middle,
    /// Its right end.
    End,
}

/// What a text on the map is.
#[derive(Clone, Copy, Debug, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Role {
    /// A step's number, bold.
    Number,
    /// A step's short title.
    Title,
    /// A way out.
    Way,
    /// A way out that ends the work unfinished, bold.
    Stop,
    /// Where a column goes on from or to.
    Strip,
}

/// A way from one step to another.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Way {
    /// The number of the step it leaves, or "start".
    pub from: String,
    /// In which case; none if always.
    pub when: Option<String>,
    /// The number of the step it leads to, or "done" or "stop".
    pub to: String,
}
