//! An item of a group that a look in another item contradicts is offered again (R26).

use super::look::Said;
use super::model::{Judged, ModelStep, StepKind};
use super::place::{Items, Level, Phase, Place};
use super::ways::{Deed, Way};

/// For every item of a group what is its own: what its steps write or open, and nothing else of the group does, which itself
/// leaves that.
pub(super) fn own(items: &[ModelStep], left: &[(usize, u64, bool)]) -> Vec<u64> {
    let each: Vec<u64> = items.iter().map(written).collect();
    let others = |item: usize| {
        let beside = each.iter().enumerate().filter(|&(of, _)| of != item);
        beside.fold(vars(left), |all, (_, written)| all | written)
    };
    (0..items.len()).map(|item| each[item] & !others(item)).collect()
}

/// What a step and those inside it write or open, as they say.
fn written(step: &ModelStep) -> u64 {
    let disturbed = step.disturbs.iter().fold(vars(&step.writes), |all, var| all | 1 << var);
    step.kind.steps().into_iter().flatten().fold(disturbed, |all, inner| all | written(inner))
}

fn vars(writes: &[(usize, u64, bool)]) -> u64 {
    writes.iter().fold(0, |all, (var, ..)| all | 1 << var)
}

impl Judged {
    /// Which items are offered again, a bit each, if looks at a place contradict these conditions, a bit each.
    pub(super) fn sent_back(&self, from: &Place, against: u64) -> u64 {
        let Some((group, _, items)) = group_of(from) else { return 0 };
        let StepKind::AnyOrder { own, .. } = &self.step_at(group).kind else { return 0 };
        let contradicted = (0..own.len()).filter(|&item| own[item] & against != 0);
        contradicted.fold(0, |all, item| all | 1 << item) & items.done & !items.again
    }

    /// Where a way from a place leads on which these items come to be offered again: nowhere else, where it leaves the group.
    pub(super) fn leads_to(&self, from: &Place, way: &Way, back: u64) -> Place {
        let mut to = way.to.clone();
        if let (Some((group, item, _)), Place::At(levels, phase)) = (group_of(from), &mut to)
            && let Some(inside) = levels.strip_prefix(group)
        {
            match (inside, phase) {
                ([], Phase::Choose(items)) => *items = items.without(back),
                ([Level::Item(at, items), ..], _) if *at == item => {
                    levels[group.len()] = Level::Item(item, items.without(back));
                }
                _ => {}
            }
        }
        to
    }

    /// Each set of items that may be offered again on a way, whatever the values.
    pub(super) fn may_be_sent_back(&self, from: &Place, way: &Way) -> Vec<u64> {
        let contradicts = way.deeds.iter().filter_map(|deed| self.shown(deed));
        let against =
            contradicts.filter(|&(var, set)| set != self.all(var)).fold(0, |all, (var, _)| all | 1 << var);
        let all = self.sent_back(from, against);
        let mut subsets = vec![all];
        while let Some(&last) = subsets.last().filter(|&&last| last != 0) {
            subsets.push((last - 1) & all);
        }
        subsets
    }

    /// What the answer of a look says of which condition, if it says anything.
    pub(super) fn shown(&self, deed: &Deed) -> Option<(usize, u64)> {
        match *deed {
            Deed::Look { var, set, said: Said::Yes } | Deed::FindOut { var, set } => Some((var, set)),
            Deed::Look { var, set, said: Said::No } => Some((var, self.all(var) & !set)),
            Deed::Look { said: Said::CannotTell, .. }
            | Deed::Keep(_)
            | Deed::Without(_)
            | Deed::Time(_)
            | Deed::Open(_)
            | Deed::Looked
            | Deed::Write { .. }
            | Deed::Verified(_)
            | Deed::ActOver
            | Deed::AnythingElse => None,
        }
    }
}

/// The way down to the group that a place is in an item of, the item, and what is over of all. No group lies in another.
fn group_of(place: &Place) -> Option<(&[Level], usize, Items)> {
    let Place::At(levels, _) = place else { return None };
    levels.iter().enumerate().find_map(|(depth, level)| match level {
        Level::Item(item, items) => Some((&levels[..depth], *item, *items)),
        Level::Step(_) | Level::Round(_) | Level::Inside => None,
    })
}
