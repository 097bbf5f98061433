//! Exact fractions, so that 1.5 cm is 15 mm and a reading at its limit is at its limit.

use std::cmp::Ordering;

/// A fraction in lowest terms with a positive denominator.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) struct Ratio {
    numerator: i128,
    denominator: i128,
}

impl Ratio {
    /// None when the denominator is not positive.
    pub(crate) fn new(numerator: i128, denominator: i128) -> Option<Ratio> {
        if denominator <= 0 {
            return None;
        }
        let common = common_divisor(numerator, denominator);
        Some(Ratio { numerator: numerator / common, denominator: denominator / common })
    }

    pub(crate) fn checked_add(self, other: Ratio) -> Option<Ratio> {
        let common = common_divisor(self.denominator, other.denominator);
        let left = self.numerator.checked_mul(other.denominator / common)?;
        let right = other.numerator.checked_mul(self.denominator / common)?;
        Ratio::new(left.checked_add(right)?, (self.denominator / common).checked_mul(other.denominator)?)
    }

    pub(crate) fn checked_sub(self, other: Ratio) -> Option<Ratio> {
        self.checked_add(Ratio { numerator: other.numerator.checked_neg()?, denominator: other.denominator })
    }

    pub(crate) fn checked_mul(self, other: Ratio) -> Option<Ratio> {
        // Reduced crosswise first, so that only the true size of the answer can overflow.
        let left = Ratio::new(self.numerator, other.denominator)?;
        let right = Ratio::new(other.numerator, self.denominator)?;
        Ratio::new(
            left.numerator.checked_mul(right.numerator)?,
            left.denominator.checked_mul(right.denominator)?,
        )
    }

    /// The divisor is a unit's factor and therefore positive; None otherwise.
    pub(crate) fn checked_div(self, other: Ratio) -> Option<Ratio> {
        self.checked_mul(Ratio::new(other.denominator, other.numerator)?)
    }

    pub(crate) fn to_f64(self) -> f64 {
        self.numerator as f64 / self.denominator as f64
    }
}

impl Ord for Ratio {
    /// Compares whole parts, then the remainders upside down: Euclid's way, which cannot overflow.
    fn cmp(&self, other: &Ratio) -> Ordering {
        let (mut left, mut right) = (*self, *other);
        let mut turned = false;
        loop {
            let whole = left.numerator.div_euclid(left.denominator);
            let other_whole = right.numerator.div_euclid(right.denominator);
            let rest = left.numerator.rem_euclid(left.denominator);
            let other_rest = right.numerator.rem_euclid(right.denominator);
            let found = match (whole.cmp(&other_whole), rest, other_rest) {
                (Ordering::Equal, 0, 0) => Some(Ordering::Equal),
                (Ordering::Equal, 0, _) => Some(Ordering::Less),
                (Ordering::Equal, _, 0) => Some(Ordering::Greater),
                (Ordering::Equal, _, _) => None,
                (unequal, _, _) => Some(unequal),
            };
            if let Some(ordering) = found {
                return if turned { ordering.reverse() } else { ordering };
            }
            left = Ratio { numerator: left.denominator, denominator: rest };
            right = Ratio { numerator: right.denominator, denominator: other_rest };
            turned = !turned;
        }
    }
}

impl PartialOrd for Ratio {
    fn partial_cmp(&self, other: &Ratio) -> Option<Ordering> {
        Some(self.cmp(other))
    }
}

/// The greatest common divisor; `right` is positive, and so is the answer.
fn common_divisor(left: i128, right: i128) -> i128 {
    let (mut a, mut b) = (right, left % right);
    while b != 0 {
        (a, b) = (b, a % b);
    }
    a.abs()
}

#[cfg(test)]
mod tests {
    use super::Ratio;
    use std::cmp::Ordering;

    fn ratio(numerator: i128, denominator: i128) -> Ratio {
        Ratio::new(numerator, denominator).unwrap()
    }

    #[test]
    fn order_agrees_with_cross_multiplication() {
        for a in -7..8 {
            for b in 1..8 {
                for c in -7..8 {
                    for d in 1..8 {
                        assert_eq!(ratio(a, b).cmp(&ratio(c, d)), (a * d).cmp(&(c * b)), "{a}/{b} {c}/{d}");
                    }
                }
            }
        }
    }

    #[test]
    fn order_holds_where_products_would_overflow() {
        let big = i128::MAX / 3;
        assert_eq!(ratio(big, big - 1).cmp(&ratio(big - 1, big - 2)), Ordering::Less);
        assert_eq!(ratio(big, big - 1).cmp(&ratio(big, big - 1)), Ordering::Equal);
    }

    #[test]
    fn sums_and_products_are_exact_or_nothing() {
        assert_eq!(ratio(1, 6).checked_add(ratio(1, 10)), Some(ratio(4, 15)));
        assert_eq!(ratio(1, 6).checked_sub(ratio(1, 6)), Some(ratio(0, 1)));
        assert_eq!(ratio(-2, 3).checked_mul(ratio(9, 4)), Some(ratio(-3, 2)));
        assert_eq!(ratio(5, 9).checked_div(ratio(5, 9)), Some(ratio(1, 1)));
        assert_eq!(ratio(i128::MAX, 1).checked_add(ratio(1, 1)), None);
        assert_eq!(Ratio::new(1, 0), None);
    }
}
