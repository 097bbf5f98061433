//! Text that Markdown must leave alone.

/// The text on one line with everything that CommonMark or its common extensions give a meaning escaped.
pub(crate) fn escape(text: &str) -> String {
    let line = crate::clean::clean_line(text);
    let mut escaped = String::with_capacity(line.len());
    let mut at_start = true;
    for letter in line.trim().chars() {
        let always = matches!(
            letter,
            '\\' | '`'
                | '*'
                | '_'
                | '{'
                | '}'
                | '['
                | ']'
                | '<'
                | '>'
                | '#'
                | '|'
                | '&'
                | '~'
                | '!'
                | '$'
                | '@'
                | '^'
        );
        // At the beginning of a line these would begin a list or a heading; a number before `.` or `)` likewise.
        let first = at_start && matches!(letter, '-' | '+' | '=');
        let after_number = matches!(letter, '.' | ')')
            && !escaped.is_empty()
            && escaped.bytes().all(|byte| byte.is_ascii_digit());
        // Readers that make links of bare addresses look for `://` and `www.`.
        let address = (letter == ':') || (letter == '.' && escaped.ends_with("www"));
        if always || first || after_number || address && !followed_by_space(&line, letter) {
            escaped.push('\\');
        }
        escaped.push(letter);
        at_start = false;
    }
    escaped
}

/// Whether every colon of the line stands before a space or at its end, as colons in sentences do.
fn followed_by_space(line: &str, letter: char) -> bool {
    letter == ':' && line.split(':').skip(1).all(|rest| rest.is_empty() || rest.starts_with(' '))
}

/// Plain text of several lines: lists stay lists and paragraphs paragraphs.
pub(crate) fn prose(plain: &str) -> String {
    let mut text = String::with_capacity(plain.len());
    let mut in_list = false;
    for line in plain.lines() {
        let body = line.trim_start_matches(' ');
        let indent = line.len() - body.len();
        let mark = list_mark(body);
        if body.is_empty() {
            text.push('\n');
            continue;
        }
        if !text.is_empty() {
            // A line end inside a paragraph was authored as one.
            let begins_block = mark > 0 && !in_list && !text.ends_with("\n\n");
            let goes_on = mark == 0 && !text.ends_with('\n');
            text.push_str(if goes_on { "\\\n" } else { "\n" });
            if begins_block {
                text.push('\n');
            }
        }
        in_list = mark > 0 || (in_list && indent > 0);
        text.push_str(&" ".repeat(if in_list { indent } else { 0 }));
        text.push_str(&body[..mark]);
        text.push_str(&escape(&body[mark..]));
    }
    text
}

/// The length of a list's mark, `- ` or `12. `, at the beginning of a line.
fn list_mark(line: &str) -> usize {
    let digits = line.len() - line.trim_start_matches(|letter: char| letter.is_ascii_digit()).len();
    if line.starts_with("- ") {
        2
    } else if (1..=9).contains(&digits) && line[digits..].starts_with(". ") {
        digits + 2
    } else {
        0
    }
}

#[cfg(test)]
mod tests {
    use super::{escape, prose};
    use comrak::{Options, markdown_to_html};

    fn html(markdown: &str) -> String {
        let mut options = Options::default();
        options.extension.table = true;
        options.extension.autolink = true;
        options.extension.strikethrough = true;
        options.extension.tasklist = true;
        options.render.r#unsafe = true;
        markdown_to_html(markdown, &options)
    }

    /// Whatever is written, a reader of Markdown with its common extensions shows it as it is (vectors: ours).
    #[test]
    fn escaped_text_is_shown_as_it_is() {
        for hostile in [
            "<script>alert(1)</script>",
            "a *b* _c_ `d` ~~e~~",
            "[x](javascript:alert(1))",
            "![x](y.png)",
            "# head",
            "- item",
            "1. item",
            "12) item",
            "+ item",
            "=== under",
            "> quote",
            "a | b | c",
            "&lt;b&gt;",
            "http://example.invalid/x",
            "www.example.invalid",
            "me@example.invalid",
            "a\\",
            "<!-- x -->",
            "ftp://x",
            "---",
            "***",
            "    code",
            "\tcode",
            "[ref]: http://example.invalid",
            "$x^2$",
        ] {
            let shown = html(&escape(hostile));
            let text = shown.strip_prefix("<p>").and_then(|rest| rest.strip_suffix("</p>\n"));
            let text = text.unwrap_or_else(|| panic!("{hostile:?} is more than a paragraph: {shown}"));
            let literal = hostile.trim().replace('&', "&amp;").replace('<', "&lt;").replace('>', "&gt;");
            assert_eq!(text, literal);
        }
    }

    #[test]
    fn lists_and_paragraphs_stay() {
        let shown = html(&prose("First.\nSecond line.\n\n- one\n- two\n  1. deep\n\nLast."));
        assert!(shown.starts_with("<p>First.<br />\nSecond line.</p>\n<ul>"), "{shown}");
        assert!(shown.contains("<ol>") && shown.ends_with("<p>Last.</p>\n"), "{shown}");
        assert_eq!(html(&prose("Call:\n- now")), "<p>Call:</p>\n<ul>\n<li>now</li>\n</ul>\n");
    }
}
