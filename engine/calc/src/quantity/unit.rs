//! A unit of the table, found by any of its spellings.

use super::dimension::Dimension;
use super::error::QuantityError;
use super::ratio::Ratio;
use super::table::{AMBIGUOUS, NUMBER, ROWS, Row, SETTLED};
use crate::nearest;
use std::fmt;

/// How words with more than one meaning are read.
pub const RULE: &str = "A customary unit without a country is the US one, as NIST SP 811 prints it: `gal` is the US \
     gallon. `oz` alone is a weight, the avoirdupois ounce, and `ton` alone is 2000 lb; a fluid ounce is `fl oz`, and \
     `oz/gal` is fluid ounces. `C` and `F` alone are refused. Whoever writes such a word is told how it was read.";

/// A known unit. Two units are equal when they have the same symbol.
#[derive(Clone, Copy)]
pub struct Unit(&'static Row);

impl Unit {
    /// The unit of a plain number: its symbol is empty.
    pub const NUMBER: Unit = Unit(&NUMBER);

    /// Finds a unit by its symbol or an accepted spelling. Upper and lower case differ. A word with more than one
    /// meaning, such as `gal`, is read by [`RULE`].
    ///
    /// # Errors
    /// [`QuantityError::Ambiguous`] for `C` and `F`, and
    /// [`QuantityError::UnknownUnit`] with the nearest known spelling for anything else not in the table.
    pub fn parse(text: &str) -> Result<Unit, QuantityError> {
        let name = tidy(text);
        if let Some(row) =
            ROWS.iter().find(|row| row.symbol == name || row.spellings.contains(&name.as_str()))
        {
            return Ok(Unit(row));
        }
        if let Some((_, symbol, _)) = SETTLED.iter().find(|(words, ..)| words.contains(&name.as_str())) {
            return Unit::parse(symbol);
        }
        if let Some((_, choices)) = AMBIGUOUS.iter().find(|(words, _)| words.contains(&name.as_str())) {
            return Err(QuantityError::Ambiguous { unit: name, choices });
        }
        let known =
            ROWS.iter().flat_map(|row| std::iter::once(row.symbol).chain(row.spellings.iter().copied()));
        let nearest = nearest(&name, known);
        Err(QuantityError::UnknownUnit { unit: name, nearest })
    }

    /// How a word with more than one meaning is read, told to whoever wrote it; none for any other.
    pub fn how_read(text: &str) -> Option<String> {
        let name = tidy(text);
        let (_, symbol, others) = SETTLED.iter().find(|(words, ..)| words.contains(&name.as_str()))?;
        let others: Vec<String> = others.iter().map(|other| format!("`{other}`")).collect();
        Some(format!(
            "`{name}` is read as `{symbol}`; write that, or {} for another unit",
            others.join(" or ")
        ))
    }

    /// Every unit there is, in the order of the table: for reference pages and schemas.
    pub fn all() -> impl Iterator<Item = Unit> {
        ROWS.iter().map(Unit)
    }

    /// The symbol in which the unit is written.
    pub fn symbol(self) -> &'static str {
        self.0.symbol
    }

    /// Other spellings that are read as this unit.
    pub fn spellings(self) -> &'static [&'static str] {
        self.0.spellings
    }

    /// What the unit measures.
    pub fn dimension(self) -> Dimension {
        self.0.dimension
    }

    pub(crate) fn to_base(self, figure: Ratio) -> Option<Ratio> {
        figure.checked_add(self.offset()?)?.checked_mul(self.factor()?)
    }

    pub(crate) fn of_base(self, base: Ratio) -> Option<Ratio> {
        base.checked_div(self.factor()?)?.checked_sub(self.offset()?)
    }

    fn factor(self) -> Option<Ratio> {
        Ratio::new(self.0.numerator, self.0.denominator)
    }

    fn offset(self) -> Option<Ratio> {
        Ratio::new(self.0.offset_hundredths, 100)
    }
}

impl PartialEq for Unit {
    fn eq(&self, other: &Unit) -> bool {
        self.0.symbol == other.0.symbol
    }
}

impl Eq for Unit {}

impl fmt::Debug for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "Unit({:?})", self.0.symbol)
    }
}

impl fmt::Display for Unit {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(self.0.symbol)
    }
}

/// Makes look-alike letters one: keyboards and editors write the ohm, micro and dot signs in several ways.
fn tidy(text: &str) -> String {
    let same: String = text
        .chars()
        .map(|letter| match letter {
            '\u{2126}' => 'Ω',
            '\u{3bc}' => 'µ',
            '\u{22c5}' | '\u{2022}' | '*' => '·',
            '\u{2206}' => 'Δ',
            '\u{ba}' => '°',
            other => other,
        })
        .collect();
    let words: Vec<&str> = same.split_whitespace().collect();
    words.join(" ").replace(" / ", "/").replace(" · ", "·")
}

#[cfg(test)]
mod tests {
    use super::{AMBIGUOUS, ROWS, SETTLED, Unit};
    use std::collections::BTreeSet;

    #[test]
    fn no_spelling_means_two_things() {
        let mut seen = BTreeSet::new();
        for row in ROWS {
            for name in std::iter::once(&row.symbol).chain(row.spellings) {
                assert!(seen.insert(*name), "`{name}` stands twice in the table");
            }
        }
        for (words, symbol, others) in SETTLED {
            for word in *words {
                assert!(seen.insert(*word), "`{word}` is both known and settled");
                assert_eq!(Unit::parse(word).unwrap().symbol(), *symbol);
                let told = Unit::how_read(word).unwrap();
                assert!(told.contains(symbol) && told.contains(word), "{told}");
            }
            for other in *others {
                assert_ne!(Unit::parse(other).unwrap().symbol(), *symbol);
            }
        }
        assert_eq!(Unit::how_read("US gal"), None);
        for (words, choices) in AMBIGUOUS {
            for word in *words {
                assert!(!seen.contains(word), "`{word}` is both known and ambiguous");
            }
            for choice in *choices {
                assert_eq!(Unit::parse(choice).unwrap().symbol(), *choice);
            }
        }
    }

    #[test]
    fn every_spelling_is_found_as_typed() {
        for row in ROWS {
            for name in std::iter::once(&row.symbol).chain(row.spellings) {
                assert_eq!(Unit::parse(name).unwrap().symbol(), row.symbol);
            }
        }
    }

    #[test]
    fn look_alike_signs_are_one() {
        assert_eq!(Unit::parse("m\u{2126}").unwrap().symbol(), "mohm");
        assert_eq!(Unit::parse("\u{3bc}m").unwrap().symbol(), "µm");
        assert_eq!(Unit::parse("N\u{22c5}m").unwrap().symbol(), "N·m");
        assert_eq!(Unit::parse(" L / min ").unwrap().symbol(), "L/min");
        assert_eq!(Unit::parse("US  fl\u{a0}oz").unwrap().symbol(), "US fl oz");
    }
}
