//! Lines of a given width.

/// Breaks a text into lines of at most `width` characters. Line ends in the text stay, and so do the spaces that a
/// line begins with; what belongs to an item of a list is moved in under it. A word longer than a line is cut.
/// Characters are counted, which is the width of all letters of the trade's languages.
pub(crate) fn wrap(text: &str, width: usize) -> Vec<String> {
    text.split('\n').flat_map(|paragraph| wrap_paragraph(paragraph, width.max(1))).collect()
}

fn wrap_paragraph(paragraph: &str, width: usize) -> Vec<String> {
    let lead = paragraph.len() - paragraph.trim_start_matches(' ').len();
    let under = lead + marker(&paragraph[lead..]);
    // Where the room is too small for moving in, there is none.
    let (lead, under) = if under + 8 > width { (0, 0) } else { (lead, under) };
    let mut lines = Vec::new();
    let mut line = " ".repeat(lead);
    let (mut used, mut begun) = (lead, false);
    for word in paragraph.split(' ').filter(|word| !word.is_empty()) {
        let mut letters: Vec<char> = word.chars().collect();
        if begun && used + 1 + letters.len() > width {
            lines.push(std::mem::replace(&mut line, " ".repeat(under)));
            (used, begun) = (under, false);
        }
        if begun {
            line.push(' ');
            used += 1;
        }
        while used + letters.len() > width {
            line.extend(letters.drain(..width - used));
            lines.push(std::mem::replace(&mut line, " ".repeat(under)));
            used = under;
        }
        used += letters.len();
        line.extend(letters);
        begun = true;
    }
    lines.push(line);
    lines
}

/// The width of a list's mark, `- ` or `12. `, at the beginning of a line.
fn marker(text: &str) -> usize {
    let digits = text.len() - text.trim_start_matches(|letter: char| letter.is_ascii_digit()).len();
    if text.starts_with("- ") {
        2
    } else if digits > 0 && text[digits..].starts_with(". ") {
        digits + 2
    } else {
        0
    }
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
        assert_eq!(wrap("  - one two three four", 12), ["  - one two", "    three", "    four"]);
        assert_eq!(wrap("1. one two three", 12), ["1. one two", "   three"]);
        assert_eq!(wrap("      deep indent", 7), ["deep", "indent"], "no room to move in");
        assert_eq!(hang("[ ] ", "one two", 8), ["[ ] one", "    two"]);
    }
}
