//! W37: the texts of the procedure are hard to read.

use crate::writing::readability::Counts;
use crate::writing::text::Role;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "W37";

/// Reading Ease under which texts are called hard.
const LEAST: f64 = 45.0;

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let read = |role| matches!(role, Role::Act | Role::Ask | Role::Note | Role::Expect);
    let counts = Counts::of(writing.texts.iter().filter(|text| read(text.role)));
    let Some(ease) = counts.reading_ease().filter(|&ease| ease < LEAST && counts.words >= 10) else {
        return Vec::new();
    };
    let message = format!("the texts are hard to read: Flesch Reading Ease {ease:.0}, under {LEAST:.0}");
    vec![writing.advice(CODE, "/title", message).help("use shorter words, and shorter sentences")]
}
