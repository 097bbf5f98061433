//! The texts of documents: where each stands, which are filled in with figures, and which amounts they name.
//!
//! Everything that a document can say is taken apart here in full, so that a new text does not compile until it is said
//! whether cards and walks fill it in. What is left out with `_` is a name, a figure or a value that must be declared.

mod equipment;

pub use equipment::texts_of_equipment;

use crate::model::{
    Answer, Common, Equipment, Fasten, Hold, Kind, Measure, Name, Procedure, Question, Step, Wait,
};
use crate::places::pointer;
use crate::words::meant;
use std::borrow::Cow;

/// What cards and walks make of a text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shown {
    /// Figures are filled in for `{{ amount }}`.
    Filled,
    /// It is shown letter by letter.
    AsWritten,
}

/// One text with its pointer, from the document or from its step.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Text<'a> {
    /// The JSON pointer; of a key where `key` says so.
    pub at: Cow<'static, str>,
    /// Whether the text is the key itself, as an answer is.
    pub key: bool,
    /// The text.
    pub text: &'a str,
    /// What becomes of it.
    pub shown: Shown,
}

impl<'a> Text<'a> {
    fn new(at: impl Into<Cow<'static, str>>, text: &'a str, shown: Shown) -> Self {
        Self { at: at.into(), key: false, text, shown }
    }
}

/// The texts of a procedure and of all its steps, in written order.
#[must_use]
pub fn texts_of_procedure(procedure: &Procedure) -> Vec<Text<'_>> {
    let Procedure {
        procedure: _,
        title,
        equipment: _,
        revision: _,
        effective: _,
        author,
        purpose,
        scope,
        performers: _,
        time: _,
        level_of_use: _,
        tools: _,
        supplies: _,
        spares: _,
        wear: _,
        requires: _,
        leaves: _,
        amounts: _,
        emergency,
        // Reasons for their findings are the authors' alone.
        accept: _,
        steps,
    } = procedure;
    let mut texts = vec![Text::new("/title", title, Shown::AsWritten)];
    texts.extend(author.iter().map(|author| Text::new("/author", author, Shown::AsWritten)));
    texts.push(Text::new("/purpose", purpose, Shown::Filled));
    texts.push(Text::new("/scope", scope, Shown::Filled));
    texts.extend(emergency.iter().map(|text| Text::new("/emergency", text, Shown::Filled)));
    texts_of_steps("/steps", steps, &mut texts);
    texts
}

fn texts_of_steps<'a>(at: &str, steps: &'a [Step], texts: &mut Vec<Text<'a>>) {
    for (index, step) in steps.iter().enumerate() {
        let at = pointer(at, index);
        let own = texts_of_step(step);
        texts.extend(own.into_iter().map(|text| Text { at: format!("{at}/{}", text.at).into(), ..text }));
        if let Some((segment, inner)) = step.inner() {
            texts_of_steps(&format!("{at}{segment}"), inner, texts);
        }
    }
}

/// The texts of a step without those inside it, each with its pointer from the step.
pub(crate) fn texts_of_step(step: &Step) -> Vec<Text<'_>> {
    let Step { common, kind } = step;
    let Common {
        id: _,
        requires: _,
        leaves: _,
        disturbs: _,
        work: _,
        warn: _,
        note,
        tools: _,
        supplies: _,
        spares: _,
        by: _,
        verified_by: _,
        only: _,
        expect,
        // As in a procedure.
        accept: _,
        then: _,
        otherwise: _,
    } = common;
    let mut texts = Vec::new();
    match kind {
        Kind::Do(act) => texts.push(Text::new("do", act, Shown::Filled)),
        Kind::Ask(Question { text, answers }) => {
            texts.push(Text::new("ask", text, Shown::Filled));
            for (word, answer) in answers {
                // What an answer shows is made of values, and where it goes is a name.
                let (Answer::Goes(_) | Answer::Shows(_)) = answer;
                let at = pointer("answers", word);
                texts.push(Text { key: true, ..Text::new(at, word, Shown::AsWritten) });
            }
        }
        Kind::Wait(wait) => {
            let Wait { time: _, until: _, limit: _, why } = &**wait;
            texts.extend(why.iter().map(|why| Text::new("wait/why", why, Shown::Filled)));
        }
        Kind::Hold(Hold { released_by: _, check }) => {
            texts.push(Text::new("hold/check", check, Shown::Filled));
        }
        Kind::Measure(measure) => {
            let Measure { what, instrument: _, at_least: _, at_most: _, shows: _, retests: _ } = &**measure;
            texts.push(Text::new("measure/what", what, Shown::Filled));
        }
        Kind::Fasten(Fasten { fasteners: _, pass: _ }) => {}
        // What stands inside has texts of its own.
        Kind::Action(_) | Kind::Confirm(_) | Kind::AnyOrder(_) | Kind::Repeat(_) | Kind::Perform(_) => {}
    }
    texts.extend(note.iter().map(|note| Text::new("note", note, Shown::Filled)));
    texts.extend(expect.iter().map(|expect| Text::new("expect", expect, Shown::Filled)));
    texts
}

