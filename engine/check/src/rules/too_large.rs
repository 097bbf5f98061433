//! P08: written out in full, a procedure has too many places.

use document::model::Procedure;
use document::{Diagnostic, Document};
use machine::CompileError;

pub(crate) const CODE: &str = "P08";

pub(crate) fn finding(procedure: &Document<Procedure>, error: &CompileError) -> Diagnostic {
    Diagnostic::error(CODE, procedure.place("/procedure"), format!("not proved: {error}"))
        .help("lower `at_most` where a `repeat` stands inside another, or perform fewer procedures")
}
