//! Text as HTML.

use super::model::{Block, List, Prose, Span};

impl Prose {
    /// A piece of HTML with nothing in it but paragraphs, lists, quotes, code and emphasis: no links, no images, no
    /// markup of the author's own. It can be put into a page as it is.
    #[must_use]
    pub fn html(&self) -> String {
        let Self { blocks } = self;
        let mut html = String::new();
        write_blocks(blocks, &mut html);
        html
    }
}

fn write_blocks(blocks: &[Block], html: &mut String) {
    for block in blocks {
        match block {
            Block::Paragraph(spans) => {
                html.push_str("<p>");
                write_spans(spans, html);
                html.push_str("</p>");
            }
            Block::Line(spans) => write_spans(spans, html),
            Block::List(list) => write_list(list, html),
            Block::Quote(inner) => {
                html.push_str("<blockquote>");
                write_blocks(inner, html);
                html.push_str("</blockquote>");
            }
            Block::Code(text) => html.push_str(&format!("<pre>{}</pre>", escape(text))),
            Block::Rule => {}
        }
    }
}

fn write_list(list: &List, html: &mut String) {
    let List { first, items } = list;
    let (open, close) = match first {
        Some(1) => ("<ol>".to_owned(), "</ol>"),
        Some(first) => (format!("<ol start=\"{first}\">"), "</ol>"),
        None => ("<ul>".to_owned(), "</ul>"),
    };
    html.push_str(&open);
    for item in items {
        html.push_str("<li>");
        write_blocks(item, html);
        html.push_str("</li>");
    }
    html.push_str(close);
}

fn write_spans(spans: &[Span], html: &mut String) {
    for span in spans {
        match span {
            Span::Text(text) => html.push_str(&escape(text)),
            Span::Code(text) => html.push_str(&format!("<code>{}</code>", escape(text))),
            Span::Emphasis(inner) => inside("em", inner, html),
            Span::Strong(inner) => inside("strong", inner, html),
            Span::Link { text, address } => {
                write_spans(text, html);
                html.push_str(&escape(&Span::after_link(text, address).unwrap_or_default()));
            }
            Span::Break => html.push_str("<br>"),
        }
    }
}

fn inside(tag: &str, spans: &[Span], html: &mut String) {
    html.push_str(&format!("<{tag}>"));
    write_spans(spans, html);
    html.push_str(&format!("</{tag}>"));
}

/// The text with everything that HTML gives a meaning written as that character.
pub(crate) fn escape(text: &str) -> String {
    let mut escaped = String::with_capacity(text.len());
    for letter in text.chars() {
        match letter {
            '&' => escaped.push_str("&amp;"),
            '<' => escaped.push_str("&lt;"),
            '>' => escaped.push_str("&gt;"),
            '"' => escaped.push_str("&quot;"),
            '\'' => escaped.push_str("&#39;"),
            other => escaped.push(other),
        }
    }
    escaped
}
