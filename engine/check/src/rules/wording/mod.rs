//! How a text is worded.

mod acts;
mod figures;
mod notes;
mod questions;
mod sentences;
mod words;

use crate::rule::Rule;

pub(super) const RULES: &[&[Rule]] =
    &[acts::RULES, figures::RULES, notes::RULES, questions::RULES, sentences::RULES, words::RULES];
