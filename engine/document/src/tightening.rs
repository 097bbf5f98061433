//! A group of fasteners as a layout with its order and its passes.

use crate::model::{FastenerPlace, Fasteners, LayoutKind, Pass, Stated, TighteningOrder};
use calc::pattern::{Layout, Micrometres, PatternError, Rule, order, removal, verify};
use calc::quantity::{Quantity, QuantityError, Rounding, System, Unit};
use std::fmt;

/// Where the fasteners of a group sit and the order in which they are tightened.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tightening {
    /// Where they sit. Without a `pitch` or `diameter` in the document at an arbitrary distance: the order does not
    /// depend on it.
    pub layout: Layout,
    /// The numbers of the fasteners in the order of tightening, from 1: the written one, or the one worked out.
    pub order: Vec<usize>,
}

/// One time through a group, fastener by fastener.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct FastenPass {
    /// What is done to each, such as `to 30 % (0.9 N·m)`.
    pub words: String,
    /// The numbers of the fasteners in the order of this pass, from 1.
    pub order: Vec<usize>,
}

/// Why a group has no order.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum TighteningError {
    /// A key that the layout or the order needs is not there.
    Missing(&'static str),
    /// A distance, a stage or the torque is no figure.
    Figure(QuantityError),
    /// The layout and the order do not go together.
    Pattern(PatternError),
    /// The written order is none, or breaks its rule.
    Sequence(PatternError),
}

