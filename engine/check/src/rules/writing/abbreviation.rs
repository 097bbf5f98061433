//! W32: an abbreviation is not explained.

use crate::writing::text::Role;
use crate::writing::{Found, Writing};
use calc::quantity::Unit;
use std::collections::BTreeSet;

pub(crate) const CODE: &str = "W32";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let mut known: BTreeSet<&str> = BTreeSet::new();
    let mut findings = Vec::new();
    for text in &writing.texts {
        for word in text.words() {
            let letters = word.raw.len();
            let short =
                (2..=5).contains(&letters) && word.raw.chars().all(|letter| letter.is_ascii_uppercase());
            // Whole words in capitals (a signal word, a label) are another rule's.
            let vowels = word.raw.chars().filter(|letter| "AEIOU".contains(*letter)).count();
            if !short
                || vowels > 1
                || matches!(word.raw, "NOT" | "AND" | "THEN" | "WHEN" | "OR" | "IF")
                || Unit::parse(word.raw).is_ok()
            {
                continue;
            }
            let explained = text.raw.contains(&format!("{} (", word.raw))
                || text.raw.contains(&format!("({})", word.raw));
            if known.insert(word.raw) && !explained && text.role != Role::Title {
                let message =
                    format!("{} uses `{}`, which no text before it explains", text.subject(), word.raw);
                findings.push(
                    writing
                        .advice(CODE, &text.at, message)
                        .help("write it out, or put its meaning in parentheses after it"),
                );
            }
        }
    }
    findings
}
