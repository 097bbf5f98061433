//! Signal words.

use document::model::{Certainty, Hazard, Worst};
use serde::Serialize;

/// The signal word of a hazard, gravest first.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "UPPERCASE")]
pub enum SignalWord {
    /// Will kill or seriously injure.
    Danger,
    /// Could kill or seriously injure.
    Warning,
    /// Could cause minor or moderate injury.
    Caution,
    /// Damage to things, not to people.
    Notice,
}

impl SignalWord {
    /// Follows from the worst credible outcome and its certainty, not from taste. Source: ANSI Z535.4-2007 4.14
    /// (read, in a label maker's quotation).
    #[must_use]
    pub fn for_hazard(hazard: &Hazard) -> Self {
        match (hazard.worst, hazard.certainty) {
            (Worst::Death | Worst::Serious, Certainty::Will) => Self::Danger,
            (Worst::Death | Worst::Serious, Certainty::Could) => Self::Warning,
            (Worst::Moderate | Worst::Minor, _) => Self::Caution,
            (Worst::Damage, _) => Self::Notice,
        }
    }

    /// The word as printed.
    #[must_use]
    pub fn word(self) -> &'static str {
        match self {
            Self::Danger => "DANGER",
            Self::Warning => "WARNING",
            Self::Caution => "CAUTION",
            Self::Notice => "NOTICE",
        }
    }

    /// Whether the safety alert symbol stands beside it: for injury always, for damage never (ANSI Z535.4-2007
    /// 4.14.4, read).
    #[must_use]
    pub fn has_symbol(self) -> bool {
        self != Self::Notice
    }
}

#[cfg(test)]
mod tests {
    use super::SignalWord;
    use document::model::{Certainty, Hazard, Worst};

    /// ANSI Z535.4-2007 4.14.1 to 4.14.4 (read); rank by the order of those clauses.
    #[test]
    fn the_word_follows_from_outcome_and_certainty() {
        let word = |worst, certainty| {
            let text = String::new;
            SignalWord::for_hazard(&Hazard {
                worst,
                certainty,
                hazard: text(),
                consequence: text(),
                avoid: text(),
            })
        };
        for (worst, could, will) in [
            (Worst::Death, SignalWord::Warning, SignalWord::Danger),
            (Worst::Serious, SignalWord::Warning, SignalWord::Danger),
            (Worst::Moderate, SignalWord::Caution, SignalWord::Caution),
            (Worst::Minor, SignalWord::Caution, SignalWord::Caution),
            (Worst::Damage, SignalWord::Notice, SignalWord::Notice),
        ] {
            assert_eq!(word(worst, Certainty::Could), could, "{worst:?}");
            assert_eq!(word(worst, Certainty::Will), will, "{worst:?}");
        }
        let all = [SignalWord::Danger, SignalWord::Warning, SignalWord::Caution, SignalWord::Notice];
        assert!(all.is_sorted());
        assert_eq!(all.map(SignalWord::has_symbol), [true, true, true, false]);
    }
}
