//! Conditions asked in the equipment's words.

use super::pieces::Question;
use super::scope::{Scope, value_words};
use crate::clean::clean_line;
use crate::count::joined;
use document::model::{Ask, Condition, Cube, Name, Values};
use machine::{Conjunct, Machine};

impl Scope<'_> {
    /// Every condition of a conjunction as a question. One that may have any value is no question.
    pub(super) fn questions(&self, cube: &Cube) -> Vec<Question> {
        cube.iter().filter_map(|(name, values)| self.question(name, values)).collect()
    }

    /// One condition as a question; none if any of its values will do.
    pub(super) fn question(&self, name: &Name, wanted: &Values) -> Option<Question> {
        let condition = self.machine().conditions.get(name)?;
        let rest = || condition.values.iter().filter(|value| !wanted.0.contains(value));
        rest().next()?;
        let question =
            |ask: String, answer| Question { ask, answer, choices: Vec::new(), hint: hint(condition) };
        let first = condition.values.first();
        Some(match &condition.ask {
            Some(Ask::First(ask)) if wanted.0.len() == 1 && wanted.0.first() == first => {
                question(clean_line(ask), "yes")
            }
            // Every value but the first: the one question, answered no.
            Some(Ask::First(ask)) if rest().count() == 1 && rest().next() == first => {
                question(clean_line(ask), "no")
            }
            Some(Ask::ByValue(asks)) => {
                let mut each: Vec<String> = wanted
                    .0
                    .iter()
                    .map(|value| {
                        let ask = asks.get(value).map(|ask| clean_line(ask));
                        ask.unwrap_or_else(|| self.plain_question(name, std::slice::from_ref(value)))
                    })
                    .collect();
                match each.len() {
                    1 => question(each.remove(0), "yes"),
                    _ => Question {
                        ask: format!("{}: is one of these so?", crate::count::capital(&self.label(name))),
                        choices: each,
                        ..question(String::new(), "yes")
                    },
                }
            }
            _ => question(self.plain_question(name, &wanted.0), "yes"),
        })
    }

    /// The same of a compiled conjunct; one that may have any value is no question.
    pub(super) fn question_of(&self, machine: &Machine, part: Conjunct) -> Option<Question> {
        self.question(&machine.layout.var(part.var).name, &values_of(machine, part))
    }

    /// A compiled conjunct as a statement.
    pub(super) fn statement_of(&self, machine: &Machine, part: Conjunct) -> String {
        self.statement(&machine.layout.var(part.var).name, &values_of(machine, part))
    }

    fn plain_question(&self, name: &Name, values: &[String]) -> String {
        let values: Vec<String> = values.iter().map(|value| value_words(value)).collect();
        format!("Is the {} {}?", self.label(name), joined(&values, "or"))
    }
}

fn values_of(machine: &Machine, part: Conjunct) -> Values {
    Values(machine.layout.words_of(part.var, part.set).into_iter().map(str::to_owned).collect())
}

/// Time alone tells what no one can see.
fn hint(condition: &Condition) -> Option<String> {
    let settles = condition.settles.as_ref().filter(|_| condition.ask.is_none())?;
    let (to, after) = (value_words(&settles.to), clean_line(settles.after.text()));
    Some(format!("It cannot be seen: sure to be {to} {after} after it was last set."))
}
