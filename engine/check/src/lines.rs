//! Items of lists as lines of a text.

use std::ops::Range;

/// The start of the line on which a list item begins, above comments that belong to it. `None` if the item does not
/// begin its line.
pub(crate) fn item_start(text: &str, first_key: usize) -> Option<usize> {
    let mut start = line_start(text, first_key);
    if !text[start..].trim_start_matches(' ').starts_with("- ") {
        return None;
    }
    let depth = indent(&text[start..]);
    while start > 0 {
        let before = line_start(text, start - 1);
        let comment = &text[before..start];
        if indent(comment) != depth || !comment.trim_start().starts_with('#') {
            break;
        }
        start = before;
    }
    Some(start)
}

/// The lines of a list item whose first key stands there, with the comments that belong to it.
pub(crate) fn item(text: &str, first_key: usize) -> Option<Range<usize>> {
    let start = item_start(text, first_key)?;
    let depth = indent(&text[line_start(text, first_key)..]);
    let mut end = next_line(text, first_key);
    let mut blank = end;
    while blank < text.len() {
        let line = &text[blank..];
        let next = next_line(text, blank);
        if !text[blank..next].trim().is_empty() {
            if indent(line) <= depth {
                break;
            }
            end = next;
        }
        blank = next;
    }
    Some(start..end)
}

/// By how much a line is indented.
pub(crate) fn indent(line: &str) -> usize {
    line.len() - line.trim_start_matches(' ').len()
}

fn line_start(text: &str, offset: usize) -> usize {
    text[..offset].rfind('\n').map_or(0, |at| at + 1)
}

fn next_line(text: &str, offset: usize) -> usize {
    text[offset..].find('\n').map_or(text.len(), |at| offset + at + 1)
}

/// The lines indented by so much more.
pub(crate) fn deeper(lines: &str, by: usize) -> String {
    let deeper = |line: &str| {
        if line.trim().is_empty() { line.to_owned() } else { format!("{}{line}", " ".repeat(by)) }
    };
    lines.split_inclusive('\n').map(deeper).collect()
}
