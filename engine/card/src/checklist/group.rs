//! Lines parted into pause points.

use super::model::Item;

/// Fewest and most lines of a group (common practice, no source).
const FEWEST: usize = 5;
const MOST: usize = 9;
/// What it costs to end a group where the work does not pause of itself, against one line more or less than seven.
const NO_PAUSE: usize = 4;
/// What it costs to part the questions of one step, which is done for a step of more than nine.
const PARTED: usize = 1000;

/// The cheapest parting: groups of 5 to 9 lines that end at pauses and are about as long as each other. Fewer than 5
/// lines are one group.
pub(super) fn groups(items: Vec<Item>) -> Vec<Vec<Item>> {
    let count = items.len();
    if count <= MOST {
        return if items.is_empty() { Vec::new() } else { vec![items] };
    }
    // For every number of lines the least cost of parting them, and the length of the last group.
    let mut best: Vec<Option<(usize, usize)>> = vec![Some((0, 0))];
    for end in 1..=count {
        let cost = |length: usize| -> Option<(usize, usize)> {
            let (before, _) = (*best.get(end.checked_sub(length)?)?)?;
            let pause = end == count || items.get(end - 1).is_some_and(|item| item.pauses);
            let parted = items.get(end).is_some_and(|next| next.number.is_empty());
            let ending = if pause { 0 } else { NO_PAUSE } + if parted { PARTED } else { 0 };
            Some((before + length.abs_diff(7) + ending, length))
        };
        best.push((FEWEST..=MOST).filter_map(cost).min());
    }
    let mut lengths = Vec::new();
    let mut end = count;
    while let Some(Some((_, length))) = best.get(end).filter(|_| end > 0) {
        lengths.push(*length);
        end -= length;
    }
    let mut rest = items.into_iter();
    lengths.into_iter().rev().map(|length| rest.by_ref().take(length).collect()).collect()
}
