//! Published values, each beside its source and how well that is known, against what the methods give.
//!
//! A group holds values of one source. Where a published value does not follow from its own formula, the group tells it
//! apart, with what is right and why; such a value must stay outside the tolerance, or the remark is out of date.

mod batteries;
mod bolts;
mod dilution;
mod lifting;
mod purging;
mod readings;
mod spraying;
mod statics;

use super::tests::work;
use crate::quantity::{Quantity, Unit};

/// Values of one source for one result of one method.
pub(super) struct Group {
    /// Where they are printed.
    pub(super) source: &'static str,
    /// How well that is known: read, 2nd hand, memory, derived.
    pub(super) mark: &'static str,
    pub(super) method: &'static str,
    /// Which result: empty for the main one.
    pub(super) of: &'static str,
    /// The unit in which it is printed.
    pub(super) unit: &'static str,
    pub(super) tolerance: Tolerance,
    /// Inputs that all rows share.
    pub(super) base: &'static [(&'static str, &'static str)],
    pub(super) rows: &'static [Row],
    /// Values that do not follow from their own formula.
    pub(super) wrong: &'static [Wrong],
}

/// Inputs, and the printed value.
pub(super) type Row = (&'static [(&'static str, &'static str)], f64);

/// Inputs, the printed value, what is right, and why.
pub(super) type Wrong = (&'static [(&'static str, &'static str)], f64, f64, &'static str);

#[derive(Clone, Copy)]
pub(super) enum Tolerance {
    /// As a share of the printed value: what its rounding or its formula's constants allow.
    Share(f64),
    /// In the printed unit.
    Within(f64),
}

impl Tolerance {
    fn holds(self, got: f64, printed: f64) -> bool {
        let off = (got - printed).abs();
        match self {
            Tolerance::Share(share) => off <= share * printed.abs() + 1e-12,
            Tolerance::Within(most) => off <= most + 1e-12,
        }
    }
}

fn groups() -> impl Iterator<Item = &'static Group> {
    [
        batteries::GROUPS,
        bolts::GROUPS,
        dilution::GROUPS,
        lifting::GROUPS,
        purging::GROUPS,
        readings::GROUPS,
        spraying::GROUPS,
        statics::GROUPS,
    ]
    .into_iter()
    .flatten()
}

impl Group {
    fn value(&self, row: &[(&str, &str)]) -> f64 {
        let mut inputs = self.base.to_vec();
        inputs.extend_from_slice(row);
        let worked = work(self.method, &inputs);
        let found = worked.also.iter().find(|(name, _)| *name == self.of).map(|(_, quantity)| quantity);
        let quantity: &Quantity = if self.of.is_empty() {
            &worked.result
        } else {
            found.unwrap_or_else(|| panic!("`{}` gives no `{}`", self.method, self.of))
        };
        let unit = if self.unit.is_empty() { Unit::NUMBER } else { Unit::parse(self.unit).unwrap() };
        quantity.value_in(unit).unwrap()
    }
}

#[test]
fn every_published_value_is_met() {
    for group in groups() {
        for (row, printed) in group.rows {
            let got = group.value(row);
            assert!(
                group.tolerance.holds(got, *printed),
                "`{}` {row:?}: {got} for the printed {printed} {} of {}",
                group.method,
                group.unit,
                group.source
            );
        }
    }
}

#[test]
fn values_that_contradict_their_formula_are_told_apart() {
    for group in groups() {
        for (row, printed, right, why) in group.wrong {
            let got = group.value(row);
            assert!(!group.tolerance.holds(got, *printed), "{row:?} meets {printed} after all: {why}");
            assert!((got - right).abs() <= 0.01 * right.abs(), "{row:?}: {got}, not {right}: {why}");
            assert!(why.len() > 20, "{row:?}: say why");
        }
    }
}

#[test]
fn there_are_enough_of_them_and_each_has_its_source() {
    let mut count = crate::quantity::tests::SP_811.len();
    for group in groups() {
        assert!(group.source.len() > 8, "{}", group.source);
        assert!(["read", "2nd hand", "memory", "derived"].contains(&group.mark), "{}", group.mark);
        assert!(!group.rows.is_empty() || !group.wrong.is_empty(), "{}", group.source);
        // What we worked out ourselves is no published value.
        if group.mark != "derived" {
            count += group.rows.len() + group.wrong.len();
        }
    }
    assert!(count >= 150, "only {count} published values");
    for method in super::methods() {
        let untold = ["torque-stage", "dilution-dose", "coverage"];
        let known = groups().any(|group| group.method == method.name);
        assert!(known || untold.contains(&method.name), "`{}` meets no published value", method.name);
    }
}
