//! Events of the YAML parser to one tree, without recursion. Only a fault of syntax ends the reading; anything else
//! is noted and the reading goes on.

use super::{Entry, Node, Value, duplicates, keys, scalar, syntax};
use crate::codes::{R06, R07, R08, R09};
use crate::diagnostic::{Diagnostic, Place};
use crate::limits::{MAX_DEPTH, MAX_FINDINGS, MAX_NODES, too_many};
use crate::source::{Source, SourceId, Span};
use serde_yaml::granit_parser::{self as granit, Event, ScalarStyle, StructureStyle};

/// Reads one document. With any fault there is no tree, for its places and values could not be trusted.
pub(crate) fn parse(source: &Source, id: SourceId) -> Result<Node, Vec<Diagnostic>> {
    let mut options = granit::Options::default();
    options.emit_comments = false;
    options.emit_anchor_events = true;
    options.emit_unresolved_aliases = true;
    options.flow_nesting_limit = MAX_DEPTH;
    options.block_nesting_limit = MAX_DEPTH;
    let mut builder =
        Builder { text: &source.text, id, open: Vec::new(), root: None, nodes: 0, found: Vec::new() };
    for event in granit::Parser::new_from_str_with_options(&source.text, options) {
        let more = match event {
            Ok((event, span)) => builder.event(event, builder.span(span)),
            Err(error) => {
                let finding = syntax::finding(&error, source, id);
                let bracket = builder.open.last().and_then(|open| open.bracket);
                builder.found.push(match bracket {
                    Some(span) => finding.note(Place { source: id, span }, "this bracket is still open"),
                    None => finding,
                });
                false
            }
        };
        if !more || builder.found.len() > MAX_FINDINGS {
            break;
        }
    }
    builder.finish()
}

/// A list or map that has begun.
struct Open {
    start: usize,
    /// Where its bracket stands, if it is written with brackets.
    bracket: Option<Span>,
    items: Items,
}

enum Items {
    List(Vec<Node>),
    Map {
        entries: Vec<Entry>,
        key: Option<(String, Span)>,
    },
    /// A list or map where a key belongs: its contents do not matter.
    Ignored,
}

struct Builder<'a> {
    text: &'a str,
    id: SourceId,
    open: Vec<Open>,
    root: Option<Node>,
    nodes: usize,
    found: Vec<Diagnostic>,
}

