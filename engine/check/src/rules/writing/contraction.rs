//! W15: a contraction stands in a text.

use crate::writing::text::Text;
use crate::writing::{Said, said};
use document::model::Equipment;

pub(crate) const CODE: &str = "W15";

pub(crate) fn finding(text: &Text<'_>, _: &Equipment) -> Option<Said> {
    let short = |word: &str| {
        let endings = ["n't", "n’t", "'re", "'ve", "'ll", "’re", "’ve", "’ll"];
        endings.iter().any(|ending| word.ends_with(ending))
            || matches!(word, "it's" | "that's" | "there's" | "let's" | "i'm")
    };
    let word = text.words().find(|word| short(&word.lower))?;
    said(format!("says `{}`", word.raw), "write both words out")
}
