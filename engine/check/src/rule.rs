//! What a rule is: one entry, with its code, severity, title, explanation, what it looks at, and its function.

use crate::context::Context;
use crate::isolation::Isolation;
use crate::text::Text;
use crate::written::{StepAt, WrittenEquipment, WrittenProcedure};
use document::model::{Equipment, Procedure};
use document::{Diagnostic, Document, Place, Severity};
use machine::CompileError;

/// One rule. Its family is the letter of its code.
pub(crate) struct Rule {
    /// Never used for another fault later.
    pub(crate) code: &'static str,
    pub(crate) severity: Severity,
    /// The fault in one line, without a full stop.
    pub(crate) title: &'static str,
    pub(crate) judge: Judge,
    /// `explained/CODE.md`.
    pub(crate) explained: &'static str,
}

/// What a rule looks at, with the function that looks. A rule gets one thing after the other, in written order.
pub(crate) enum Judge {
    /// A text of a procedure or of an equipment document, by itself.
    Text(TextRule),
    /// A step at any depth, by itself.
    Step(StepRule),
    /// A procedure as its author wrote it.
    Procedure(ProcedureRule),
    /// A source of energy at a step that isolates it.
    Isolation(IsolationRule),
    /// An equipment document as its author wrote it.
    Equipment(EquipmentRule),
    /// An entry of an `accept` map that accepted nothing.
    Unused(UnusedRule),
    /// A procedure that is too large to be compiled.
    Size(SizeRule),
    /// What was proved of a procedure.
    Proof(ProofRule),
}

pub(crate) type TextRule = fn(&Text<'_>, &Equipment) -> Option<Remark>;
pub(crate) type StepRule = fn(&StepAt<'_>, &WrittenProcedure<'_>) -> Vec<Finding<Pointer>>;
pub(crate) type ProcedureRule = fn(&WrittenProcedure<'_>) -> Vec<Finding<Pointer>>;
pub(crate) type IsolationRule = fn(&Isolation<'_, '_>) -> Vec<Finding<Pointer>>;
pub(crate) type EquipmentRule = fn(&WrittenEquipment<'_>) -> Vec<Finding<Pointer>>;
pub(crate) type UnusedRule = fn(&UnusedEntry<'_>) -> Option<Remark>;
pub(crate) type SizeRule = fn(&Document<Procedure>, &CompileError) -> Finding<Place>;
pub(crate) type ProofRule = fn(&Context<'_>) -> Vec<Finding<Place>>;

/// The entry of a rule: `rule!("W16", Advice, "A semicolon joins two sentences", Text(semicolon))`. Its explanation is
/// `explained/W16.md`; without that file it does not compile.
macro_rules! rule {
    ($code:literal, $severity:ident, $title:literal, $looks_at:ident($function:expr)) => {
        $crate::rule::Rule {
            code: $code,
            severity: document::Severity::$severity,
            title: $title,
            judge: $crate::rule::Judge::$looks_at($function),
            explained: include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/explained/", $code, ".md")),
        }
    };
}

/// An entry of an `accept` map that accepted nothing.
pub(crate) struct UnusedEntry<'a> {
    pub(crate) code: &'a str,
    /// Whether there is such a rule, of a family that can be accepted.
    pub(crate) acceptable: bool,
}

/// What a rule says of one text; it goes on after "the act of step `open-bowl`".
pub(crate) struct Remark {
    pub(crate) message: String,
    pub(crate) help: &'static str,
}

pub(crate) fn remark(message: impl Into<String>, help: &'static str) -> Option<Remark> {
    Some(Remark { message: message.into(), help })
}

/// The JSON pointer of a key of the document that a rule looks at, by which the finding can be accepted.
pub(crate) struct Pointer(pub(crate) String);

/// What a rule finds, and where: at a [`Pointer`] of the document it looks at, or at a [`Place`] of any document.
pub(crate) struct Finding<At> {
    pub(crate) at: At,
    message: String,
    help: Option<String>,
    also: Vec<Place>,
    cause: Option<String>,
    notes: Vec<(Place, String)>,
    trace: Vec<String>,
}

impl Finding<Pointer> {
    pub(crate) fn at_key(pointer: impl Into<String>, message: impl Into<String>) -> Self {
        Self::at(Pointer(pointer.into()), message)
    }

    /// The finding at the place where the pointer leads in the document.
    pub(crate) fn in_document<T>(self, document: &Document<T>) -> Finding<Place> {
        let Self { at, message, help, also, cause, notes, trace } = self;
        Finding { at: document.key_place(&at.0), message, help, also, cause, notes, trace }
    }
}

impl Finding<Place> {
    pub(crate) fn at_place(place: Place, message: impl Into<String>) -> Self {
        Self::at(place, message)
    }
}

impl<At> Finding<At> {
    fn at(at: At, message: impl Into<String>) -> Self {
        let (also, notes, trace) = (Vec::new(), Vec::new(), Vec::new());
        Self { at, message: message.into(), help: None, also, cause: None, notes, trace }
    }

    /// Says what to do.
    pub(crate) fn help(self, help: impl Into<String>) -> Self {
        Self { help: Some(help.into()), ..self }
    }

    /// Points at another place that explains the fault.
    pub(crate) fn note(mut self, place: Place, note: impl Into<String>) -> Self {
        self.notes.push((place, note.into()));
        self
    }

    /// Names further places where the same cause shows.
    pub(crate) fn also(self, also: Vec<Place>) -> Self {
        Self { also, ..self }
    }

    /// Says what it has in common with others of the same rule that one mend serves: they are told together.
    pub(crate) fn cause(self, cause: impl Into<String>) -> Self {
        Self { cause: Some(cause.into()), ..self }
    }

    /// Adds the run that leads to the fault.
    pub(crate) fn trace(self, trace: Vec<String>) -> Self {
        Self { trace, ..self }
    }
}

impl Rule {
    /// A finding under the rule's code and severity.
    pub(crate) fn diagnostic(&self, finding: Finding<Place>) -> Diagnostic {
        let Finding { at: place, message, help, also, cause, notes, trace } = finding;
        let (code, severity) = (self.code, self.severity);
        Diagnostic { code, severity, place, message, also, cause, notes, trace, help }
    }
}
