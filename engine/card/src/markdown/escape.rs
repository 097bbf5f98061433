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

#[cfg(test)]
pub(crate) mod tests {
    use super::escape;
    use comrak::{Options, markdown_to_html};

    pub(crate) fn html(markdown: &str) -> String {
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
}
