//! What a complete procedure says.

mod head;
mod instruments;
mod lapses;
mod no_rest;
mod steps;
mod unasked;

use crate::rule::Rule;

pub(super) const RULES: &[&[Rule]] =
    &[head::RULES, instruments::RULES, lapses::RULES, no_rest::RULES, steps::RULES, unasked::RULES];
