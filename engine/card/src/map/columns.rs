//! Rows folded into columns.

use super::model::{COLUMN_HEIGHT, COLUMNS_ACROSS, Column};
use super::place::place;
use super::room::{Placed, STRIP};
use super::rows::Row;

/// Columns shorter than this are not worth folding.
const SHORT: i32 = 800;
/// Room for the strips that say where a column goes on from and to.
const STRIPS: i32 = 3 * STRIP;

pub(super) fn columns(rows: &[Row]) -> Vec<Column> {
    let placed: Vec<Placed> =
        rows.iter().enumerate().map(|(at, row)| Placed::measure(rows, at, row)).collect();
    let total: i32 = placed.iter().map(Placed::whole).sum();
    let wanted = total.div_euclid(SHORT).clamp(1, COLUMNS_ACROSS as i32 - 1) + 1;
    let wanted = if total <= SHORT { 1 } else { wanted };
    let most = COLUMN_HEIGHT - STRIPS;
    let even = (total + wanted - 1) / wanted;
    // A column ends with the row that fills its share; one row more than the share is no harm.
    let share = if even > most { most } else { even };
    let mut columns = Vec::new();
    let (mut first, mut used) = (0, 0);
    for at in 0..placed.len() {
        let height = placed[at].whole();
        // A block's own row stays with the first of its steps.
        let with_next = if rows[at].holds > 0 { placed.get(at + 1).map_or(0, Placed::whole) } else { 0 };
        let full = used + height + with_next > most || used >= share;
        // The ends stand together.
        let ends = at > first && (rows[at].number == "stop" && rows[at - 1].number == "done");
        if full && at > first && !ends {
            columns.push(first..at);
            (first, used) = (at, 0);
        }
        used += height;
    }
    columns.push(first..placed.len());
    columns.into_iter().map(|range| place(rows, &placed, range)).collect()
}