impl fmt::Display for TighteningError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Missing(key) => write!(f, "the group has no `{key}`"),
            Self::Figure(error) => error.fmt(f),
            Self::Pattern(error) | Self::Sequence(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for TighteningError {}

/// Works out where the fasteners of a group sit and in which order they are tightened.
///
/// # Errors
/// [`TighteningError`]; for a document without findings never.
pub fn tightening(group: &Fasteners) -> Result<Tightening, TighteningError> {
    let layout = layout(group)?;
    let written: Option<Vec<usize>> = group
        .sequence
        .as_ref()
        .map(|numbers| numbers.iter().map(|&number| usize::try_from(number).unwrap_or(usize::MAX)).collect());
    let rule = match group.order {
        TighteningOrder::CentreOut => Rule::CentreOut,
        TighteningOrder::Crosswise => Rule::Crosswise,
        TighteningOrder::Circular => Rule::Circular,
        TighteningOrder::Authored => {
            Rule::Authored(written.clone().ok_or(TighteningError::Missing("sequence"))?)
        }
    };
    let is_authored = group.order == TighteningOrder::Authored;
    let fault = |error: PatternError| match error {
        PatternError::NoSuchFastener { .. } | PatternError::Twice { .. } | PatternError::LeftOut { .. }
            if is_authored =>
        {
            TighteningError::Sequence(error)
        }
        PatternError::NoSuchFastener { .. }
        | PatternError::Twice { .. }
        | PatternError::LeftOut { .. }
        | PatternError::Count { .. }
        | PatternError::Place { .. }
        | PatternError::SamePlace { .. }
        | PatternError::Unsuited { .. }
        | PatternError::Breaks { .. } => TighteningError::Pattern(error),
    };
    let found = order(&layout, &rule).map_err(fault)?;
    let order = match written {
        Some(written) => {
            verify(&layout, &rule, &written).map_err(TighteningError::Sequence)?;
            written
        }
        None => found,
    };
    Ok(Tightening { layout, order })
}

/// Works out where the fasteners of a group sit, whatever their order.
///
/// # Errors
/// [`TighteningError`]; for a document without findings never.
pub(crate) fn layout(group: &Fasteners) -> Result<Layout, TighteningError> {
    let number = |number: Option<u32>, key| {
        number.and_then(|number| usize::try_from(number).ok()).ok_or(TighteningError::Missing(key))
    };
    let pitch = || group.pitch.as_ref().map_or_else(|| arbitrary("40 mm"), length);
    let row_pitch = || group.row_pitch.as_ref().map_or_else(pitch, length);
    let rows = || number(group.rows, "rows");
    let columns = || number(group.columns, "columns");
    Ok(match group.layout {
        LayoutKind::Line => Layout::Line { count: number(group.count, "count")?, pitch: pitch()? },
        LayoutKind::Circle => Layout::Circle {
            count: number(group.count, "count")?,
            diameter: group.diameter.as_ref().map_or_else(|| arbitrary("100 mm"), length)?,
        },
        LayoutKind::Grid => {
            Layout::Grid { rows: rows()?, columns: columns()?, pitch: pitch()?, row_pitch: row_pitch()? }
        }
        LayoutKind::Edge => {
            Layout::Edge { rows: rows()?, columns: columns()?, pitch: pitch()?, row_pitch: row_pitch()? }
        }
        LayoutKind::Free => {
            let places = group.positions.as_ref().ok_or(TighteningError::Missing("positions"))?;
            Layout::Free(places.iter().map(position).collect::<Result<_, _>>()?)
        }
    })
}

fn position(place: &FastenerPlace) -> Result<calc::pattern::Position, TighteningError> {
    Ok(calc::pattern::Position { x: length(&place.x)?, y: length(&place.y)? })
}

fn length(stated: &Stated<Quantity>) -> Result<Micrometres, TighteningError> {
    Micrometres::from_quantity(figure(stated)?).map_err(TighteningError::Pattern)
}

/// A distance that the document does not give.
fn arbitrary(text: &str) -> Result<Micrometres, TighteningError> {
    length(&Stated::from(text.to_owned()))
}

fn figure(stated: &Stated<Quantity>) -> Result<&Quantity, TighteningError> {
    stated.read().map_err(|error| TighteningError::Figure(error.clone()))
}

/// How often a step goes through a group, and in which order each time: seating once; tightening once a stage, and
/// once more if the group asks for a final pass; loosening once, in the reverse order of tightening. Torques are told
/// also in the units asked for.
///
/// # Errors
/// [`TighteningError`]; for a document without findings never.
pub fn passes(group: &Fasteners, pass: Pass, system: System) -> Result<Vec<FastenPass>, TighteningError> {
    let Tightening { layout, order } = tightening(group)?;
    Ok(match pass {
        Pass::Seat => {
            let seat = group.seat.as_deref().unwrap_or("seated");
            vec![FastenPass { words: format!("until it is {seat}"), order }]
        }
        Pass::Loosen => vec![FastenPass { words: "loosen".to_owned(), order: removal(&order) }],
        Pass::Tighten => {
            let full = torque(group)?;
            let torque = system.show(full);
            let mut passes = match &group.stages {
                None => vec![FastenPass { words: format!("to {torque}"), order: order.clone() }],
                Some(stages) => stages
                    .iter()
                    .map(|stage| {
                        Ok(FastenPass { words: stage_words(stage, full, system)?, order: order.clone() })
                    })
                    .collect::<Result<_, TighteningError>>()?,
            };
            if group.final_pass == Some(true) {
                // A grid with an inside is no ring: it is gone over in the order of tightening.
                let round = calc::pattern::order(&layout, &Rule::Circular).unwrap_or(order);
                passes.push(FastenPass {
                    words: format!("check: at {torque} it turns no further"),
                    order: round,
                });
            }
            passes
        }
    })
}

/// The full torque of a group.
///
/// # Errors
/// [`TighteningError`] if there is none, or no figure.
pub fn torque(group: &Fasteners) -> Result<&Quantity, TighteningError> {
    figure(group.torque.as_ref().ok_or(TighteningError::Missing("torque"))?)
}

/// A stage with its torque, which is rounded to the nearest with one digit more than the full torque has: it never
/// passes the full torque.
fn stage_words(stage: &Stated<Quantity>, full: &Quantity, system: System) -> Result<String, TighteningError> {
    let share = figure(stage)?;
    let share =
        Unit::parse("%").and_then(|percent| share.value_in(percent)).map_err(TighteningError::Figure)?;
    let decimals = full.decimals().saturating_add(1);
    let part = Quantity::worked(full.value() * share / 100.0, full.unit(), decimals, Rounding::Nearest)
        .map_err(TighteningError::Figure)?;
    let part = part.trimmed();
    let beside = system.beside(&part).map_or_else(String::new, |other| format!(", {other}"));
    Ok(format!("to {} ({part}{beside})", stage.text()))
}
