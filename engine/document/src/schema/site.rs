//! A value at fault: what people call it, where to look, and what stands there.

use crate::diagnostic::Place;
use crate::source::{Source, SourceId, Span};
use crate::tree::{Entry, Node, Value};
use crate::words::short;

/// The document that was checked.
pub(super) struct Document<'a> {
    pub(super) tree: &'a Node,
    pub(super) source: &'a Source,
    pub(super) id: SourceId,
}

/// The value a pointer leads to.
pub(super) struct Site<'a> {
    pub(super) node: &'a Node,
    /// The entry of the value, or the closest above it.
    pub(super) key: Option<&'a Entry>,
    /// The closest map with an `id` on the way: the step.
    pub(super) step: Option<&'a str>,
    /// Whether the value is an item of a list.
    item: bool,
}

impl Site<'_> {
    /// What a person calls the value.
    pub(super) fn name(&self) -> String {
        let step = self.step.map(|id| format!("step `{id}`"));
        match (self.key, step) {
            (_, Some(step)) if self.item && self.node.get("id").is_some() => step,
            (None, _) => "the document".to_owned(),
            (Some(entry), _) if self.item && matches!(entry.key.as_str(), "steps" | "any_order") => {
                "a step".to_owned()
            }
            (Some(entry), None) => format!("`{}`", entry.key),
            (Some(entry), Some(step)) => format!("`{}` of {step}", entry.key),
        }
    }

    /// Where to look: a value that is not there has only its key.
    pub(super) fn shown(&self) -> Span {
        match (&self.node.value, self.key) {
            (Value::Null, Some(entry)) if !self.item => entry.key_span,
            (Value::Map(entries), _) if !entries.is_empty() => {
                let first = &entries[0];
                Span { start: self.node.span.start, end: first.key_span.end }
            }
            _ => self.node.span,
        }
    }
}

impl<'a> Document<'a> {
    pub(super) fn site(&self, pointer: &str) -> Site<'a> {
        let mut site = Site { node: self.tree, key: None, step: None, item: false };
        for segment in pointer.split('/').skip(1) {
            match &site.node.value {
                Value::List(items) => {
                    let Some(node) = segment.parse::<usize>().ok().and_then(|at| items.get(at)) else {
                        break;
                    };
                    site.node = node;
                    site.item = true;
                }
                Value::Map(_) => {
                    let key = segment.replace("~1", "/").replace("~0", "~");
                    let Some(entry) = site.node.get(&key) else { break };
                    site.node = &entry.node;
                    site.key = Some(entry);
                    site.item = false;
                }
                Value::Null | Value::Bool(_) | Value::Integer(_) | Value::Number(_) | Value::Text(_) => break,
            }
            if let Some(id) = site.node.get("id").and_then(|entry| entry.node.text()) {
                site.step = Some(id);
            }
        }
        site
    }

    pub(super) fn place(&self, span: Span) -> Place {
        let text = self.text(span);
        let line = text.lines().next().unwrap_or_default().trim_end();
        Place { source: self.id, span: Span { start: span.start, end: span.start + line.len() } }
    }

    pub(super) fn text(&self, span: Span) -> &'a str {
        self.source.text.get(span.start..span.end).unwrap_or_default()
    }

    /// What was found, as a person wrote it.
    pub(super) fn shown(&self, node: &Node) -> String {
        let written = short(self.text(node.span));
        match &node.value {
            Value::Null => "nothing".to_owned(),
            Value::Bool(_) => format!("`{written}`"),
            Value::Integer(_) => format!("the whole number `{written}`"),
            Value::Number(_) => format!("the number `{written}`"),
            Value::Text(_) => format!("the text `{written}`"),
            Value::List(_) => "a list".to_owned(),
            Value::Map(_) => "a map".to_owned(),
        }
    }
}
