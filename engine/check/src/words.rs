//! Conditions and values as people say them.

use machine::{Conjunct, Cube, Layout, VarId};

/// "empty or rinse".
#[must_use]
pub fn values_words(layout: &Layout, var: VarId, set: u64) -> String {
    let words = layout.words_of(var, set);
    match words.split_last() {
        None => "nothing".to_owned(),
        Some((last, [])) => (*last).to_owned(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

/// "tank empty or rinse".
pub(crate) fn conjunct_words(layout: &Layout, conjunct: Conjunct) -> String {
    format!("{} {}", layout.var(conjunct.var).label, values_words(layout, conjunct.var, conjunct.set))
}

/// "supply live and wand cover loose or open".
#[must_use]
pub fn cube_words(layout: &Layout, cube: &Cube) -> String {
    let words: Vec<String> = cube.0.iter().map(|&conjunct| conjunct_words(layout, conjunct)).collect();
    words.join(" and ")
}
