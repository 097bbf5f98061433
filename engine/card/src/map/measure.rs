//! How wide a text is in the sans-serif type that cards are set in.

use super::model::TYPE_SIZE;

/// Widths of the printable ASCII characters in thousandths of the type size: the metrics of Helvetica, which Arial and
/// Liberation Sans share (memory; `tests/scenarios/screens` measures the text in a browser).
const ASCII: [u16; 95] = [
    278, 278, 355, 556, 556, 889, 667, 191, 333, 333, 389, 584, 278, 333, 278, 278, 556, 556, 556, 556, 556,
    556, 556, 556, 556, 556, 278, 278, 584, 584, 584, 556, 1015, 667, 667, 722, 722, 667, 611, 778, 722, 278,
    500, 667, 556, 833, 722, 778, 667, 778, 722, 667, 611, 722, 667, 944, 667, 667, 611, 278, 278, 278, 469,
    556, 333, 556, 556, 500, 556, 556, 278, 556, 556, 222, 222, 500, 222, 833, 556, 556, 556, 556, 333, 500,
    278, 556, 500, 722, 500, 500, 500, 334, 260, 334, 584,
];
/// Bold letters are wider, by a tenth at most on average.
const BOLD: i32 = 110;

fn letter(letter: char) -> i32 {
    let at = (letter as usize).wrapping_sub(0x20);
    match ASCII.get(at) {
        Some(&width) => i32::from(width),
        // Letters of other scripts are at most as wide as the type is high.
        None => 1000,
    }
}

/// The width of a text in tenths of a millimetre.
pub(super) fn width(text: &str) -> i32 {
    let sum: i32 = text.chars().map(letter).sum();
    (sum * TYPE_SIZE + 999) / 1000
}

/// The same where it is known and not only bounded: for printable ASCII.
pub(super) fn exact(text: &str) -> Option<i32> {
    let known = !text.is_empty() && text.chars().all(|one| matches!(one, ' '..='~'));
    known.then(|| width(text))
}

/// The same in bold.
pub(super) fn bold(text: &str) -> i32 {
    width(text) * BOLD / 100 + 1
}

/// The text cut to a width, with dots where something is left out.
pub(super) fn cut(text: &str, room: i32, width: impl Fn(&str) -> i32) -> String {
    if width(text) <= room {
        return text.to_owned();
    }
    let mut kept: Vec<char> = text.chars().collect();
    while kept.pop().is_some() {
        let shorter: String = kept.iter().collect::<String>().trim_end().to_owned() + "…";
        if width(&shorter) <= room {
            return shorter;
        }
    }
    "…".to_owned()
}

/// The text on one or two lines of a width; what does not fit is left out with dots.
pub(super) fn two_lines(text: &str, room: i32) -> Vec<String> {
    if width(text) <= room {
        return vec![text.to_owned()];
    }
    let breaks: Vec<usize> =
        text.match_indices(' ').map(|(at, _)| at).filter(|&at| width(&text[..at]) <= room).collect();
    match breaks.last() {
        Some(&at) => vec![text[..at].to_owned(), cut(&text[at + 1..], room, width)],
        None => vec![cut(text, room, width)],
    }
}

#[cfg(test)]
mod tests {
    use super::{cut, two_lines, width};

    #[test]
    fn text_keeps_to_its_room() {
        // 278 + 722 + 556 + 556 thousandths of 3.5 mm.
        assert_eq!(width(" Hop"), (278 + 722 + 556 + 556) * 35 / 1000 + 1);
        assert_eq!(cut("abc", 100, width), "abc");
        assert_eq!(cut("abcdefghijkl", 100, width), "abc…");
        assert_eq!(cut("abc", 0, width), "…");
        assert_eq!(two_lines("short", 200), ["short"]);
        assert_eq!(two_lines("two short words", 160), ["two short", "words"]);
        for line in two_lines(&"word ".repeat(40), 300).iter().chain(&two_lines(&"x".repeat(500), 300)) {
            assert!(width(line) <= 300, "{line}");
        }
    }
}
