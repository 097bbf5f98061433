//! Published values, each beside its source and how well that is known, against what the methods give.
//!
//! A group holds values of one table. Those that were worked out here are marked as derived and counted apart. Where a
//! published value does not follow from its own formula, the group tells it apart, with what is right and why; such a
//! value must stay outside the tolerance, or the remark is out of date.

mod batteries;
mod bolts;
mod chlorine;
mod lifting;
mod nozzles;
mod purging;
mod ratios;
mod readings;
mod spraying;
mod statics;

use super::source::SourceKind;
use super::tests::{names_an_address, work};
use crate::quantity::{Quantity, Unit};
use std::collections::BTreeMap;

/// Values of one table for one result of one method.
pub(super) struct Group {
    pub(super) from: Document,
    /// Which table, example or page of it.
    pub(super) at: &'static str,
    pub(super) method: &'static str,
    /// Which result: empty for the main one.
    pub(super) result: &'static str,
    /// The unit in which it is printed.
    pub(super) unit: &'static str,
    pub(super) tolerance: Tolerance,
    /// Inputs that all rows share.
    pub(super) base: &'static [(&'static str, &'static str)],
    pub(super) rows: &'static [Row],
    /// Values that do not follow from their own formula.
    pub(super) wrong: &'static [Wrong],
}

/// A text that prints values, by its title and edition.
#[derive(Clone, Copy)]
pub(super) struct Document {
    pub(super) title: &'static str,
    pub(super) kind: SourceKind,
}

/// What was worked out here.
pub(super) const DERIVED: Document = Document { title: "worked out here", kind: SourceKind::Derived };

/// Inputs, and the printed value.
pub(super) type Row = (&'static [(&'static str, &'static str)], f64);

/// Inputs, the printed value, what is right, and why.
pub(super) type Wrong = (&'static [(&'static str, &'static str)], f64, f64, &'static str);

#[derive(Clone, Copy)]
pub(super) enum Tolerance {
    /// As a share of the printed value: what its rounding, that of its inputs and the method's own allow.
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
        chlorine::GROUPS,
        lifting::GROUPS,
        nozzles::GROUPS,
        purging::GROUPS,
        ratios::GROUPS,
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
        let found = worked.also.iter().find(|(name, _)| *name == self.result).map(|(_, quantity)| quantity);
        let quantity: &Quantity = if self.result.is_empty() {
            &worked.result
        } else {
            found.unwrap_or_else(|| panic!("`{}` gives no `{}`", self.method, self.result))
        };
        let unit = if self.unit.is_empty() { Unit::NUMBER } else { Unit::parse(self.unit).unwrap() };
        quantity.value_in(unit).unwrap()
    }

    /// Whether somebody else printed the values.
    fn is_published(&self) -> bool {
        match self.from.kind {
            SourceKind::Standard(_)
            | SourceKind::Handbook(_)
            | SourceKind::AgencyTable(_)
            | SourceKind::MakerTable(_) => true,
            SourceKind::Derived | SourceKind::Practice => false,
        }
    }
}

#[test]
fn every_published_value_is_met() {
    let mut missed = Vec::new();
    for group in groups() {
        for (row, printed) in group.rows {
            let got = group.value(row);
            if !group.tolerance.holds(got, *printed) {
                let Group { from, at, method, unit, .. } = group;
                missed.push(format!(
                    "`{method}` {row:?}: {got} for the {printed} {unit} of {}, {at}",
                    from.title
                ));
            }
        }
    }
    assert!(missed.is_empty(), "{}", missed.join("\n"));
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
fn each_group_has_its_source() {
    for group in groups() {
        let Document { title, kind } = group.from;
        assert!(title.len() > 8 && !group.at.is_empty(), "{title}");
        assert!(!names_an_address(title) && !names_an_address(group.at), "{title}, {}", group.at);
        assert!(!group.rows.is_empty() || !group.wrong.is_empty(), "{title}, {}", group.at);
        assert_ne!(kind, SourceKind::Practice, "{title}: practice prints no values");
    }
}

/// What was worked out here is no published value, and one text cannot speak for all methods.
#[test]
fn there_are_enough_of_them() {
    let (mut by_title, mut by_method) = (BTreeMap::new(), BTreeMap::new());
    for group in groups().filter(|group| group.is_published()) {
        *by_title.entry(group.from.title).or_insert(0) += group.rows.len();
        *by_method.entry(group.method).or_insert(0) += group.rows.len();
    }
    let count: usize = by_title.values().sum();
    assert!(count >= 150, "only {count} published values");
    for (title, count) in by_title {
        assert!(count <= 60, "{count} values of {title}");
    }
    for method in super::methods() {
        let count = by_method.get(method.name).copied().unwrap_or(0);
        assert!(count >= 3, "`{}` meets {count} published values", method.name);
    }
}
