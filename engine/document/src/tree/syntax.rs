//! Faults of YAML itself, in plain sentences.

use crate::codes::{R04, R09};
use crate::diagnostic::{Diagnostic, Place};
use crate::limits::MAX_DEPTH;
use crate::source::{Position, Source, SourceId, Span};
use serde_yaml::granit_parser::{ErrorKind, ScanError};

/// The finding for a fault that ended the reading.
pub(super) fn finding(error: &ScanError, source: &Source, id: SourceId) -> Diagnostic {
    let mark = error.marker();
    let start = mark
        .byte_offset()
        .unwrap_or_else(|| source.offset(Position { line: mark.line(), column: mark.col() + 1 }));
    let start = source.floor(start);
    // A tab in front is found when the text after it is.
    let tabs = source.text[..start].len() - source.text[..start].trim_end_matches('\t').len();
    let start =
        if is_tab(error.kind()) && !source.text[start..].starts_with('\t') { start - tabs } else { start };
    let end =
        start + source.text[start..].chars().next().filter(|&char| char != '\n').map_or(0, char::len_utf8);
    let place = Place { source: id, span: Span { start, end } };
    if matches!(error.kind(), ErrorKind::RecursionLimitExceeded) {
        return too_deep(place);
    }
    let (message, help) = words(error.kind());
    Diagnostic::error(R04, place, message).help(help)
}

/// The finding for nesting past the limit.
pub(super) fn too_deep(place: Place) -> Diagnostic {
    Diagnostic::error(
        R09,
        place,
        format!("lists and maps may be nested at most {MAX_DEPTH} deep; these go deeper"),
    )
    .help("move the inner steps to a procedure of their own and `perform` it")
}

fn is_tab(kind: &ErrorKind) -> bool {
    use ErrorKind as K;
    matches!(
        kind,
        K::TabNotAllowed
            | K::TabInBlockIndentation
            | K::TabInIndentation
            | K::TabInPlainScalar
            | K::TabAtBlockScalarStart
    )
}

