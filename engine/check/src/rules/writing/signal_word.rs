//! W18: a signal word or a word of logic stands in running text.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W18";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let word = text.words().find(|word| {
        matches!(
            word.raw,
            "DANGER" | "WARNING" | "CAUTION" | "NOTICE" | "IF" | "WHEN" | "THEN" | "AND" | "OR" | "NOT"
        )
    })?;
    said(format!("holds `{}`", word.raw), "name the hazard under `warn`, or make a question of the condition")
}