impl Builder<'_> {
    /// Takes one event; `false` when reading on would be of no use.
    fn event(&mut self, event: Event<'_>, span: Span) -> bool {
        match event {
            Event::DocumentStart(..) if self.root.is_some() => {
                self.fault(
                    R08,
                    span,
                    "a second document begins here; a file holds one",
                    "put each document in a file of its own",
                );
                return false;
            }
            Event::Anchor(..) => self.fault(
                R07,
                span,
                "anchors (`&name`) are not used: what a step says stands in the step",
                "delete it, and write the value where it is meant",
            ),
            Event::Alias(_) | Event::UnresolvedAlias(_) => {
                self.fault(
                    R07,
                    span,
                    "aliases (`*name`) are not used: what a step says stands in the step",
                    "write the value itself; a text that begins with `*` needs quotes",
                );
                // A list is told nowhere else, should this stand in place of a key.
                return self.place(Node { span, value: Value::List(Vec::new()) });
            }
            Event::Scalar(text, style, _, tag) => {
                self.tag(tag.as_deref(), span);
                let plain = style == ScalarStyle::Plain;
                let value = match plain {
                    // Where nothing stands the parser says `~`.
                    true if span.start == span.end => Value::Null,
                    true => scalar::resolve(&text),
                    false => Value::Text(text.into_owned()),
                };
                return self.place(Node { span: self.trimmed(span), value });
            }
            Event::SequenceStart(style, _, tag) => {
                return self.begin(style, tag.as_deref(), span, Items::List(Vec::new()));
            }
            Event::MappingStart(style, _, tag) => {
                return self.begin(
                    style,
                    tag.as_deref(),
                    span,
                    Items::Map { entries: Vec::new(), key: None },
                );
            }
            Event::SequenceEnd | Event::MappingEnd => return self.end(span),
            _ => {}
        }
        true
    }

    fn begin(&mut self, style: StructureStyle, tag: Option<&granit::Tag>, span: Span, items: Items) -> bool {
        self.tag(tag, span);
        if self.open.len() >= MAX_DEPTH {
            self.found.push(syntax::too_deep(Place { source: self.id, span }));
            return false;
        }
        let items = match self.open.last() {
            Some(Open { items: Items::Map { key: None, .. }, .. }) => {
                self.fault(
                    R06,
                    span,
                    "a key is a text, and here a list or a map stands in its place",
                    "write the key as a word followed by `:`",
                );
                Items::Ignored
            }
            Some(Open { items: Items::Ignored, .. }) => Items::Ignored,
            _ => items,
        };
        let bracket = matches!(style, StructureStyle::Flow).then_some(span);
        self.open.push(Open { start: span.start, bracket, items });
        true
    }

    fn end(&mut self, span: Span) -> bool {
        let Some(open) = self.open.pop() else { return true };
        let (value, last) = match open.items {
            Items::List(items) => {
                let last = items.last().map(|item| item.span.end);
                (Value::List(items), last)
            }
            Items::Map { entries, .. } => {
                let last = entries.last().map(|entry| entry.node.span.end.max(entry.key_span.end));
                (Value::Map(duplicates::refuse(entries, self.id, &mut self.found)), last)
            }
            Items::Ignored => (Value::List(Vec::new()), None),
        };
        // A block ends where its last value ends; only a bracket has a place of its own.
        let end = if span.end > span.start { span.end } else { last.unwrap_or(span.end) };
        self.place(Node { span: Span { start: open.start, end: end.max(open.start) }, value })
    }

    /// Puts a value where it belongs.
    fn place(&mut self, node: Node) -> bool {
        self.nodes += 1;
        if self.nodes > MAX_NODES {
            let place = Place { source: self.id, span: node.span };
            self.found.push(
                Diagnostic::error(
                    R09,
                    place,
                    format!("a document may hold at most {MAX_NODES} values; this one has more"),
                )
                .help("split it"),
            );
            return false;
        }
        let taken = match self.open.last_mut().map(|open| &mut open.items) {
            None => {
                self.root = Some(node);
                None
            }
            Some(Items::List(items)) => {
                items.push(node);
                None
            }
            Some(Items::Map { entries, key }) => match key.take() {
                Some((name, key_span)) => {
                    entries.push(Entry { key: name, key_span, node });
                    None
                }
                None => Some(node),
            },
            Some(Items::Ignored) => None,
        };
        if let Some(node) = taken {
            let (name, fault) = keys::read(node.span, node.value, self.text);
            if let Some((message, help)) = fault {
                self.fault(R06, node.span, message, help);
            }
            if let Some(Open { items: Items::Map { key, .. }, .. }) = self.open.last_mut() {
                *key = Some((name, node.span));
            }
        }
        true
    }

    fn tag(&mut self, tag: Option<&granit::Tag>, span: Span) {
        if tag.is_some() {
            self.fault(
                R07,
                span,
                "tags (`!name`) are not used: every value is a text, a number, `true`, `false`, a list or a map",
                "delete it; a text that begins with `!` needs quotes",
            );
        }
    }

    fn fault(&mut self, code: &'static str, span: Span, message: impl Into<String>, help: impl Into<String>) {
        self.found.push(Diagnostic::error(code, Place { source: self.id, span }, message).help(help));
    }

    fn span(&self, span: granit::Span) -> Span {
        let range = span.byte_range().unwrap_or_default();
        let start = range.start.min(self.text.len());
        Span { start, end: range.end.clamp(start, self.text.len()) }
    }

    /// Block texts end with the line break before the next key; people see the last line as the end.
    fn trimmed(&self, span: Span) -> Span {
        let text = self.text.get(span.start..span.end).unwrap_or_default();
        Span { start: span.start, end: span.start + text.trim_end().len() }
    }

    fn finish(mut self) -> Result<Node, Vec<Diagnostic>> {
        if self.found.is_empty() {
            match self.root {
                Some(Node { value: Value::Null, .. }) | None => {}
                Some(root) => return Ok(root),
            }
            self.fault(
                R08,
                Span::default(),
                "the document is empty",
                "begin with `procedure: its-name` or `equipment: its-name`",
            );
        }
        if self.found.len() > MAX_FINDINGS {
            self.found.truncate(MAX_FINDINGS);
            self.found.push(too_many(self.id));
        }
        Err(self.found)
    }
}
