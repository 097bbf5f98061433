//! Flesch's formulas. They were made for running English text; steps are short, so they inform and judge nothing.

use crate::text::Text;

/// What the formulas count.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Counts {
    pub(crate) words: usize,
    pub(crate) sentences: usize,
    pub(crate) syllables: usize,
}

impl Counts {
    /// Counts of these texts; figures, units and names with figures are left out.
    pub(crate) fn count<'a>(texts: impl Iterator<Item = &'a Text<'a>>) -> Self {
        let mut counts = Self::default();
        for sentence in texts.flat_map(|text| &text.sentences) {
            counts.sentences += 1;
            for word in sentence.words.iter().filter(|word| word.raw.chars().any(char::is_alphabetic)) {
                counts.words += 1;
                counts.syllables += syllables(&word.lower);
            }
        }
        counts
    }

    /// Flesch Reading Ease; greater is easier, not limited to 0 to 100. `None` without words.
    pub(crate) fn reading_ease(self) -> Option<f64> {
        let (length, weight) = self.ratios()?;
        Some(206.835 - 1.015 * length - 84.6 * weight)
    }

    /// Words a sentence, and syllables a word.
    fn ratios(self) -> Option<(f64, f64)> {
        let of = |a: usize, b: usize| (b > 0).then(|| a as f64 / b as f64);
        Some((of(self.words, self.sentences)?, of(self.syllables, self.words)?))
    }
}

/// Syllables by groups of vowels: right for most English words, off by one for some.
pub(crate) fn syllables(word: &str) -> usize {
    let vowel = |letter: char| "aeiouyáéíóú".contains(letter);
    let letters: Vec<char> = word.chars().filter(|letter| letter.is_alphabetic()).collect();
    let groups =
        (0..letters.len()).filter(|&at| vowel(letters[at]) && (at == 0 || !vowel(letters[at - 1]))).count();
    let ends = |ending: &str| word.ends_with(ending);
    let consonant_before = |back: usize| letters.len() > back && !vowel(letters[letters.len() - 1 - back]);
    // A last e is silent ("gauge"), unless -le makes a syllable ("handle"); so is the e of most -es and -ed.
    let silent = ends("e") && !(ends("le") && consonant_before(2)) && consonant_before(1)
        || ends("ed") && !ends("ted") && !ends("ded") && consonant_before(2)
        || ends("es")
            && consonant_before(2)
            && !["ses", "zes", "xes", "ches", "shes", "ges", "ces", "les"].iter().any(|end| ends(end));
    // Two vowels that are said apart.
    let apart = ["io", "iu", "eo", "ua"].iter().filter(|pair| word.contains(*pair)).count();
    let together =
        ["tio", "sio", "cio", "gio", "gua", "qua"].iter().filter(|end| word.contains(*end)).count();
    (groups + apart.saturating_sub(together)).saturating_sub(usize::from(silent)).max(1)
}