/// What happened, and what to do. The parser grows kinds between its releases: the last line is for those.
fn words(kind: &ErrorKind) -> (String, &'static str) {
    use ErrorKind as K;
    let (message, help) = match kind {
        tab if is_tab(tab) => ("a tab stands here, where YAML takes only spaces", "replace it by spaces"),
        K::UnexpectedEofFlowSequence | K::UnexpectedEofFlowMapping | K::UnexpectedEofImplicitFlowMapping => {
            ("the document ends inside a list or map in brackets", "add the closing `]` or `}`")
        }
        K::UnclosedFlowCollection { open } => {
            return (
                format!("the bracket `{open}` is never closed"),
                "add the closing `]` or `}`; a text that begins with a bracket needs quotes",
            );
        }
        K::MismatchedFlowCollectionEnd { open, close } => {
            return (
                format!("`{open}` is closed by `{close}`"),
                "close brackets in the order in which they were opened",
            );
        }
        K::MisplacedFlowCollectionEnd => {
            ("a closing bracket stands here that opens nowhere", "delete it, or put the text in quotes")
        }
        K::ExpectedFlowMappingSeparator | K::ExpectedFlowSequenceSeparator => (
            "between the items of a list or map in brackets stands a comma, and one is missing before this place",
            "add a comma, the closing bracket, or quotes round the text",
        ),
        K::UnclosedQuotedScalar | K::DocumentIndicatorInQuotedScalar => {
            ("a quoted text that begins here is never closed", "add the closing quote")
        }
        K::InvalidTrailingSingleQuotedScalar | K::InvalidTrailingDoubleQuotedScalar => (
            "something follows a quoted text on its line",
            "put all of it inside the quotes, or leave the quotes away",
        ),
        K::UnknownQuotedScalarEscape
        | K::InvalidQuotedScalarHexEscape
        | K::InvalidLowSurrogateHexEscape
        | K::InvalidLowSurrogate
        | K::MissingLowSurrogate
        | K::UnpairedLowSurrogate
        | K::InvalidUnicodeEscape => (
            "the characters after this backslash mean nothing between double quotes",
            "write `\\\\` for a backslash, or use single quotes",
        ),
        K::InvalidQuotedScalarIndent => {
            ("a quoted text goes on here with too little indentation", "indent its further lines")
        }
        K::InvalidIndentation
        | K::InvalidFlowScalarIndent
        | K::InvalidBlockScalarIndent
        | K::ExpectedBlockMappingKey
        | K::ExpectedBlockSequenceEntry
        | K::InvalidSimpleKey => (
            "this line does not fit the lines above it: its indentation differs, or the `:` after its key is missing",
            "line it up with the lines it belongs to, and put text with a `:` in quotes",
        ),
        K::SimpleKeyExpected | K::ExpectedNodeContent => {
            ("a value or a key with its `:` is missing here", "complete the line")
        }
        K::MappingValueNotAllowed
        | K::MappingKeyNotAllowed
        | K::InvalidColonPlacement
        | K::InvalidMappingValueWhitespace
        | K::FlowMappingValueAdjacentCollection => (
            "a `:` stands here where no key can be",
            "put the text in quotes if the `:` belongs to it; if it ends a key, line the key up with the others",
        ),
        K::BlockSequenceEntryNotAllowed
        | K::BlockEntryInFlowCollection
        | K::InvalidBlockEntryWhitespace
        | K::PlainScalarStartsWithDashFlowIndicator => (
            "a `-` stands here where no list item can begin",
            "begin a new line for the item, or put the text in quotes",
        ),
        K::UnexpectedCharacter { character } => {
            return (
                format!("a text cannot begin with `{}` unless it is quoted", character.escape_default()),
                "put the text in quotes",
            );
        }
        K::CommentNotSeparated | K::CommentInterceptedScalar => (
            "a `#` begins a comment here in the middle of a text",
            "put the text in quotes if the `#` belongs to it",
        ),
        K::ZeroBlockScalarIndent | K::InvalidBlockScalarHeader => {
            ("after `|` or `>` the line must end", "write the text on the lines below, indented")
        }
        K::BomInsideDocument => ("a byte order mark stands inside the document", "delete it"),
        K::InvalidDocumentEnd | K::ExpectedDocumentStart | K::MissingDocumentEndBeforeDirective => (
            "something follows the end of the document",
            "a file holds one document: delete what follows, or indent it",
        ),
        K::MissingAnchorOrAliasName => {
            ("`&` or `*` begins an anchor here, and these are not used", "put the text in quotes")
        }
        K::ExpectedTagBang
        | K::InvalidGlobalTagCharacter
        | K::InvalidTagTerminator
        | K::UndeclaredTagHandle
        | K::MissingTagUri
        | K::UnclosedVerbatimTag
        | K::InvalidTagEscape
        | K::InvalidTagUtf8LeadingByte
        | K::InvalidTagUtf8TrailingByte
        | K::InvalidTagUtf8 => ("`!` begins a tag here, and tags are not used", "put the text in quotes"),
        K::DuplicateVersionDirective
        | K::UnsupportedYamlMajorVersion
        | K::DuplicateTagDirective
        | K::ExpectedTagDirectiveBang
        | K::InvalidDirectiveTerminator
        | K::MissingYamlVersionSeparator
        | K::MissingDirectiveName
        | K::InvalidDirectiveName
        | K::DirectiveByteLimitExceeded { .. }
        | K::TooManyReservedDirectiveParams { .. }
        | K::YamlVersionTooLong
        | K::MissingYamlVersion
        | K::InvalidTagDirectiveTerminator => (
            "a line that begins with `%` gives a directive, and this one cannot be read",
            "delete the line, or put the text in quotes",
        ),
        _ => ("the document cannot be read as YAML from here on", "compare the line with those that work"),
    };
    (message.to_owned(), help)
}
