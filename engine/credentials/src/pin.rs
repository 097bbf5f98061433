//! PINs: which are taken, how they are kept, whether one is right.

use argon2::Argon2;
use argon2::password_hash::phc::PasswordHash;
use argon2::password_hash::{PasswordHasher, PasswordVerifier};
use std::fmt;

/// Digits in a PIN. Guesses are slowed down, so that a short one serves for people in gloves.
const LENGTH: std::ops::RangeInclusive<usize> = 6..=12;
/// A hash of no PIN in use: whoever is not known costs as much time as whoever is.
const NOBODY: &str =
    "$argon2id$v=19$m=19456,t=2,p=1$AAAAAAAAAAAAAAAAAAAAAA$AAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAAA";

/// Why a PIN is not taken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum PinFault {
    /// It is not 6 to 12 digits.
    Shape,
    /// It is one digit again and again, or digits in a row.
    Obvious,
    /// The hash could not be worked out.
    Hash,
}

impl fmt::Display for PinFault {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str(match self {
            Self::Shape => "a PIN is 6 to 12 digits",
            Self::Obvious => "this PIN is the first that anybody would try; take another",
            Self::Hash => "the PIN could not be hashed",
        })
    }
}

impl std::error::Error for PinFault {}

/// The salted hash of a PIN (Argon2id, RFC 9106), as a PHC string.
///
/// # Errors
/// [`PinFault`].
pub fn hash_pin(pin: &str) -> Result<String, PinFault> {
    if !LENGTH.contains(&pin.len()) || !pin.bytes().all(|digit| digit.is_ascii_digit()) {
        return Err(PinFault::Shape);
    }
    let steps: Vec<i16> =
        pin.as_bytes().windows(2).map(|two| i16::from(two[1]) - i16::from(two[0])).collect();
    if [0, 1, -1].iter().any(|step| steps.iter().all(|other| other == step)) {
        return Err(PinFault::Obvious);
    }
    let hash = Argon2::default().hash_password(pin.as_bytes()).map_err(|_| PinFault::Hash)?;
    Ok(hash.to_string())
}

/// Whether a PIN is the one that was hashed. Without a hash it takes as long and the answer is no.
#[must_use]
pub fn is_right_pin(pin: &str, hash: Option<&str>) -> bool {
    let right = PasswordHash::new(hash.unwrap_or(NOBODY))
        .is_ok_and(|known| Argon2::default().verify_password(pin.as_bytes(), &known).is_ok());
    right && hash.is_some()
}

#[cfg(test)]
mod tests {
    use super::{NOBODY, PinFault, hash_pin, is_right_pin};
    use argon2::password_hash::phc::PasswordHash;

    #[test]
    fn a_pin_is_known_by_its_hash_alone() {
        let known = hash_pin("402917").expect("a PIN");
        assert!(known.starts_with("$argon2id$v=19$") && !known.contains("402917"));
        assert_ne!(known, hash_pin("402917").expect("a PIN"), "the salt is new each time");
        assert!(is_right_pin("402917", Some(&known)));
        assert!(!is_right_pin("402918", Some(&known)));
        assert!(!is_right_pin("402917", None));
    }

    #[test]
    fn pins_that_anybody_would_try_are_not_taken() {
        for (pin, fault) in [
            ("12345", PinFault::Shape),
            ("1234567890123", PinFault::Shape),
            ("40291a", PinFault::Shape),
            ("٤٠٢٩١٧", PinFault::Shape),
            ("111111", PinFault::Obvious),
            ("123456", PinFault::Obvious),
            ("987654", PinFault::Obvious),
        ] {
            assert_eq!(hash_pin(pin), Err(fault), "{pin}");
        }
    }

    #[test]
    fn nobody_costs_as_much_as_somebody() {
        let params = |hash: &str| PasswordHash::new(hash).expect("a hash").params.to_string();
        assert_eq!(params(NOBODY), params(&hash_pin("402917").expect("a PIN")));
    }
}
