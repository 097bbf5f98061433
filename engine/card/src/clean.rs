//! Characters that would act on a screen instead of being seen on it.

/// The text with everything unseen replaced by the mark for a faulty character. Line ends and tabs stay.
///
/// A document with such characters is refused when it is read; names of files and approvals come from elsewhere.
pub(crate) fn clean(text: &str) -> String {
    text.chars().map(|letter| if is_unseen(letter) { char::REPLACEMENT_CHARACTER } else { letter }).collect()
}

/// On one line everything unseen is replaced by the mark for a faulty character; line ends and tabs are spaces.
#[must_use]
pub fn clean_line(text: &str) -> String {
    clean(text).split(['\n', '\t']).collect::<Vec<_>>().join(" ")
}

/// Whether a character acts on what is shown instead of being seen. Line ends and tabs do what is meant.
#[must_use]
pub fn is_unseen(letter: char) -> bool {
    match letter {
        '\n' | '\t' => false,
        '\u{202a}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}'
        | '\u{feff}'
        | '\u{200b}'
        | '\u{2028}'
        | '\u{2029}' => true,
        other => other.is_control(),
    }
}

#[cfg(test)]
mod tests {
    use super::{clean, clean_line};

    #[test]
    fn nothing_acts_on_the_screen() {
        assert_eq!(clean("a\u{1b}[31mb\u{202e}c\n\td"), "a\u{fffd}[31mb\u{fffd}c\n\td");
        assert_eq!(clean_line("a\nb\tc"), "a b c");
    }
}
