//! Authored text: Markdown with the figures of `{{ amount }}` filled in, as HTML and as plain text.

mod fill;
mod markdown;

pub(crate) use fill::{Values, key};
pub(crate) use markdown::escape;

use crate::clean::clean;
use serde::Serialize;

/// A text in the two forms that cards are made of.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Prose {
    /// A piece of HTML with nothing in it but paragraphs, lists, quotes, code and emphasis: no links, no images, no
    /// markup of the author's own. It can be put into a page as it is.
    pub html: String,
    /// The same without any markup; paragraphs are parted by an empty line.
    pub plain: String,
}

impl Prose {
    /// Fills the figures in and reads the text as Markdown. Markup and code of other kinds is shown as text.
    ///
    /// # Errors
    /// A sentence that says what is wrong with a `{{ … }}`, or that the text is nested too deeply.
    pub(crate) fn authored(text: &str, values: &Values) -> Result<Self, String> {
        markdown::read(&fill::fill(&clean(text), values)?)
    }

    /// A text of our own: shown as it is.
    pub(crate) fn plain(text: impl Into<String>) -> Self {
        let plain = text.into();
        Self { html: format!("<p>{}</p>", markdown::escape(&plain)), plain }
    }
}

#[cfg(test)]
mod tests {
    use super::{Prose, Values};

    fn prose(text: &str) -> Prose {
        Prose::authored(text, &Values::new()).unwrap()
    }

    /// Whatever the author writes, no markup of theirs reaches the page. The vectors are common ones (no source).
    #[test]
    fn markup_is_shown_and_never_acts() {
        for hostile in [
            "<script>alert(1)</script>",
            "a <img src=x onerror=alert(1)> b",
            "<b onclick='x'>bold</b>",
            "```\n<script>alert(1)</script>\n```",
            "`<script>`",
            "&lt;script&gt;",
            "[x](javascript:alert(1))",
            "![x](http://example.invalid/x.png)",
            "<http://example.invalid>",
            "<!-- hidden -->",
            "<![CDATA[ x ]]>",
            "\"quoted\" 'text'",
        ] {
            let html = prose(hostile).html;
            let mut rest = html.as_str();
            while let Some(at) = rest.find('<') {
                rest = &rest[at + 1..];
                let tag: String = rest.chars().take_while(|&letter| letter != '>').collect();
                let known = ["p", "/p", "code", "/code", "pre", "/pre"].contains(&tag.as_str());
                assert!(known, "{hostile:?} gives <{tag}> in {html}");
            }
        }
        assert_eq!(prose("<script>").html, "<p>&lt;script&gt;</p>");
        assert_eq!(prose("<script>").plain, "<script>");
        assert_eq!(prose("[the label](http://example.invalid)").plain, "the label (http://example.invalid)");
        assert_eq!(prose("![a pump](x.png)").html, "<p>a pump</p>");
        assert_eq!(prose("a\u{1b}[31m").plain, "a\u{fffd}[31m");
    }

    #[test]
    fn markdown_has_two_forms() {
        let text = prose("Turn it **off**, `now`.\n\n1. one\n2. two\n   - deep\n\n> quoted\n\n# Big");
        assert_eq!(
            text.html,
            "<p>Turn it <strong>off</strong>, <code>now</code>.</p><ol><li>one</li><li>two<ul><li>deep</li></ul></li>\
             </ol><blockquote><p>quoted</p></blockquote><p><strong>Big</strong></p>"
        );
        assert_eq!(text.plain, "Turn it off, now.\n\n1. one\n2. two\n   - deep\n\nquoted\n\nBig");
        assert_eq!(prose("a\nb\\\nc").plain, "a b\nc");
    }

    #[test]
    fn nesting_has_a_limit() {
        assert!(Prose::authored(&">".repeat(20_000), &Values::new()).is_err());
        assert!(Prose::authored(&"*_".repeat(20_000), &Values::new()).is_ok());
    }

    #[test]
    fn figures_are_filled_in() {
        let values = Values::from([("purge_time".to_owned(), "160 s".to_owned())]);
        let text = Prose::authored("Pump for {{ purge_time }}, *{{purge_time}}*.", &values).unwrap();
        assert_eq!(text.plain, "Pump for 160 s, 160 s.");
        for (wrong, says) in [
            ("{{ purge_tim }}", "`purge_tim`"),
            ("{{ purge_time | upper }}", "only the name of an amount"),
            ("{{ 'a' * 100000000 }}", "only the name of an amount"),
            ("{% for x in y %}", "`{%`"),
            ("{# hidden #}", "`{#`"),
            ("{{ purge_time", "`}}`"),
            ("{{ purge-time }}", "`purge_time`"),
        ] {
            let fault = Prose::authored(wrong, &values).unwrap_err();
            assert!(fault.contains(says), "{wrong}: {fault}");
        }
        assert_eq!(prose("a } b }} c { d").plain, "a } b }} c { d");
    }
}
