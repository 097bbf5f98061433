//! What is proved of every run.

mod answers;
mod broken_rules;
mod by_time;
mod hidden;
mod idle;
mod interruptions;
mod limits;
mod needs;
mod no_act;
mod people;
mod promises;
mod releases;
mod stops;
mod unmended;

use crate::rule::Rule;

pub(super) const RULES: &[&[Rule]] = &[
    answers::RULES,
    broken_rules::RULES,
    by_time::RULES,
    hidden::RULES,
    idle::RULES,
    interruptions::RULES,
    limits::RULES,
    needs::RULES,
    no_act::RULES,
    people::RULES,
    promises::RULES,
    releases::RULES,
    stops::RULES,
    unmended::RULES,
];
