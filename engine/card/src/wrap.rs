//! Lines of a given width.

/// Breaks a text into lines of at most `width` characters. Line ends in the text stay; a word longer than a line
/// is cut. Characters are counted, which is the width of all letters of the trade's languages.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    let width = width.max(1);
    let mut lines = Vec::new();
    for paragraph in text.split('\n') {
        let mut line = String::new();
        let mut used = 0;
        for word in paragraph.split(' ').filter(|word| !word.is_empty()) {
            let mut letters: Vec<char> = word.chars().collect();
            if used > 0 && used + 1 + letters.len() > width {
                lines.push(std::mem::take(&mut line));
                used = 0;
            }
            if used > 0 {
                line.push(' ');
                used += 1;
            }
            while letters.len() > width {
                lines.push(letters.drain(..width).collect());
            }
            used += letters.len();
            line.extend(letters);
        }
        lines.push(line);
    }
    lines
}

/// The same with a text before the first line; the others are moved in by as much.
pub fn hang(first: &str, text: &str, width: usize) -> Vec<String> {
    let indent = first.chars().count();
    let rest = " ".repeat(indent);
    let lines = wrap(text, width.saturating_sub(indent));
    let before = |at: usize| if at == 0 { first } else { &rest };
    lines.iter().enumerate().map(|(at, line)| format!("{}{line}", before(at)).trim_end().to_owned()).collect()
}

#[cfg(test)]
mod tests {
    use super::{hang, wrap};

    #[test]
    fn no_line_is_too_long_and_no_word_is_lost() {
        assert_eq!(wrap("one two three", 7), ["one two", "three"]);
        assert_eq!(wrap("one two three", 6), ["one", "two", "three"]);
        assert_eq!(wrap("a\n\nb", 5), ["a", "", "b"]);
        assert_eq!(wrap("xx abcdefgh", 3), ["xx", "abc", "def", "gh"]);
        assert_eq!(wrap("ééé ééé", 3), ["ééé", "ééé"], "characters count, not bytes");
        assert_eq!(wrap("", 10), [""]);
        assert_eq!(hang("[ ] ", "one two", 8), ["[ ] one", "    two"]);
    }
}
