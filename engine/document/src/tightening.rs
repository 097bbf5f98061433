//! A group of fasteners as a layout with its order.

use crate::model::{Fasteners, LayoutKind, TighteningOrder};
use calc::pattern::{Layout, Micrometres, PatternError, Rule, order};
use calc::quantity::{Quantity, QuantityError};
use std::fmt;

/// Where the fasteners of a group sit and the order in which they are tightened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tightening {
    /// Where they sit. Without a `pitch` in the document, at an arbitrary distance: the order does not depend on it.
    pub layout: Layout,
    /// The numbers of the fasteners in the order of tightening, from 1.
    pub order: Vec<usize>,
}

/// Why a group has no order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TighteningError {
    /// A key that the layout needs is not there.
    Missing(&'static str),
    /// The pitch is no figure.
    Pitch(QuantityError),
    /// The layout and the order do not go together.
    Pattern(PatternError),
}

impl fmt::Display for TighteningError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing(key) => write!(f, "the group has no `{key}`"),
            Self::Pitch(error) => error.fmt(f),
            Self::Pattern(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for TighteningError {}

/// Works out where the fasteners of a group sit and in which order they are tightened.
///
/// # Errors
/// [`TighteningError`]; for a document without findings never.
pub fn tightening(group: &Fasteners) -> Result<Tightening, TighteningError> {
    let number = |number: Option<u32>, key| {
        number.and_then(|number| usize::try_from(number).ok()).ok_or(TighteningError::Missing(key))
    };
    let pitch = || {
        let pitch =
            Quantity::parse(group.pitch.as_deref().unwrap_or("10 mm")).map_err(TighteningError::Pitch)?;
        Micrometres::from_quantity(&pitch).map_err(TighteningError::Pattern)
    };
    let layout = match group.layout {
        LayoutKind::Line => Layout::Line { count: number(group.count, "count")?, pitch: pitch()? },
        LayoutKind::Circle => Layout::Circle { count: number(group.count, "count")? },
        LayoutKind::Grid => Layout::Grid {
            rows: number(group.rows, "rows")?,
            columns: number(group.columns, "columns")?,
            pitch: pitch()?,
        },
    };
    let rule = match group.order {
        TighteningOrder::CentreOut => Rule::CentreOut,
        TighteningOrder::Crosswise => Rule::Crosswise,
        TighteningOrder::Circular => Rule::Circular,
    };
    let order = order(&layout, &rule).map_err(TighteningError::Pattern)?;
    Ok(Tightening { layout, order })
}
