//! The texts of a document, taken apart once for all rules.

pub(crate) mod lists;
pub(crate) mod phrases;
pub(crate) mod readability;

use lists::{CONDITION, Class, DETERMINER, NOUN_TOO, VERB, class};
use std::borrow::Cow;

/// What a text is there for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Role {
    Title,
    Purpose,
    Scope,
    Emergency,
    Act,
    Ask,
    Note,
    Expect,
    Check,
    What,
    Why,
    Hazard,
    Consequence,
    Avoid,
}

impl Role {
    /// What people call a text of this role.
    pub(crate) fn word(self) -> &'static str {
        match self {
            Self::Title => "title",
            Self::Purpose => "purpose",
            Self::Scope => "scope",
            Self::Emergency => "emergency text",
            Self::Act => "act",
            Self::Ask => "question",
            Self::Note => "note",
            Self::Expect => "expected result",
            Self::Check => "check of the hold point",
            Self::What => "quantity",
            Self::Why => "reason",
            Self::Hazard => "hazard",
            Self::Consequence => "consequence",
            Self::Avoid => "avoidance",
        }
    }

    /// Whether it tells a person what to do.
    pub(crate) fn instructs(self) -> bool {
        matches!(self, Self::Act | Self::Check)
    }
}

/// One text with where it stands.
pub(crate) struct Text<'a> {
    pub(crate) role: Role,
    /// Its JSON pointer.
    pub(crate) at: String,
    /// Whose text it is, for people: "step `open-bowl`".
    pub(crate) owner: Owner<'a>,
    pub(crate) raw: &'a str,
    pub(crate) sentences: Vec<Sentence<'a>>,
}

/// Whose text it is.
#[derive(Clone, Copy)]
pub(crate) enum Owner<'a> {
    Procedure,
    Step(&'a str),
    Action(&'a str),
    Hazard(&'a str),
}

impl<'a> Text<'a> {
    pub(crate) fn new(role: Role, at: String, owner: Owner<'a>, raw: &'a str) -> Self {
        Self { role, at, owner, raw, sentences: sentences(raw) }
    }

    /// "the act of step `open-bowl`".
    pub(crate) fn subject(&self) -> String {
        let role = self.role.word();
        match self.owner {
            Owner::Procedure => format!("the {role} of the procedure"),
            Owner::Step(name) => format!("the {role} of step `{name}`"),
            Owner::Action(name) => format!("the {role} of action `{name}`"),
            Owner::Hazard(name) => format!("the {role} of hazard `{name}`"),
        }
    }

    pub(crate) fn words(&self) -> impl Iterator<Item = &Word<'_>> {
        self.sentences.iter().flat_map(|sentence| &sentence.words)
    }
}

/// One sentence; an item of a list begins a new one.
#[derive(Default)]
pub(crate) struct Sentence<'a> {
    pub(crate) words: Vec<Word<'a>>,
    /// The paragraph it stands in; every item of a list is one of its own.
    pub(crate) paragraph: usize,
    /// Whether an item of a list begins with it.
    pub(crate) item: bool,
}

/// One word without the marks around it.
pub(crate) struct Word<'a> {
    pub(crate) raw: &'a str,
    pub(crate) lower: Cow<'a, str>,
    pub(crate) class: Class,
    /// A comma or colon follows.
    pub(crate) comma: bool,
    /// It stands in parentheses, and is not their first word.
    pub(crate) inside: bool,
}

impl Word<'_> {
    pub(crate) fn is(&self, class: Class) -> bool {
        self.class & class != 0
    }

    pub(crate) fn is_figure(&self) -> bool {
        self.raw.starts_with(|first: char| first.is_ascii_digit())
    }
}

impl<'a> Sentence<'a> {
    /// Words as ASD-STE100 counts them: a group with hyphens is one, and so are parentheses with what is in them.
    pub(crate) fn count(&self) -> usize {
        self.words.iter().filter(|word| !word.inside).count()
    }

    /// The words after a condition that opens the sentence ("If the lamp is lit, …").
    pub(crate) fn after_condition(&self) -> &[Word<'a>] {
        if !self.words.first().is_some_and(|word| word.is(CONDITION)) {
            return &self.words;
        }
        let comma = self.words.iter().position(|word| word.comma);
        comma.map_or(&self.words[..], |at| &self.words[at + 1..])
    }

    /// Whether it tells a person to do something.
    pub(crate) fn commands(&self) -> bool {
        commands(self.after_condition())
    }
}

/// Whether these words begin with an act. A word that names a thing as well counts before an article alone.
pub(crate) fn commands(words: &[Word<'_>]) -> bool {
    let Some(first) = words.first() else { return false };
    first.is(VERB) && (!first.is(NOUN_TOO) || words.get(1).is_some_and(|next| next.is(DETERMINER)))
}

/// Takes a text apart.
fn sentences(raw: &str) -> Vec<Sentence<'_>> {
    let mut done: Vec<Sentence<'_>> = Vec::new();
    let mut open = Sentence::default();
    let mut paragraph = 0;
    let mut inside = false;
    for line in raw.lines() {
        let line = line.trim();
        let item = line.strip_prefix("- ").or_else(|| line.strip_prefix("* "));
        if item.is_some() || line.is_empty() {
            paragraph += 1;
            close(&mut open, &mut done);
            inside = false;
        }
        open.item |= item.is_some();
        for token in item.unwrap_or(line).split_whitespace() {
            let begins = token.starts_with('(');
            let mark = |mark: char| "()[]{}\"“”‘’`*_,;:!?".contains(mark);
            let word =
                token.trim_start_matches(mark).trim_end_matches(|letter| mark(letter) || letter == '.');
            let ends = token.trim_end_matches([')', '"', '”', '`', '*']).ends_with(['!', '?', '.']);
            if !word.is_empty() {
                open.paragraph = paragraph;
                let comma = token.ends_with([',', ':']);
                open.words.push(classed(word, comma, inside && !begins));
            }
            inside = (inside || begins) && !token.contains(')');
            if ends {
                close(&mut open, &mut done);
            }
        }
    }
    close(&mut open, &mut done);
    done
}

fn close<'a>(open: &mut Sentence<'a>, done: &mut Vec<Sentence<'a>>) {
    let sentence = std::mem::take(open);
    if !sentence.words.is_empty() {
        done.push(sentence);
    }
}

fn classed(raw: &str, comma: bool, inside: bool) -> Word<'_> {
    let lower = match raw.chars().any(char::is_uppercase) {
        true => Cow::Owned(raw.to_lowercase()),
        false => Cow::Borrowed(raw),
    };
    let class = class(&lower);
    Word { raw, lower, class, comma, inside }
}
