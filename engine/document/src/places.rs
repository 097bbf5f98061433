//! Where the values and keys of a document stand, by JSON pointer (RFC 6901).

use crate::source::{Source, Span};
use crate::tree::{Node, Value};
use std::borrow::Cow;
use std::fmt::Write;

/// The places of one document.
#[derive(Clone, Debug)]
pub struct Places {
    root: Node,
}

impl Places {
    /// Keeps the tree of a document; a list or map over several lines is shown by its first.
    pub(crate) fn new(mut root: Node, source: &Source) -> Self {
        shorten(&mut root, &source.text);
        Self { root }
    }

    /// The whole document as JSON.
    pub(crate) fn json(&self) -> serde_json::Value {
        self.root.to_json()
    }

    /// Where a value stands, if it is there. A value over several lines is represented by its first.
    #[must_use]
    pub fn value(&self, pointer: &str) -> Option<Span> {
        let found = self.find(pointer);
        found.whole.then_some(found.node.span)
    }

    /// Where the key of a value stands, if it is there and has one.
    #[must_use]
    pub fn key(&self, pointer: &str) -> Option<Span> {
        let found = self.find(pointer);
        found.key.filter(|_| found.whole)
    }

    /// Where a value stands or, if it is not there, the closest list or map that would hold it.
    #[must_use]
    pub fn nearest(&self, pointer: &str) -> Span {
        self.find(pointer).node.span
    }

    /// Whether a list stands there.
    pub(crate) fn is_list(&self, pointer: &str) -> bool {
        let found = self.find(pointer);
        found.whole && matches!(found.node.value, Value::List(_))
    }

    fn find(&self, pointer: &str) -> Found<'_> {
        let mut found = Found { node: &self.root, key: None, whole: true };
        for segment in pointer.split('/').skip(1) {
            let next = match &found.node.value {
                Value::List(items) => {
                    segment.parse::<usize>().ok().and_then(|at| items.get(at)).map(|node| (node, None))
                }
                Value::Map(entries) => {
                    let key = unescape(segment);
                    entries
                        .iter()
                        .find(|entry| entry.key == key)
                        .map(|entry| (&entry.node, Some(entry.key_span)))
                }
                _ => None,
            };
            let Some((node, key)) = next else { return Found { whole: false, ..found } };
            found = Found { node, key, whole: true };
        }
        found
    }
}

struct Found<'a> {
    node: &'a Node,
    key: Option<Span>,
    whole: bool,
}

/// A pointer one level deeper, the segment escaped.
#[must_use]
pub fn pointer(parent: &str, segment: impl std::fmt::Display) -> String {
    let mut whole = String::with_capacity(parent.len() + 16);
    whole.push_str(parent);
    whole.push('/');
    let start = whole.len();
    // Writing to a text never fails.
    let _ = write!(whole, "{segment}");
    if let Cow::Owned(escaped) = escape(&whole[start..]) {
        whole.truncate(start);
        whole.push_str(&escaped);
    }
    whole
}

/// A key as a segment of a pointer. Keys are nearly always names, which need nothing.
fn escape(segment: &str) -> Cow<'_, str> {
    match segment.contains(['~', '/']) {
        true => Cow::Owned(segment.replace('~', "~0").replace('/', "~1")),
        false => Cow::Borrowed(segment),
    }
}

fn unescape(segment: &str) -> Cow<'_, str> {
    match segment.contains('~') {
        true => Cow::Owned(segment.replace("~1", "/").replace("~0", "~")),
        false => Cow::Borrowed(segment),
    }
}

/// Cuts every span at the end of its first line: a finding shows a line, not a page.
fn shorten(node: &mut Node, text: &str) {
    let shown = text.get(node.span.start..node.span.end).unwrap_or_default();
    let line = shown.as_bytes().iter().position(|&byte| byte == b'\n').map_or(shown, |end| &shown[..end]);
    node.span.end = node.span.start + line.trim_end().len();
    match &mut node.value {
        Value::List(items) => items.iter_mut().for_each(|item| shorten(item, text)),
        Value::Map(entries) => entries.iter_mut().for_each(|entry| shorten(&mut entry.node, text)),
        Value::Null | Value::Bool(_) | Value::Integer(_) | Value::Number(_) | Value::Text(_) => {}
    }
}

#[cfg(test)]
mod tests {
    use super::{Places, pointer};
    use crate::source::{Source, SourceId};
    use crate::tree::parse;

    #[test]
    fn pointers_lead_to_keys_and_values() {
        let source = Source::new("a.yaml", "top:\n  a/b~c: [one, two]\n  deep:\n    - x: 1\n      y: 2\n");
        let places = Places::new(parse(&source, SourceId(0)).unwrap(), &source);
        let shown = |span: Option<crate::source::Span>| span.map(|span| &source.text[span.start..span.end]);
        let slashed = pointer("/top", "a/b~c");
        assert_eq!(slashed, "/top/a~1b~0c");
        assert_eq!(shown(places.key(&slashed)), Some("a/b~c"));
        assert_eq!(shown(places.value(&slashed)), Some("[one, two]"));
        assert_eq!(shown(places.value("/top/a~1b~0c/1")), Some("two"));
        assert_eq!(shown(places.value("/top/deep/0")), Some("x: 1"), "a map over two lines shows its first");
        assert_eq!(shown(places.key("/top/deep/0")), None, "an item of a list has no key");
        assert_eq!(places.value("/top/deep/7/x"), None);
        assert_eq!(shown(Some(places.nearest("/top/deep/0/z"))), Some("x: 1"));
        assert!(places.value("").is_some());
        let source = Source::new("a.yaml", "a~1b: x\na/b: y\n");
        let places = Places::new(parse(&source, SourceId(0)).unwrap(), &source);
        let shown = |key| places.value(&pointer("", key)).map(|span| &source.text[span.start..span.end]);
        assert_eq!((shown("a~1b"), shown("a/b")), (Some("x"), Some("y")));
    }
}
