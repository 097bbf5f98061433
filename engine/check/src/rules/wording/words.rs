//! Words and phrases that leave something open.

use crate::rule::{Finding, Pointer, Remark, Rule, remark};
use crate::text::lists::{Phrase, VAGUE};
use crate::text::phrases::{begins, phrase};
use crate::text::{Role, Text, Word};
use crate::written::WrittenProcedure;
use calc::quantity::Unit;
use document::model::Equipment;
use std::collections::BTreeSet;

pub(super) const RULES: &[Rule] = &[
    rule!("W04", Advice, "A word leaves the decision to the reader", Text(ambiguous_words)),
    rule!("W15", Advice, "A contraction stands in a text", Text(contraction)),
    rule!("W18", Advice, "A signal word or a word of logic stands in running text", Text(signal_word)),
    rule!("W30", Advice, "A step is referred to by its number or place", Text(step_by_number)),
    rule!("W31", Advice, "A text sends the reader elsewhere", Text(reference_elsewhere)),
    rule!("W32", Advice, "An abbreviation is not explained", Procedure(abbreviation)),
    rule!("W33", Advice, "A thing is called by another word", Text(other_term)),
    rule!("W35", Advice, "A text asks for care and names no act", Text(care)),
    rule!("W38", Advice, "A slash stands for \"and\" or for \"or\"", Text(slash)),
    rule!("W40", Advice, "Words say nothing", Text(idle_words)),
    rule!("W41", Advice, "A text holds a place for something not yet known", Text(placeholder)),
];

fn ambiguous_words(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    if !text.role.instructs() && !matches!(text.role, Role::Ask | Role::Expect | Role::Avoid) {
        return None;
    }
    let word = text.words().find(|word| word.is(VAGUE)).map(|word| word.raw);
    let found = phrase(text, Phrase::Vague).or(word)?;
    remark(
        format!("says `{found}` and not what decides"),
        "say what decides: a figure, a mark, something that is seen",
    )
}

fn contraction(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let short = |word: &str| {
        let endings = ["n't", "n’t", "'re", "'ve", "'ll", "’re", "’ve", "’ll"];
        endings.iter().any(|ending| word.ends_with(ending))
            || matches!(word, "it's" | "that's" | "there's" | "let's" | "i'm")
    };
    let word = text.words().find(|word| short(&word.lower))?;
    remark(format!("says `{}`", word.raw), "write both words out")
}

fn signal_word(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let word = text.words().find(|word| {
        matches!(
            word.raw,
            "DANGER" | "WARNING" | "CAUTION" | "NOTICE" | "IF" | "WHEN" | "THEN" | "AND" | "OR" | "NOT"
        )
    })?;
    remark(
        format!("holds `{}`", word.raw),
        "name the hazard under `warn`, or make a question of the condition",
    )
}

fn step_by_number(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let wrong = |pair: &&[Word<'_>]| {
        let step = |word: &str| matches!(word, "step" | "steps");
        let place =
            matches!(&*pair[0].lower, "previous" | "preceding" | "next" | "following" | "last" | "above");
        step(&pair[0].lower) && pair[1].is_figure() || place && step(&pair[1].lower)
    };
    let [first, second] = text.sentences.iter().find_map(|sentence| sentence.words.windows(2).find(wrong))?
    else {
        return None;
    };
    remark(
        format!("refers to `{} {}`", first.raw, second.raw),
        "lead there with `then`, or name what is meant",
    )
}

fn reference_elsewhere(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let found = phrase(text, Phrase::Reference).filter(|_| text.role.instructs())?;
    remark(format!("says `{found}`"), "write the act out, or `perform` the other procedure")
}

fn abbreviation(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let mut known: BTreeSet<&str> = BTreeSet::new();
    let mut findings = Vec::new();
    for text in &written.texts {
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
                    Finding::at_key(&text.at, message)
                        .help("write it out, or put its meaning in parentheses after it"),
                );
            }
        }
    }
    findings
}

fn other_term(text: &Text<'_>, equipment: &Equipment) -> Option<Remark> {
    let terms = equipment.terms.iter();
    let (term, word) = terms.flat_map(|(term, others)| others.iter().map(move |other| (term, other))).find(
        |(_, other)| {
            text.sentences
                .iter()
                .any(|sentence| (0..sentence.words.len()).any(|at| begins(&sentence.words[at..], other)))
        },
    )?;
    remark(format!("says `{word}` for `{term}`"), "use the equipment's word")
}

fn care(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let found = phrase(text, Phrase::Care)?;
    remark(format!("says `{found}` and not what to do"), "name the act, or the hazard under `warn`")
}

fn slash(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let joined = |word: &str| {
        let Some((left, right)) = word.split_once('/') else { return false };
        let words = |part: &str| part.len() > 1 && part.chars().all(char::is_alphabetic);
        words(left) && words(right) && Unit::parse(word).is_err()
    };
    let word = text.words().find(|word| joined(word.raw))?;
    remark(
        format!("joins words with a slash: `{}`", word.raw),
        "say `and`, or `or`, or make a question of it",
    )
}

fn idle_words(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let found = phrase(text, Phrase::Idle)?;
    remark(format!("says `{found}`, which says nothing"), "leave it out")
}

fn placeholder(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let word = text.words().find(|word| matches!(word.raw, "TBD" | "TBC" | "TBA")).map(|word| word.raw);
    let found = phrase(text, Phrase::Placeholder).or(word).or(text.raw.contains("???").then_some("???"))?;
    remark(format!("holds a place: `{found}`"), "say it, or leave the step out until it is known")
}
