//! Authored text as Markdown: paragraphs, line ends and lists stay, and all else is shown as it is.

use super::escape::escape;
use crate::prose::{Line, Prose};

/// Lays the text out.
pub(super) fn prose(prose: &Prose) -> String {
    let lines = prose.lines();
    let mut text = String::new();
    for (at, line) in lines.iter().enumerate() {
        let after_words = at.checked_sub(1).is_some_and(|before| !lines[before].is_blank());
        if at > 0 {
            // A line end inside a paragraph was authored as one.
            let goes_on = after_words && !line.is_blank() && line.mark.is_empty();
            text.push_str(if goes_on { "\\\n" } else { "\n" });
        }
        if !line.is_blank() {
            let Line { indent, mark, text: words } = line;
            text.push_str(&" ".repeat(*indent));
            text.push_str(mark);
            text.push_str(&escape(words));
        }
    }
    text
}

#[cfg(test)]
mod tests {
    use super::super::escape::tests::html;
    use crate::prose::{Prose, Values};

    #[test]
    fn lists_and_paragraphs_stay_and_nothing_else_is_markup() {
        let shown = |text: &str| {
            let read = Prose::authored(text, &Values::new()).expect("it is read");
            html(&super::prose(&read))
        };
        let text = shown("First.\\\nSecond *line*.\n\n- one\n- two\n  1. deep\n\nLast.");
        assert!(text.starts_with("<p>First.<br />\nSecond line.</p>\n<ul>"), "{text}");
        assert!(text.contains("<ol>") && text.ends_with("<p>Last.</p>\n"), "{text}");
        assert_eq!(shown("Call:\n- now"), "<p>Call:</p>\n<ul>\n<li>now</li>\n</ul>\n");
        assert_eq!(shown("\\- no item"), "<p>- no item</p>\n");
    }
}
