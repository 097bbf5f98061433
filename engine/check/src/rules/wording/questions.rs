//! Questions.

use crate::rule::{Remark, Rule, remark};
use crate::text::{Role, Sentence, Text, Word};
use document::model::Equipment;

pub(super) const RULES: &[Rule] = &[
    rule!("W11", Advice, "A question is asked in the negative", Text(negative_question)),
    rule!("W23", Advice, "A question does not ask", Text(no_question)),
    rule!("W24", Advice, "A step asks two questions", Text(two_questions)),
    rule!("W36", Advice, "\"And\" and \"or\" are mixed in one question", Text(and_with_or)),
];

fn negative_question(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let not = |word: &str| word == "not" || word.ends_with("n't");
    text.words().find(|word| not(&word.lower)).filter(|_| text.role == Role::Ask)?;
    remark("asks in the negative", "ask for what a yes is to mean")
}

fn no_question(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    (text.role == Role::Ask && !text.raw.trim_end().ends_with('?')).then_some(())?;
    remark("does not end with a question mark", "ask for what is seen; an act belongs under `do`")
}

fn two_questions(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    (text.role == Role::Ask && text.raw.matches('?').count() > 1).then_some(())?;
    remark("asks more than one question", "make a step of each question")
}

fn and_with_or(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let mixed = |words: &[Word<'_>]| {
        let holds = |wanted: &str| words.iter().any(|word| word.lower == wanted);
        holds("and") && holds("or")
    };
    // Of an act the condition that opens it is a question too.
    let asked = |sentence: &Sentence<'_>| match text.role {
        Role::Act => sentence.words.len() - sentence.after_condition().len(),
        Role::Ask => sentence.words.len(),
        Role::Title
        | Role::Purpose
        | Role::Scope
        | Role::Emergency
        | Role::Note
        | Role::Expect
        | Role::Check => 0,
        Role::What | Role::Why | Role::Hazard | Role::Consequence | Role::Avoid => 0,
    };
    text.sentences.iter().find(|sentence| mixed(&sentence.words[..asked(sentence)]))?;
    remark("mixes `and` with `or`", "make a step of each question")
}
