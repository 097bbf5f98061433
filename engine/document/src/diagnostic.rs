//! A finding as data: nothing here lays one out.

use crate::source::{SourceId, Span};

/// How much a finding matters, least first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Severity {
    /// Worth reading; stops nothing.
    Advice,
    /// Likely a fault; stops nothing.
    Warning,
    /// No card and no walk until it is mended.
    Error,
}

impl Severity {
    /// The word people read.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Advice => "advice",
            Self::Warning => "warning",
            Self::Error => "error",
        }
    }
}

/// A span in a document of the library.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub struct Place {
    /// Which document.
    pub source: SourceId,
    /// Where in it.
    pub span: Span,
}

/// One fault found, ready to be laid out as text, JSON or anything else.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Diagnostic {
    /// The stable code of the rule, such as `R01`.
    pub code: &'static str,
    /// How much it matters.
    pub severity: Severity,
    /// Where to look first.
    pub place: Place,
    /// One sentence that stands alone.
    pub message: String,
    /// Further places where the same cause shows, in order; telling it once is enough.
    pub also: Vec<Place>,
    /// What findings of one code have in common when one mend serves them all; none for one that stands for itself.
    pub cause: Option<String>,
    /// Other places that explain the fault, each with a short remark.
    pub notes: Vec<(Place, String)>,
    /// A path a person can act out, one line a move, ending at the fault.
    pub trace: Vec<String>,
    /// What to do about it.
    pub help: Option<String>,
}

impl Diagnostic {
    /// A finding that forbids cards and walks.
    #[must_use]
    pub fn error(code: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self {
            code,
            severity: Severity::Error,
            place,
            message: message.into(),
            also: Vec::new(),
            cause: None,
            notes: Vec::new(),
            trace: Vec::new(),
            help: None,
        }
    }

    /// A finding that forbids nothing.
    #[must_use]
    pub fn warning(code: &'static str, place: Place, message: impl Into<String>) -> Self {
        Self { severity: Severity::Warning, ..Self::error(code, place, message) }
    }

    /// Points at another place that explains the fault.
    #[must_use]
    pub fn note(mut self, place: Place, remark: impl Into<String>) -> Self {
        self.notes.push((place, remark.into()));
        self
    }

    /// Says what to do.
    #[must_use]
    pub fn help(mut self, help: impl Into<String>) -> Self {
        self.help = Some(help.into());
        self
    }

    /// Adds the path that leads to the fault.
    #[must_use]
    pub fn trace(mut self, trace: Vec<String>) -> Self {
        self.trace = trace;
        self
    }
}
