//! Counted things in words.

/// A number with its noun: "1 error", "2 errors". The plural is the noun with an `s`.
#[must_use]
pub fn count(number: usize, noun: &str) -> String {
    match number {
        1 => format!("1 {noun}"),
        _ => format!("{number} {noun}s"),
    }
}

/// Words joined for reading: "a, b and c".
pub(crate) fn joined<S: AsRef<str>>(words: &[S], last: &str) -> String {
    match words {
        [] => String::new(),
        [one] => one.as_ref().to_owned(),
        [first @ .., end] => {
            let first: Vec<&str> = first.iter().map(AsRef::as_ref).collect();
            format!("{} {last} {}", first.join(", "), end.as_ref())
        }
    }
}

/// The text with its first letter large, to begin a line with.
#[must_use]
pub fn capital(text: &str) -> String {
    let mut letters = text.chars();
    match letters.next() {
        Some(first) => first.to_uppercase().chain(letters).collect(),
        None => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::{capital, count, joined};

    #[test]
    fn words_read_well() {
        assert_eq!(count(0, "error"), "0 errors");
        assert_eq!(count(1, "error"), "1 error");
        assert_eq!(count(2, "error"), "2 errors");
        assert_eq!(joined(&["a"], "and"), "a");
        assert_eq!(joined(&["a", "b", "c"], "or"), "a, b or c");
        assert_eq!(joined::<&str>(&[], "or"), "");
        assert_eq!(capital("éclat"), "Éclat");
        assert_eq!(capital(""), "");
    }
}
