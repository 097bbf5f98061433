//! Notes and expected results.

use crate::rule::{Remark, Rule, remark};
use crate::text::phrases::begins;
use crate::text::{Role, Text};
use document::model::Equipment;

pub(super) const RULES: &[Rule] = &[
    rule!("W19", Advice, "A note holds an act", Text(act_in_note)),
    rule!("W20", Advice, "A note holds a requirement or a limit", Text(limit_in_note)),
    rule!("W21", Advice, "An expected result is written as an act", Text(result_as_act)),
    rule!("W22", Advice, "An expected result names no state", Text(result_says_nothing)),
];

fn act_in_note(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    text.sentences.iter().find(|sentence| sentence.commands()).filter(|_| text.role == Role::Note)?;
    remark("holds an act", "make a step of it")
}

fn limit_in_note(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    if text.role != Role::Note {
        return None;
    }
    let limits = ["must", "at least", "at most", "no more than", "not more than", "maximum", "minimum"];
    let found = text.sentences.iter().find_map(|sentence| {
        (0..sentence.words.len())
            .find_map(|at| limits.iter().find(|limit| begins(&sentence.words[at..], limit)))
    })?;
    remark(format!("sets a limit: `{found}`"), "put the limit into `expect`, `measure` or `requires`")
}

fn result_as_act(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    text.sentences.iter().find(|sentence| sentence.commands()).filter(|_| text.role == Role::Expect)?;
    remark("commands an act", "say what is seen, heard or read when the step is done")
}

fn result_says_nothing(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    if !matches!(text.role, Role::Expect | Role::Ask) {
        return None;
    }
    let empty = [
        "ok",
        "okay",
        "checked",
        "correct",
        "correctly",
        "normal",
        "good",
        "acceptable",
        "satisfactory",
        "expected",
        "alright",
    ];
    let word = text.words().find(|word| empty.contains(&&*word.lower))?;
    remark(format!("says `{}` and names no state", word.raw), "name the value or state that can be seen")
}
