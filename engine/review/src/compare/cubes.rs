//! What is asked for, more or less of it.

use super::change::Class;
use document::model::{Cube, Equipment, Name};
use std::collections::BTreeSet;

/// A conjunction as sets of values, what it leaves out left out.
type Region = indexmap::IndexMap<Name, BTreeSet<String>>;

/// How one condition of a conjunction differs.
pub(super) struct Shift {
    pub(super) condition: Name,
    /// The values allowed before; `None` where all were.
    pub(super) old: Option<BTreeSet<String>>,
    pub(super) new: Option<BTreeSet<String>>,
    /// Whether less is asked for: a value is allowed that was not.
    pub(super) wider: bool,
}

impl Shift {
    /// "supply switch: isolated" or "any".
    pub(super) fn words(values: Option<&BTreeSet<String>>) -> String {
        match values {
            Some(values) => document::model::either(&values.iter().cloned().collect::<Vec<_>>()),
            None => "anything".to_owned(),
        }
    }

    pub(super) fn sentence(&self) -> String {
        format!(
            "{} was {}, is now {}",
            self.condition.words(),
            Self::words(self.old.as_ref()),
            Self::words(self.new.as_ref())
        )
    }
}

/// Several conjunctions that must all hold, as one.
pub(super) fn all<'a>(cubes: impl IntoIterator<Item = &'a Cube>) -> Region {
    let mut region = Region::new();
    for (name, values) in cubes.into_iter().flatten() {
        let values: BTreeSet<String> = values.0.iter().cloned().collect();
        match region.get_mut(name) {
            Some(known) => *known = known.intersection(&values).cloned().collect(),
            None => {
                region.insert(name.clone(), values);
            }
        }
    }
    region
}

/// Every condition in which two conjunctions differ. `equipment` says what all values of a condition are.
pub(super) fn shifts(old: &Region, new: &Region, equipment: &Equipment) -> Vec<Shift> {
    let whole = |name: &Name| -> Option<BTreeSet<String>> {
        let condition = equipment.conditions.get(name).map(|condition| &condition.values);
        let values = condition.or_else(|| equipment.variants.get(name))?;
        Some(values.iter().cloned().collect())
    };
    let some = |region: &Region, name: &Name| {
        let values = region.get(name)?;
        if whole(name).is_some_and(|all| all.is_subset(values)) { None } else { Some(values.clone()) }
    };
    let mut names: Vec<&Name> = old.keys().collect();
    names.extend(new.keys().filter(|name| !old.contains_key(*name)));
    let differ = names.into_iter().filter_map(|name| {
        let (old, new) = (some(old, name), some(new, name));
        if old == new {
            return None;
        }
        let wider = match (&old, &new) {
            (Some(old), Some(new)) => !new.is_subset(old),
            (Some(_), None) => true,
            (None, _) => false,
        };
        Some(Shift { condition: name.clone(), old, new, wider })
    });
    differ.collect()
}

/// Whether conditions that stand in both change in another order.
pub(super) fn reordered(old: &Cube, new: &Cube) -> bool {
    let before = old.keys().filter(|name| new.contains_key(*name));
    let after = new.keys().filter(|name| old.contains_key(*name));
    before.ne(after)
}

/// What a difference in something that is asked for means: less of it is weaker.
pub(super) fn asked(shift: &Shift) -> Class {
    if shift.wider { Class::Weakened } else { Class::Strengthened }
}

/// What a difference in something that is forbidden means: the whole conjunction counts, and one that forbids less in
/// any condition is weaker.
pub(super) fn forbidden(shifts: &[Shift]) -> Class {
    let narrower = |shift: &Shift| match (&shift.old, &shift.new) {
        (None, Some(_)) => true,
        (Some(old), Some(new)) => !old.is_subset(new),
        (_, None) => false,
    };
    if shifts.iter().any(narrower) { Class::Weakened } else { Class::Strengthened }
}
