//! Bytes to text: size, encoding and characters that nobody could see on the page.

use crate::codes::{R01, R02, R03};
use crate::diagnostic::{Diagnostic, Place};
use crate::limits::{MAX_BYTES, MAX_FINDINGS, too_many};
use crate::source::{Source, SourceId, Span};

/// Takes the bytes of a file as a document's text. The text is kept as far as it can be shown, faults or not.
pub(crate) fn decode(name: &str, bytes: &[u8], id: SourceId) -> (Source, Vec<Diagnostic>) {
    let start = Place { source: id, span: Span::default() };
    if bytes.len() > MAX_BYTES {
        let finding = Diagnostic::error(
            R01,
            start,
            format!(
                "a document may be at most {}; this one has {}",
                size(MAX_BYTES, false),
                size(bytes.len(), true)
            ),
        )
        .help("split it, or make sure that it is the file you meant");
        return (Source::new(name, ""), vec![finding]);
    }
    if bytes.starts_with(&[0xff, 0xfe]) || bytes.starts_with(&[0xfe, 0xff]) {
        let finding = Diagnostic::error(R02, start, "the document is UTF-16")
            .help("save it as UTF-8; most editors offer this under `Save as`");
        return (Source::new(name, ""), vec![finding]);
    }
    // The mark some editors put first says only that UTF-8 follows; without it columns count from the text.
    let bytes = bytes.strip_prefix(b"\xef\xbb\xbf").unwrap_or(bytes);
    match std::str::from_utf8(bytes) {
        Ok(text) => {
            let findings = unseen(text, id);
            (Source::new(name, text), findings)
        }
        Err(error) => {
            let at = error.valid_up_to();
            let byte = bytes.get(at).copied().unwrap_or_default();
            let text = String::from_utf8_lossy(bytes);
            // Up to the fault the shown text is the document's; there stands a mark in place of the byte.
            let end = at + text[at..].chars().next().map_or(0, char::len_utf8);
            let finding = Diagnostic::error(
                R02,
                Place { source: id, span: Span { start: at, end } },
                format!("the document is not UTF-8: the byte {byte:#04x} does not belong here"),
            )
            .help("save it as UTF-8, and type the character at this place again");
            (Source::new(name, text), vec![finding])
        }
    }
}

/// Characters that a reviewer cannot see, or that change the order in which the others are shown.
fn unseen(text: &str, id: SourceId) -> Vec<Diagnostic> {
    let mut found = Vec::new();
    if text.bytes().all(|byte| byte == b'\n' || (b' '..0x7f).contains(&byte)) {
        return found;
    }
    let mut chars = text.char_indices().peekable();
    while let Some((at, char)) = chars.next() {
        let fault = match char {
            '\r' if chars.peek().is_some_and(|&(_, next)| next == '\n') => continue,
            '\r' => "a carriage return without a line feed",
            '\t' | '\n' => continue,
            '\u{0}' => "a NUL character",
            '\u{feff}' => "a byte order mark",
            '\u{202a}'..='\u{202e}' | '\u{2066}'..='\u{2069}' => {
                "a character that turns the direction of reading"
            }
            '\u{200b}' | '\u{2028}' | '\u{2029}' | '\u{fffe}' | '\u{ffff}' => "an invisible character",
            other if other.is_control() => "a control character",
            _ => continue,
        };
        let place = Place { source: id, span: Span { start: at, end: at + char.len_utf8() } };
        found.push(
            Diagnostic::error(
                R03,
                place,
                format!("{fault} (U+{:04X}) stands here, which nobody can see", char as u32),
            )
            .help("delete it"),
        );
        if found.len() > MAX_FINDINGS {
            found.truncate(MAX_FINDINGS);
            found.push(too_many(id));
            break;
        }
    }
    found
}

/// A size for people; `rounded` when it is no limit but what was met.
fn size(bytes: usize, rounded: bool) -> String {
    const MIB: usize = 1 << 20;
    if !rounded || bytes.is_multiple_of(MIB) {
        return format!("{} MiB", bytes / MIB);
    }
    let tenths = bytes.saturating_mul(10) / MIB;
    format!("{}.{} MiB ({bytes} bytes)", tenths / 10, tenths % 10)
}
