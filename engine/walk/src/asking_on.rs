//! Asking on: what a plain "no" does not tell. A look leaves what its answer and the record have in common, so that "no" to one
//! value would leave another that nobody has seen, where the record happens to have ruled out all the rest. Whoever says no is
//! asked which it is instead.

use crate::refusal::{Refusal, refuse};
use crate::state::Walk;
use document::model::{Condition, Kind, Question};
use machine::{Choice, Conjunct, Effect, LookKind, NodeKind};

/// A value that is asked on: the condition has none of those asked for, and perhaps this one.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Other {
    /// The value.
    pub value: String,
    /// Its question, whose yes means that value.
    pub question: String,
}

impl Walk {
    /// What is said in the place of "no" where a condition has none of these values; where it is empty, "no" itself.
    ///
    /// Each other value, where every one has a question of its own. Else, where the record would leave only a part of them, those
    /// of this part that have one.
    pub(crate) fn others(&self, due: Conjunct) -> Vec<Other> {
        let Some(condition) = self.condition(due) else { return Vec::new() };
        let asked = condition.asked_on(&self.values(due));
        if asked.is_empty() {
            let others = self.machine.layout.all(due.var) & !due.set;
            return if self.finds_out() { Vec::new() } else { self.unsaid(Conjunct { set: others, ..due }) };
        }
        let other = |(value, question): (&str, &str)| Other {
            value: value.to_owned(),
            question: question.to_owned(),
        };
        asked.into_iter().map(other).collect()
    }

    /// The answers of the question that is asked, as they are given: one whose values the record would narrow to some that have
    /// a question of their own is given with one of these.
    pub(crate) fn answers(&self) -> Vec<String> {
        self.answers_with(|other| other.value.clone())
    }

    /// An answer as authored, where it does not tell enough.
    pub(crate) fn told_enough(&self, answer: &str) -> Result<(), Refusal> {
        let answers = self.answers();
        if answers.iter().any(|known| known == answer) {
            return Ok(());
        }
        let with = |known: &String| known.strip_prefix(answer).is_some_and(|rest| rest.starts_with(ALSO));
        if !answers.iter().any(with) {
            return refuse(
                format!("`{answer}` is not one of the answers"),
                format!("Answer {}", answers.join(" or ")),
            );
        }
        let asked = self.answers_with(|other| format!("{} ({})", other.value, other.question));
        let asked: Vec<&str> = asked.iter().filter(|&known| with(known)).map(String::as_str).collect();
        refuse(
            format!("`{answer}` alone does not tell what it is"),
            format!(
                "Say which it is: {}; if none of these is seen, that you cannot tell",
                asked.join(" or ")
            ),
        )
    }

    /// What is said to a plain "no" where it is no answer.
    pub(crate) fn told_by_no(&self, due: Conjunct) -> Result<(), Refusal> {
        let others = self.others(due);
        if others.is_empty() {
            return Ok(());
        }
        refuse("No alone does not tell what it is", which(&others))
    }

    /// A value that is asked on where the condition has none of those that are due.
    pub(crate) fn other(&self, due: Conjunct, value: &str) -> Result<String, Refusal> {
        let others = self.others(due);
        if others.iter().any(|other| other.value == value) {
            return Ok(value.to_owned());
        }
        let opens =
            if others.is_empty() { "Answer yes, no or cannot tell".to_owned() } else { which(&others) };
        refuse(format!("`{value}` is not asked on here"), opens)
    }

    /// The choice that an answer stands for.
    pub(crate) fn answer_choice(&self, answer: &str) -> Option<Choice> {
        let known = |(number, (known, _)): (usize, (&str, _))| {
            let rest = answer.strip_prefix(known)?;
            (rest.is_empty() || rest.starts_with(ALSO)).then_some((known.len(), number))
        };
        let (_, number) = self.step()?.kind.answers().enumerate().filter_map(known).max()?;
        Some(Choice::Answer(number as u32))
    }

    fn condition(&self, due: Conjunct) -> Option<&Condition> {
        self.equipment()?.conditions.get(&self.machine.layout.var(due.var).name)
    }

    /// Whether a look here finds the condition out, whatever the record says of it.
    fn finds_out(&self) -> bool {
        !self.is_gated() && matches!(&self.node().kind, NodeKind::Tick(tick) if tick.look == LookKind::Until)
    }

    /// Where an answer leaves these values and the record would leave only a part of them: those of this part that have a
    /// question of their own. Nobody has said one of them.
    fn unsaid(&self, left: Conjunct) -> Vec<Other> {
        let believed =
            Conjunct { set: self.record().bits.field(&self.machine.layout, left.var) & left.set, ..left };
        let (Some(condition), true) = (self.condition(left), believed.set != 0 && believed.set != left.set)
        else {
            return Vec::new();
        };
        let other = |value: String| {
            let question = condition.question(&value)?.to_owned();
            Some(Other { value, question })
        };
        self.values(believed).into_iter().filter_map(other).collect()
    }

    fn answers_with(&self, words: impl Fn(&Other) -> String) -> Vec<String> {
        let Some(Kind::Ask(Question { answers, .. })) = self.step().map(|step| &step.kind) else {
            return Vec::new();
        };
        let given = |(answer, number): (&String, u32)| {
            let choice = Choice::Answer(number);
            let outcome = self.node().outcomes.iter().find(|outcome| outcome.choice == choice);
            let mut given = vec![answer.clone()];
            for shown in outcome.into_iter().flat_map(|outcome| &outcome.effects).filter_map(shown) {
                let others = self.unsaid(shown);
                if others.is_empty() {
                    continue;
                }
                let label = &self.machine.layout.var(shown.var).label;
                let with = |before: &String| -> Vec<String> {
                    let with = |other| format!("{before}{ALSO}{label} is {}", words(other));
                    others.iter().map(with).collect()
                };
                given = given.iter().flat_map(with).collect();
            }
            given
        };
        answers.keys().zip(0..).flat_map(given).collect()
    }
}

/// Between an answer and what else is said with it. Records have it: it stays as it is.
const ALSO: &str = ", the ";

/// What a look shows.
fn shown(effect: &Effect) -> Option<Conjunct> {
    match *effect {
        Effect::Look(shown) => Some(shown),
        Effect::Write(_) | Effect::Open(_) | Effect::Find(_) | Effect::Lose(_) | Effect::Verify(_) => None,
    }
}

fn which(others: &[Other]) -> String {
    let each = |Other { value, question }: &Other| format!("{value} ({question})");
    let all: Vec<String> = others.iter().map(each).collect();
    format!("Say which it is: {}; if none of these is seen, that you cannot tell", all.join(" or "))
}
