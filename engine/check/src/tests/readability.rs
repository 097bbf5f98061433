//! Flesch Reading Ease against published figures.

use crate::text::readability::{Counts, syllables};

/// Words, sentences, syllables and the published figure, to as many places as were published.
const PUBLISHED: [(Counts, f64, f64); 4] = [
    // "The Australian platypus is seemingly a hybrid of a mammal and reptilian creature." Encyclopaedia, memory.
    (Counts { words: 13, sentences: 1, syllables: 24 }, 37.5, 0.05),
    // One word of one syllable: the upper bound. Encyclopaedia, read.
    (Counts { words: 1, sentences: 1, syllables: 1 }, 121.22, 0.005),
    // "The cat sat on the mat." Encyclopaedia, memory.
    (Counts { words: 6, sentences: 1, syllables: 6 }, 116.0, 0.5),
    // "This sentence, taken as a reading passage unto itself, is being used to prove a point." Memory.
    (Counts { words: 16, sentences: 1, syllables: 23 }, 69.0, 0.5),
];

#[test]
fn the_formula_gives_the_published_figures() {
    for (counts, published, within) in PUBLISHED {
        let ease = counts.reading_ease().expect("there are words");
        assert!((ease - published).abs() <= within, "{counts:?}: {ease}, published {published}");
    }
    assert_eq!(Counts::default().reading_ease(), None);
}

/// Counters differ; the published counts are met within one syllable.
#[test]
fn syllables_are_counted_within_one() {
    let texts = [
        ("The Australian platypus is seemingly a hybrid of a mammal and reptilian creature", 24),
        ("The cat sat on the mat", 6),
        ("This sentence taken as a reading passage unto itself is being used to prove a point", 23),
    ];
    for (text, published) in texts {
        let counted: usize = text.split(' ').map(|word| syllables(&word.to_lowercase())).sum();
        assert!(counted.abs_diff(published) <= 1, "{text}: {counted}, published {published}");
    }
    // Common words of procedures, as any dictionary parts them.
    for (word, parts) in [
        ("valve", 1),
        ("handle", 2),
        ("gauge", 1),
        ("closed", 1),
        ("fitted", 2),
        ("battery", 3),
        ("pressure", 2),
    ] {
        assert_eq!(syllables(word), parts, "{word}");
    }
}
