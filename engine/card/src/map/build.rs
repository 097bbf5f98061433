//! The map of the steps of a page.

use super::model::{Map, Shape};
use super::{columns, rows};
use crate::page::StepBox;

impl Map {
    /// Draws the map of a procedure's steps.
    #[must_use]
    pub fn from_steps(steps: &[StepBox]) -> Self {
        let rows = rows::rows(steps);
        let mut legend: Vec<(Shape, &'static str)> =
            rows.iter().filter_map(|row| Some((row.shape, row.shape.word()?))).collect();
        legend.sort_unstable();
        legend.dedup();
        Self { columns: columns::columns(&rows), legend, ways: rows::ways(&rows) }
    }
}

impl Shape {
    /// What the legend says; ends say it themselves.
    fn word(self) -> Option<&'static str> {
        match self {
            Self::End => None,
            Self::Act => Some("act"),
            Self::Look => Some("look, then go where the answer leads"),
            Self::Wait => Some("wait"),
            Self::Hold => Some("hold point"),
            Self::Block => Some("block of steps, or another procedure"),
        }
    }
}
