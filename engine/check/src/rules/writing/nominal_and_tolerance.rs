//! W28: a range is written as a value with a tolerance.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W28";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    (text.raw.contains('±') || text.raw.contains("+/-")).then_some(())?;
    said("gives a value with a tolerance", "write the least and the greatest value: \"15 mm to 21 mm\"")
}