/// The texts that are filled in where a step is shown: its own, and the act of its action.
pub(crate) fn filled_texts<'a>(step: &'a Step, equipment: &'a Equipment) -> impl Iterator<Item = &'a str> {
    let action = step.kind.action().and_then(|name| equipment.actions.get(name));
    let own = texts_of_step(step).into_iter().filter(|text| text.shown == Shown::Filled);
    own.map(|text| text.text).chain(action.map(|action| action.act.as_str()))
}

/// A text with its figures filled in: `{{ purge_time }}` by what is given for the amount `purge-time`. What is given
/// nothing for stays as it stands.
#[must_use]
pub fn filled(text: &str, figure: impl Fn(&str) -> Option<String>) -> String {
    let mut pieces = text.split("{{");
    let mut filled = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let named = piece.split_once("}}");
        match named.and_then(|(name, rest)| Some((figure(&name.trim().replace('_', "-"))?, rest))) {
            Some((figure, rest)) => filled.extend([&figure, rest]),
            None => filled.extend(["{{", piece]),
        }
    }
    filled
}

/// How an amount is written in a text: `purge-time` as `purge_time`.
#[must_use]
pub fn template(amount: &str) -> String {
    amount.replace('-', "_")
}

/// Whether a text names the amount, as in `{{ purge_time }}`.
pub(crate) fn names(text: &str, amount: &Name) -> bool {
    let template = template(amount);
    mentioned(text).any(|name| name == template)
}

/// What stands in the double braces of a text.
pub fn mentioned(text: &str) -> impl Iterator<Item = &str> {
    text.split("{{").skip(1).filter_map(|piece| Some(piece.split_once("}}")?.0.trim()))
}

/// What is wrong with the double braces of a text, and what to do about it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct TemplateFault {
    /// What is wrong, in a sentence without its full stop.
    pub message: String,
    /// What to do.
    pub help: Option<String>,
}

/// The first fault of a text that is filled in with these amounts, as they are written in texts. Everything that template
/// languages offer beyond names is refused, so that no text can compute, loop or grow.
#[must_use]
pub fn template_fault<'a>(text: &str, known: impl Iterator<Item = &'a str> + Clone) -> Option<TemplateFault> {
    let fault = |message: String, help: Option<String>| Some(TemplateFault { message, help });
    for mark in ["{%", "{#"] {
        if text.contains(mark) {
            let message = format!("`{mark}` has no meaning here: only `{{{{ amount }}}}` is filled in");
            return fault(message, None);
        }
    }
    for piece in text.split("{{").skip(1) {
        let Some((name, _)) = piece.split_once("}}") else {
            return fault("`{{` is not followed by `}}`".to_owned(), None);
        };
        let name = name.trim();
        let is_known = |name: &str| known.clone().any(|known| known == name);
        if is_known(name) {
            continue;
        }
        let meant_name = template(name);
        if is_known(&meant_name) {
            return fault(
                format!("`{name}` is written `{meant_name}` in double braces"),
                Some(format!("write `{{{{ {meant_name} }}}}`")),
            );
        }
        if name.is_empty()
            || !name.chars().all(|letter| letter.is_ascii_alphanumeric() || "_-".contains(letter))
        {
            return fault("only the name of an amount may stand in double braces".to_owned(), None);
        }
        let help = meant(name, known).unwrap_or_else(|| "no amounts are declared".to_owned());
        return fault(format!("no amount is named `{name}`"), Some(help));
    }
    None
}
