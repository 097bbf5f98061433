//! The rules by family: a file for each subject, with the entries of its rules above their functions.

mod accepted;
mod completeness;
mod energy;
mod graph;
mod hazards;
mod people;
mod proved;
mod seating;
mod tools;
mod wording;

use crate::rule::Rule;

/// The rules whose codes begin with the same letter.
pub(crate) struct Family {
    pub(crate) letter: char,
    /// What they are about.
    pub(crate) about: &'static str,
    /// Whether an author can accept what they find at its place: they judge words and completeness, and prove nothing.
    pub(crate) acceptable: bool,
    rules: &'static [&'static [Rule]],
}

/// The families that have rules, in the order in which findings are told.
pub(crate) static FAMILIES: [Family; 9] = [
    family('W', "Wording", true, wording::RULES),
    family('T', "Tools, supplies, spares, protective equipment", true, &[tools::RULES]),
    family('U', "People", true, &[people::RULES]),
    family('C', "Completeness", true, completeness::RULES),
    family('H', "Hazards and warnings", true, &[hazards::RULES]),
    family('E', "Control of hazardous energy", true, &[energy::RULES]),
    family('S', "Accepted findings", false, &[accepted::RULES]),
    family('G', "The graph of steps", false, &[graph::RULES, seating::RULES]),
    family('P', "What is proved", false, proved::RULES),
];

const fn family(
    letter: char,
    about: &'static str,
    acceptable: bool,
    rules: &'static [&'static [Rule]],
) -> Family {
    Family { letter, about, acceptable, rules }
}

impl Family {
    pub(crate) fn rules(&self) -> impl Iterator<Item = &'static Rule> + use<> {
        self.rules.iter().copied().flatten()
    }
}

/// Every rule, by family.
pub(crate) fn all() -> impl Iterator<Item = &'static Rule> {
    FAMILIES.iter().flat_map(Family::rules)
}

/// Whether there is a rule of this code that authors can accept.
pub(crate) fn is_acceptable(code: &str) -> bool {
    let families = FAMILIES.iter().filter(|family| family.acceptable && code.starts_with(family.letter));
    families.flat_map(Family::rules).any(|rule| rule.code == code)
}
