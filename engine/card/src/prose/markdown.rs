//! Markdown to the few forms a card has. What Markdown would take over unread, such as raw HTML, becomes text here.

use super::Prose;
use comrak::nodes::{AstNode, ListType, NodeValue};
use comrak::{Arena, Options, parse_document};

/// Deeper nesting than this is no text for people.
const DEPTH_MOST: usize = 40;

/// Reads Markdown without any extension.
pub(super) fn read(text: &str) -> Result<Prose, String> {
    let arena = Arena::new();
    let root = parse_document(&arena, text, &Options::default());
    let mut writer = Writer::default();
    writer.children(root, 0)?;
    Ok(Prose { html: writer.html, plain: writer.plain.trim().to_owned() })
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

#[derive(Default)]
struct Writer {
    html: String,
    plain: String,
    /// What stands before each further line of plain text inside lists.
    indent: String,
    /// Whether paragraphs are those of a list whose items stand close together.
    tight: bool,
}

impl Writer {
    fn children<'a>(&mut self, node: &'a AstNode<'a>, depth: usize) -> Result<(), String> {
        if depth > DEPTH_MOST {
            return Err("the text is nested too deeply to be read".to_owned());
        }
        node.children().try_for_each(|child| self.node(child, depth + 1))
    }

    fn inside<'a>(
        &mut self,
        node: &'a AstNode<'a>,
        depth: usize,
        open: &str,
        close: &str,
    ) -> Result<(), String> {
        self.html.push_str(open);
        self.children(node, depth)?;
        self.html.push_str(close);
        Ok(())
    }

    fn node<'a>(&mut self, node: &'a AstNode<'a>, depth: usize) -> Result<(), String> {
        let value = node.data.borrow().value.clone();
        match value {
            NodeValue::Paragraph if self.tight => {
                if self.plain.ends_with(|last: char| last != ' ') && node.previous_sibling().is_some() {
                    self.line();
                }
                self.children(node, depth)?;
            }
            NodeValue::Paragraph => {
                self.block();
                self.inside(node, depth, "<p>", "</p>")?;
            }
            // A heading of the author's would break the order of the page's own headings.
            NodeValue::Heading(_) => {
                self.block();
                self.inside(node, depth, "<p><strong>", "</strong></p>")?;
            }
            NodeValue::BlockQuote => self.inside(node, depth, "<blockquote>", "</blockquote>")?,
            NodeValue::List(list) => {
                let (open, close) = match list.list_type {
                    ListType::Ordered if list.start == 1 => ("<ol>".to_owned(), "</ol>"),
                    ListType::Ordered => (format!("<ol start=\"{}\">", list.start), "</ol>"),
                    ListType::Bullet => ("<ul>".to_owned(), "</ul>"),
                };
                let outside = std::mem::replace(&mut self.tight, list.tight);
                if self.indent.is_empty() {
                    self.block();
                } else {
                    self.line();
                }
                self.html.push_str(&open);
                for (number, item) in (list.start..).zip(node.children()) {
                    let mark = match list.list_type {
                        ListType::Ordered => format!("{number}. "),
                        ListType::Bullet => "- ".to_owned(),
                    };
                    if number > list.start {
                        self.line();
                    }
                    self.plain.push_str(&mark);
                    let before = self.indent.len();
                    self.indent.push_str(&" ".repeat(mark.len()));
                    self.inside(item, depth, "<li>", "</li>")?;
                    self.indent.truncate(before);
                }
                self.html.push_str(close);
                self.tight = outside;
            }
            NodeValue::CodeBlock(code) => {
                self.block();
                self.html.push_str("<pre>");
                self.text(code.literal.trim_end());
                self.html.push_str("</pre>");
            }
            NodeValue::HtmlBlock(block) => {
                self.block();
                self.html.push_str("<p>");
                self.text(block.literal.trim_end());
                self.html.push_str("</p>");
            }
            NodeValue::ThematicBreak => self.block(),
            NodeValue::Text(text) => self.text(&text),
            NodeValue::HtmlInline(text) => self.text(&text),
            NodeValue::Code(code) => {
                self.html.push_str("<code>");
                self.text(&code.literal);
                self.html.push_str("</code>");
            }
            NodeValue::SoftBreak => self.text(" "),
            NodeValue::LineBreak => {
                self.html.push_str("<br>");
                self.line();
            }
            NodeValue::Emph => self.inside(node, depth, "<em>", "</em>")?,
            NodeValue::Strong => self.inside(node, depth, "<strong>", "</strong>")?,
            // On paper no one can follow a link, so its address is printed.
            NodeValue::Link(link) => {
                let start = self.plain.len();
                self.children(node, depth)?;
                if self.plain.get(start..) != Some(link.url.as_str()) {
                    self.text(&format!(" ({})", link.url));
                }
            }
            // An image would be fetched from elsewhere; its description stays. All else is an extension, not in use.
            _ => self.children(node, depth)?,
        }
        Ok(())
    }

    fn text(&mut self, text: &str) {
        self.html.push_str(&escape(text));
        let further = format!("\n{}", self.indent);
        self.plain.push_str(&text.replace('\n', &further));
    }

    fn line(&mut self) {
        self.plain.push('\n');
        self.plain.push_str(&self.indent);
    }

    /// Begins a block: parted by an empty line from what stands before it, unless it begins its item.
    fn block(&mut self) {
        let begins = self.plain.is_empty() || self.plain.ends_with("- ") || self.plain.ends_with(". ");
        if !begins {
            self.plain.push('\n');
            self.line();
        }
    }
}
