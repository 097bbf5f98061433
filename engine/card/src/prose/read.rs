//! Markdown to the few blocks and spans a card has. What Markdown would take over unread, such as raw HTML, is text here.

use super::fill::{Values, fill};
use super::model::{Block, List, Prose, Span};
use crate::clean::clean;
use comrak::nodes::{AstNode, ListType, NodeList, NodeValue};
use comrak::{Arena, Options, parse_document};

/// Deeper nesting than this is no text for people.
const DEPTH_MOST: usize = 40;

impl Prose {
    /// Fills the figures in and reads the text as Markdown without any extension.
    ///
    /// # Errors
    /// A sentence that says what is wrong with a `{{ … }}`, or that the text is nested too deeply.
    pub(crate) fn authored(text: &str, values: &Values) -> Result<Self, String> {
        let arena = Arena::new();
        let root = parse_document(&arena, &fill(&clean(text), values)?, &Options::default());
        let mut blocks = Vec::new();
        read_blocks(root, Spacing::Apart, 0, &mut blocks)?;
        Ok(Self { blocks })
    }
}

/// How the paragraphs of an item stand.
#[derive(Clone, Copy)]
enum Spacing {
    Apart,
    Close,
}

fn deeper(depth: usize) -> Result<usize, String> {
    if depth > DEPTH_MOST {
        return Err("the text is nested too deeply to be read".to_owned());
    }
    Ok(depth + 1)
}

/// The blocks inside a node. Comrak's kinds that are left out belong to extensions, none of which is in use.
fn read_blocks<'a>(
    parent: &'a AstNode<'a>,
    spacing: Spacing,
    depth: usize,
    blocks: &mut Vec<Block>,
) -> Result<(), String> {
    let depth = deeper(depth)?;
    for node in parent.children() {
        match &node.data.borrow().value {
            NodeValue::Paragraph => blocks.push(match spacing {
                Spacing::Apart => Block::Paragraph(read_spans(node, depth)?),
                Spacing::Close => Block::Line(read_spans(node, depth)?),
            }),
            NodeValue::Heading(_) => {
                blocks.push(Block::Paragraph(vec![Span::Strong(read_spans(node, depth)?)]));
            }
            NodeValue::BlockQuote => {
                let mut inner = Vec::new();
                read_blocks(node, Spacing::Apart, depth, &mut inner)?;
                blocks.push(Block::Quote(inner));
            }
            NodeValue::List(list) => blocks.push(Block::List(read_list(node, list, depth)?)),
            NodeValue::CodeBlock(code) => blocks.push(Block::Code(code.literal.trim_end().to_owned())),
            NodeValue::HtmlBlock(block) => {
                blocks.push(Block::Paragraph(vec![Span::Text(block.literal.trim_end().to_owned())]));
            }
            NodeValue::ThematicBreak => blocks.push(Block::Rule),
            _ => read_blocks(node, spacing, depth, blocks)?,
        }
    }
    Ok(())
}

fn read_list<'a>(node: &'a AstNode<'a>, list: &NodeList, depth: usize) -> Result<List, String> {
    let first = match list.list_type {
        ListType::Ordered => Some(list.start),
        ListType::Bullet => None,
    };
    let spacing = if list.tight { Spacing::Close } else { Spacing::Apart };
    let mut items = Vec::new();
    for item in node.children() {
        let mut blocks = Vec::new();
        read_blocks(item, spacing, depth, &mut blocks)?;
        items.push(blocks);
    }
    Ok(List { first, items })
}

/// The spans inside a node. Comrak's kinds that are left out belong to extensions, none of which is in use.
fn read_spans<'a>(parent: &'a AstNode<'a>, depth: usize) -> Result<Vec<Span>, String> {
    let depth = deeper(depth)?;
    let mut spans = Vec::new();
    for node in parent.children() {
        match &node.data.borrow().value {
            NodeValue::Text(text) => push_text(text, &mut spans),
            NodeValue::HtmlInline(text) => push_text(text, &mut spans),
            NodeValue::SoftBreak => push_text(" ", &mut spans),
            NodeValue::Code(code) => spans.push(Span::Code(code.literal.clone())),
            NodeValue::LineBreak => spans.push(Span::Break),
            NodeValue::Emph => spans.push(Span::Emphasis(read_spans(node, depth)?)),
            NodeValue::Strong => spans.push(Span::Strong(read_spans(node, depth)?)),
            NodeValue::Link(link) => {
                spans.push(Span::Link { text: read_spans(node, depth)?, address: link.url.clone() });
            }
            // It would be fetched from elsewhere: its description stays.
            NodeValue::Image(_) => spans.extend(read_spans(node, depth)?),
            _ => spans.extend(read_spans(node, depth)?),
        }
    }
    Ok(spans)
}

/// Letters that follow each other are one span, however many pieces the reader makes of them.
fn push_text(text: &str, spans: &mut Vec<Span>) {
    match spans.last_mut() {
        Some(Span::Text(last)) => last.push_str(text),
        Some(Span::Code(_) | Span::Emphasis(_) | Span::Strong(_) | Span::Link { .. } | Span::Break)
        | None => {
            spans.push(Span::Text(text.to_owned()));
        }
    }
}
