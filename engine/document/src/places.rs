//! Where the values and keys of a document stand, by JSON pointer (RFC 6901).

use crate::source::{Source, SourceId, Span};
use crate::tree::{Node, Value, parse};
use indexmap::IndexSet;
use std::borrow::Cow;
use std::fmt::Write;
use std::sync::OnceLock;

/// The places of one document.
///
/// They are kept for every document of a library as long as it is worked with: what stands there is read again where somebody
/// asks for it.
#[derive(Clone, Debug)]
pub struct Places {
    /// The root first; what stands in a list or map stands together, in order.
    all: Box<[At]>,
    /// The keys of all maps, each once.
    keys: IndexSet<Box<str>>,
    json: OnceLock<Option<serde_json::Value>>,
}

/// Where a value stands, and what stands in it.
#[derive(Clone, Copy, Debug)]
struct At {
    span: Short,
    key_span: Short,
    key: u32,
    /// The first of what stands in it.
    first: u32,
    count: u32,
    is: Is,
}

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Is {
    List,
    Map,
    Other,
}

/// A stretch of a document, which is never as long as half a number of this kind.
#[derive(Clone, Copy, Debug, Default)]
struct Short {
    start: u32,
    end: u32,
}

impl From<Span> for Short {
    fn from(Span { start, end }: Span) -> Self {
        Self { start: short(start), end: short(end) }
    }
}

impl From<Short> for Span {
    fn from(Short { start, end }: Short) -> Self {
        Self { start: start as usize, end: end as usize }
    }
}

fn short(number: usize) -> u32 {
    u32::try_from(number).unwrap_or(u32::MAX)
}

impl Places {
    /// The places of a document; a list or map over several lines is shown by its first.
    pub(crate) fn new(root: &Node, text: &str) -> Self {
        let mut keys = IndexSet::new();
        let mut all = vec![At::new(root, text)];
        // What stands in one value is put down before anything that stands in the next.
        let mut nodes = vec![root];
        let mut next = 0;
        while let Some(node) = nodes.get(next).copied() {
            all[next].first = short(all.len());
            match &node.value {
                Value::List(items) => {
                    all.extend(items.iter().map(|item| At::new(item, text)));
                    nodes.extend(items);
                }
                Value::Map(entries) => {
                    for entry in entries {
                        let key = match keys.get_index_of(entry.key.as_str()) {
                            Some(key) => key,
                            None => keys.insert_full(entry.key.as_str().into()).0,
                        };
                        let key_span = entry.key_span.into();
                        all.push(At { key: short(key), key_span, ..At::new(&entry.node, text) });
                        nodes.push(&entry.node);
                    }
                }
                Value::Null | Value::Bool(_) | Value::Integer(_) | Value::Number(_) | Value::Text(_) => {}
            }
            next += 1;
        }
        keys.shrink_to_fit();
        Self { all: all.into(), keys, json: OnceLock::new() }
    }

    /// The whole document as JSON, read again from its text; none if that is not the text that it was read from.
    pub(crate) fn json(&self, source: &Source) -> Option<&serde_json::Value> {
        self.json.get_or_init(|| Some(parse(source, SourceId(0)).ok()?.to_json())).as_ref()
    }

    /// Where a value stands, if it is there. A value over several lines is represented by its first.
    #[must_use]
    pub fn value(&self, pointer: &str) -> Option<Span> {
        let found = self.find(pointer);
        found.whole.then(|| found.at.span.into())
    }

    /// Where the key of a value stands, if it is there and has one.
    #[must_use]
    pub fn key(&self, pointer: &str) -> Option<Span> {
        let found = self.find(pointer);
        (found.whole && found.has_key).then(|| found.at.key_span.into())
    }

    /// Where a value stands or, if it is not there, the closest list or map that would hold it.
    #[must_use]
    pub fn nearest(&self, pointer: &str) -> Span {
        self.find(pointer).at.span.into()
    }

    /// Whether a list stands there.
    pub(crate) fn is_list(&self, pointer: &str) -> bool {
        let found = self.find(pointer);
        found.whole && found.at.is == Is::List
    }

    fn find(&self, pointer: &str) -> Found<'_> {
        let mut found = Found { at: &self.all[0], has_key: false, whole: true };
        for segment in pointer.split('/').skip(1) {
            let inside = &self.all[found.at.first as usize..][..found.at.count as usize];
            let next = match found.at.is {
                Is::List => segment.parse::<usize>().ok().and_then(|at| inside.get(at)),
                Is::Map => self
                    .keys
                    .get_index_of(&*unescape(segment))
                    .and_then(|key| inside.iter().find(|at| at.key as usize == key)),
                Is::Other => None,
            };
            let Some(at) = next else { return Found { whole: false, ..found } };
            found = Found { at, has_key: found.at.is == Is::Map, whole: true };
        }
        found
    }
}

impl At {
    /// The place of a value without a key. A finding shows a line, not a page: it ends with its first.
    fn new(node: &Node, text: &str) -> Self {
        let (is, count) = match &node.value {
            Value::List(items) => (Is::List, items.len()),
            Value::Map(entries) => (Is::Map, entries.len()),
            Value::Null | Value::Bool(_) | Value::Integer(_) | Value::Number(_) | Value::Text(_) => {
                (Is::Other, 0)
            }
        };
        let shown = text.get(node.span.start..node.span.end).unwrap_or_default();
        let line = shown.as_bytes().iter().position(|&byte| byte == b'\n').map_or(shown, |end| &shown[..end]);
        let span = Span { end: node.span.start + line.trim_end().len(), ..node.span };
        Self { span: span.into(), key_span: Short::default(), key: 0, first: 0, count: short(count), is }
    }
}

struct Found<'a> {
    at: &'a At,
    has_key: bool,
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

#[cfg(test)]
mod tests {
    use super::{Places, pointer};
    use crate::source::{Source, SourceId};
    use crate::tree::parse;

    #[test]
    fn pointers_lead_to_keys_and_values() {
        let source = Source::new("a.yaml", "top:\n  a/b~c: [one, two]\n  deep:\n    - x: 1\n      y: 2\n");
        let places = Places::new(&parse(&source, SourceId(0)).unwrap(), &source.text);
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
        let places = Places::new(&parse(&source, SourceId(0)).unwrap(), &source.text);
        let shown = |key| places.value(&pointer("", key)).map(|span| &source.text[span.start..span.end]);
        assert_eq!((shown("a~1b"), shown("a/b")), (Some("x"), Some("y")));
    }
}
