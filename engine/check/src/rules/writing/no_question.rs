//! W23: a question does not ask.

use crate::writing::text::{Role, Text};
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W23";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    (text.role == Role::Ask && !text.raw.trim_end().ends_with('?')).then_some(())?;
    said("does not end with a question mark", "ask for what is seen; an act belongs under `do`")
}
