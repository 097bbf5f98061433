//! What a document may measure. Every message that refuses a document for its size names the limit it broke.

use crate::codes::R09;
use crate::diagnostic::{Diagnostic, Place};
use crate::source::{SourceId, Span};

/// Greatest size of one document, in bytes: 16 MiB, which is some hundred thousand steps.
pub const MAX_BYTES: usize = 16 << 20;

/// Deepest nesting of lists and maps, the document's own map included. Everything after the reader may recurse.
pub const MAX_DEPTH: usize = 64;

/// Most values (texts, lists, maps, keys) in one document.
pub const MAX_NODES: usize = 4_000_000;

/// Longest record that is kept of a walk, in bytes. The first holds the documents that the walk goes by.
pub const MAX_RECORD_BYTES: usize = 1 << 20;

/// Room in the first record for all but its documents: who walks, the serial number, names, revisions and hashes.
pub const RECORD_HEAD_BYTES: usize = 4096;

/// Longest key, in bytes. Bounds the pointers that name a place.
pub const MAX_KEY_BYTES: usize = 200;

/// Most faults told for one document; beyond them a person mends first and reads again.
pub const MAX_FINDINGS: usize = 100;

/// Most combinations of variants for which one amount is worked out.
pub const MAX_CASES: usize = 100;

/// The last finding of a document that has its fill of them.
pub(crate) fn too_many(source: SourceId) -> Diagnostic {
    Diagnostic::error(
        R09,
        Place { source, span: Span::default() },
        format!("more than {MAX_FINDINGS} faults were found; the others are not listed"),
    )
    .help("mend these and read the document again")
}
