//! Sentences, paragraphs and lists.

use crate::rule::{Finding, Pointer, Remark, Rule, remark};
use crate::text::lists::{CONDITION, DETERMINER, NEGATIVE};
use crate::text::readability::Counts;
use crate::text::{Role, Sentence, Text, Word};
use crate::written::WrittenProcedure;
use document::model::{Equipment, WritingScheme};

pub(super) const RULES: &[Rule] = &[
    rule!("W10", Advice, "A sentence says no twice", Text(double_negative)),
    rule!("W12", Advice, "A sentence is too long", Text(long_sentence)),
    rule!("W13", Advice, "A paragraph is too long", Text(long_paragraph)),
    rule!("W16", Advice, "A semicolon joins two sentences", Text(semicolon)),
    rule!("W17", Advice, "More than three words in a row are in capitals", Text(running_capitals)),
    rule!("W34", Advice, "The items of a list do not begin alike", Text(uneven_list)),
    rule!("W37", Advice, "The texts of the procedure are hard to read", Procedure(hard_to_read)),
];

fn double_negative(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    if matches!(text.role, Role::Scope | Role::Purpose) {
        return None;
    }
    let twice = |sentence: &Sentence<'_>| {
        let not = sentence.words.iter().filter(|word| word.is(NEGATIVE)).count();
        let unless = sentence.words.iter().any(|word| matches!(&*word.lower, "unless" | "except"));
        let joined =
            sentence.words.iter().any(|word| matches!(&*word.lower, "and" | "or" | "nor" | "neither"));
        not > 0 && unless || not > 1 && !joined
    };
    text.sentences.iter().find(|sentence| twice(sentence))?;
    remark("says no twice in one sentence", "say what is to be done, or what is so")
}

fn long_sentence(text: &Text<'_>, equipment: &Equipment) -> Option<Remark> {
    use Role::{Act, Ask, Avoid, Check, Consequence, Hazard};
    let short = matches!(text.role, Act | Ask | Check | Hazard | Consequence | Avoid);
    let most = if short && equipment.writing == WritingScheme::Ste { 20 } else { 25 };
    let words = text.sentences.iter().map(|sentence| sentence.count()).max().filter(|&words| words > most)?;
    remark(
        format!("has a sentence of {words} words, more than {most}"),
        "make two sentences of it, or two steps",
    )
}

fn long_paragraph(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let paragraphs = text.sentences.chunk_by(|a, b| a.paragraph == b.paragraph);
    let longest = paragraphs.map(<[_]>::len).max().filter(|&sentences| sentences > 6)?;
    remark(
        format!("has a paragraph of {longest} sentences"),
        "make a list of it, or leave out what nobody does",
    )
}

fn semicolon(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    text.raw.contains(';').then_some(())?;
    remark("holds a semicolon", "make two sentences of it")
}

fn running_capitals(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let capitals = |word: &Word<'_>| {
        word.raw.len() > 1 && !word.raw.chars().any(|letter| letter.is_lowercase() || letter.is_ascii_digit())
    };
    let run = |words: &[Word<'_>]| words.windows(4).any(|four| four.iter().all(capitals));
    text.sentences.iter().find(|sentence| run(&sentence.words))?;
    remark("is in capitals over more than three words", "write it in lower case")
}

fn uneven_list(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let kinds = text.sentences.iter().filter(|sentence| sentence.item).filter_map(|sentence| {
        let first = sentence.words.first()?;
        Some((first.is(CONDITION), first.is(DETERMINER)))
    });
    let kinds: std::collections::BTreeSet<_> = kinds.collect();
    (kinds.len() > 1).then_some(())?;
    remark("has a list whose items do not begin alike", "begin all with a command, or all with a condition")
}

/// Reading Ease under which texts are called hard.
const LEAST: f64 = 45.0;

fn hard_to_read(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let read = |role| matches!(role, Role::Act | Role::Ask | Role::Note | Role::Expect);
    let counts = Counts::count(written.texts.iter().filter(|text| read(text.role)));
    let Some(ease) = counts.reading_ease().filter(|&ease| ease < LEAST && counts.words >= 10) else {
        return Vec::new();
    };
    let message = format!("the texts are hard to read: Flesch Reading Ease {ease:.0}, under {LEAST:.0}");
    vec![Finding::at_key("/title", message).help("use shorter words, and shorter sentences")]
}
