//! Why a pattern has no order, or an order breaks its rule.

use std::fmt;

/// Why a pattern has no order, or an order breaks its rule.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum PatternError {
    /// A layout without fasteners or with more than 200.
    Count {
        /// How many there are.
        count: usize,
    },
    /// A pitch or place that is no length, not whole micrometres, or not from 1 µm to 10 m (a place: 10 m either
    /// way).
    Place {
        /// The quantity as written.
        quantity: String,
    },
    /// Two fasteners sit in one place.
    SamePlace {
        /// One of them.
        first: usize,
        /// The other.
        second: usize,
    },
    /// The rule does not suit the layout.
    Unsuited {
        /// Why, and which rule to use.
        because: &'static str,
    },
    /// An order names a fastener that is not there.
    NoSuchFastener {
        /// The number.
        fastener: usize,
        /// How many there are.
        count: usize,
    },
    /// An order names a fastener twice.
    Twice {
        /// The fastener.
        fastener: usize,
    },
    /// An order leaves a fastener out.
    LeftOut {
        /// The fastener with the lowest number among those left out.
        fastener: usize,
    },
    /// An order breaks its rule.
    Breaks {
        /// The turn, from 1, at which it first does.
        turn: usize,
        /// The fastener tightened at that turn.
        fastener: usize,
        /// A fastener that would keep the rule there.
        instead: usize,
        /// The rule in a few words.
        because: &'static str,
    },
}

/// Checks that an order names each fastener from 1 to `count` once.
pub(super) fn expect_permutation(order: &[usize], count: usize) -> Result<(), PatternError> {
    let mut seen = vec![false; count];
    for &fastener in order {
        match fastener.checked_sub(1).and_then(|index| seen.get_mut(index)) {
            None => return Err(PatternError::NoSuchFastener { fastener, count }),
            Some(true) => return Err(PatternError::Twice { fastener }),
            Some(unseen) => *unseen = true,
        }
    }
    match seen.iter().position(|seen| !seen) {
        Some(index) => Err(PatternError::LeftOut { fastener: index + 1 }),
        None => Ok(()),
    }
}

impl fmt::Display for PatternError {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            PatternError::Count { count } => {
                write!(f, "a pattern of {count} fasteners has no order; give from 1 to 200")
            }
            PatternError::Place { quantity } => write!(
                f,
                "`{quantity}` is no place or pitch; give a length in whole micrometres of at most 10 m, \
                 and a pitch above zero"
            ),
            PatternError::SamePlace { first, second } => {
                write!(f, "fasteners {first} and {second} sit in one place; give each its own")
            }
            PatternError::Unsuited { because } => f.write_str(because),
            PatternError::NoSuchFastener { fastener, count } => {
                write!(f, "the order names fastener {fastener}; they are numbered from 1 to {count}")
            }
            PatternError::Twice { fastener } => write!(f, "the order names fastener {fastener} twice"),
            PatternError::LeftOut { fastener } => write!(f, "the order leaves out fastener {fastener}"),
            PatternError::Breaks { turn, fastener, instead, because } => write!(
                f,
                "turn {turn} tightens fastener {fastener} where the rule asks for one such as {instead}: {because}"
            ),
        }
    }
}

impl std::error::Error for PatternError {}
