//! How an act is worded.

use crate::rule::{Remark, Rule, remark};
use crate::text::lists::{ACTOR, BE, CONDITION, DETERMINER, MODAL, PARTICIPLE, VAGUE_VERB};
use crate::text::{Role, Sentence, Text, Word, commands};
use document::model::{Equipment, WritingScheme};

pub(super) const RULES: &[Rule] = &[
    rule!("W01", Advice, "A step holds two acts", Text(two_acts)),
    rule!("W02", Advice, "An act does not begin with a command", Text(not_a_command)),
    rule!("W03", Advice, "The verb of an act has no one meaning", Text(vague_verb)),
    rule!("W06", Advice, "An instruction may or should be followed", Text(may_or_should)),
    rule!("W07", Advice, "\"Shall\" stands in a text that people work by", Text(shall)),
    rule!("W08", Advice, "A condition stands after the act", Text(condition_after)),
    rule!("W09", Advice, "No comma ends the condition that opens an act", Text(condition_comma)),
    rule!("W14", Advice, "An act is in the passive voice", Text(passive)),
];

fn two_acts(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    if text.role != Role::Act {
        return None;
    }
    let begun = text.sentences.iter().filter(|sentence| sentence.commands()).count() > 1;
    // "Hold and turn the ring" is one act of two hands; "wipe the screen and rinse the bowl" is two.
    let chained = text.sentences.iter().any(|sentence| {
        (2..sentence.words.len()).any(|at| {
            let joins = matches!(&*sentence.words[at - 1].lower, "and" | "then");
            let next = sentence.words.get(at + 1).is_some_and(|next| next.is(DETERMINER));
            joins && next && commands(&sentence.words[at..])
        })
    });
    if begun || chained { remark("holds a second act", "make a step of each act") } else { None }
}

fn not_a_command(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let sentence = text.sentences.first().filter(|_| text.role.instructs())?;
    let first = sentence.after_condition().first()?;
    let ing = first.lower.len() > 5 && first.lower.ends_with("ing");
    if !ing && !first.is(ACTOR | DETERMINER | MODAL) {
        return None;
    }
    remark(
        format!("begins with `{}`, not with a command", first.raw),
        "begin with the verb: \"Turn the switch to 0.\"",
    )
}

fn vague_verb(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let mut sentences = text.sentences.iter().filter(|_| text.role == Role::Act);
    let verb = sentences
        .find_map(|sentence| sentence.after_condition().first().filter(|word| word.is(VAGUE_VERB)))?;
    remark(
        format!("begins with `{}`, which is no one act", verb.raw),
        "name what the hands do, or make it a `confirm`",
    )
}

fn may_or_should(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let word = text.words().find(|word| word.is(MODAL)).filter(|_| text.role.instructs())?;
    remark(format!("says `{}`", word.raw), "command it, or ask a question whose answers lead on")
}

fn shall(text: &Text<'_>, equipment: &Equipment) -> Option<Remark> {
    if equipment.writing == WritingScheme::Doe && !text.role.instructs() {
        return None;
    }
    text.words().find(|word| word.lower == "shall")?;
    remark("says `shall`", "command it in a step, or say \"must\"")
}

fn condition_after(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let late = |sentence: &Sentence<'_>| {
        let words = sentence.words.iter().skip(1);
        words
            .filter(|word| matches!(&*word.lower, "if" | "when" | "unless" | "whenever"))
            .map(|word| word.raw.to_owned())
            .next()
    };
    let word = text.sentences.iter().filter(|_| text.role.instructs()).find_map(late)?;
    remark(
        format!("has its condition, `{word}`, after the act"),
        "put the condition first, or make a question of it",
    )
}

fn condition_comma(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let mut sentences = text.sentences.iter().filter(|_| text.role.instructs());
    let opens = |sentence: &&Sentence<'_>| sentence.words.first().is_some_and(|word| word.is(CONDITION));
    sentences.find(|sentence| opens(sentence) && !sentence.words.iter().any(|word| word.comma))?;
    remark("opens with a condition that no comma ends", "put a comma after the condition")
}

fn passive(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let passive = |words: &[Word<'_>]| {
        let at = (1..words.len()).find(|&at| {
            let word = &words[at];
            let done = word.is(PARTICIPLE) || word.lower.len() > 4 && word.lower.ends_with("ed");
            // "Tell the trainer what was found" asks nobody to find it.
            let about = at > 1 && matches!(&*words[at - 2].lower, "what" | "which" | "who");
            words[at - 1].is(BE) && done && !about
        })?;
        Some(format!("{} {}", words[at - 1].raw, words[at].raw))
    };
    let mut sentences = text.sentences.iter().filter(|_| text.role.instructs());
    let found = sentences.find_map(|sentence| passive(&sentence.words))?;
    remark(format!("says `{found}`: nobody does it"), "command it, with `by` where not everyone may do it")
}
