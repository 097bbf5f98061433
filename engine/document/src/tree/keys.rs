//! What may stand as a key: a plain text, so that nobody wonders whether `1` and `"1"` are the same.

use super::Value;
use crate::limits::MAX_KEY_BYTES;
use crate::source::Span;
use crate::words::short;

/// What is wrong with a key, and what to do.
type Fault = (String, String);

/// Takes a value that stands where a key belongs. One that cannot be read is empty; a list or map there is told
/// when it begins.
pub(super) fn read(span: Span, value: Value, text: &str) -> (String, Option<Fault>) {
    match value {
        Value::Text(key) if key.len() > MAX_KEY_BYTES => {
            let message =
                format!("a key may be at most {MAX_KEY_BYTES} bytes long; this one has {}", key.len());
            (String::new(), Some((message, "shorten it; a long text belongs after the `:`".to_owned())))
        }
        Value::Text(key) => (key, None),
        Value::Null if span.start == span.end => {
            let message = "a key is missing before the `:`".to_owned();
            (String::new(), Some((message, "write the key, or delete the line".to_owned())))
        }
        Value::Null | Value::Bool(_) | Value::Integer(_) | Value::Number(_) => {
            let written = short(text.get(span.start..span.end).unwrap_or_default());
            let message = format!("a key is a text, and `{written}` is not");
            let help = format!("put it in quotes: `\"{written}\"`");
            (written, Some((message, help)))
        }
        Value::List(_) | Value::Map(_) => (String::new(), None),
    }
}
