//! Small sentences that many findings share.

use std::fmt::Display;

/// The names in backticks, joined for reading: "`a`, `b` or `c`".
pub(crate) fn any_of<T: Display>(names: impl IntoIterator<Item = T>) -> String {
    joined(names, "or")
}

/// The names in backticks, joined for reading: "`a`, `b` and `c`".
pub(crate) fn all_of<T: Display>(names: impl IntoIterator<Item = T>) -> String {
    joined(names, "and")
}

fn joined<T: Display>(names: impl IntoIterator<Item = T>, word: &str) -> String {
    let mut names: Vec<String> = names.into_iter().map(|name| format!("`{name}`")).collect();
    match names.pop() {
        None => String::new(),
        Some(last) if names.is_empty() => last,
        Some(last) => format!("{} {word} {last}", names.join(", ")),
    }
}

/// What a misspelt word may have meant; without a likely one, what there is to choose from.
pub(crate) fn meant<'a>(word: &str, known: impl IntoIterator<Item = &'a str>) -> Option<String> {
    /// More than this many names help nobody.
    const MOST: usize = 20;
    let known: Vec<&str> = known.into_iter().collect();
    if let Some(near) = calc::nearest(word, known.iter().copied()) {
        return Some(format!("did you mean `{near}`?"));
    }
    match known.len() {
        0 => None,
        1..=MOST => Some(format!("known here: {}", any_of(known))),
        more => {
            let first: Vec<String> = known[..MOST].iter().map(|name| format!("`{name}`")).collect();
            Some(format!("known here: {} and {} more", first.join(", "), more - MOST))
        }
    }
}

/// The beginning of a text, enough to know it by.
pub(crate) fn short(text: &str) -> String {
    const MOST: usize = 40;
    let line = text.lines().next().unwrap_or_default();
    match line.char_indices().nth(MOST) {
        Some((at, _)) => format!("{}…", &line[..at]),
        None => line.to_owned(),
    }
}
