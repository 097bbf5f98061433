//! Phrases of several words.

use crate::text::lists::{PHRASE, PHRASES, Phrase};
use crate::text::{Sentence, Text, Word};

/// The first phrase of a kind in a text.
pub(crate) fn phrase(text: &Text<'_>, kind: Phrase) -> Option<&'static str> {
    text.sentences.iter().find_map(|sentence| in_sentence(sentence, kind))
}

fn in_sentence(sentence: &Sentence<'_>, kind: Phrase) -> Option<&'static str> {
    (0..sentence.words.len()).filter(|&at| sentence.words[at].is(PHRASE)).find_map(|at| {
        let rest = &sentence.words[at..];
        PHRASES
            .iter()
            .filter(|(of, _)| *of == kind)
            .map(|&(_, phrase)| phrase)
            .find(|phrase| begins(rest, phrase))
    })
}

/// Whether these words begin with the phrase.
pub(crate) fn begins(words: &[Word<'_>], phrase: &str) -> bool {
    let mut words = words.iter();
    phrase.split(' ').all(|wanted| words.next().is_some_and(|word| word.lower == wanted))
}
