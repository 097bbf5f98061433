//! What is relied on from a place: some path, whatever the values, reads it before it writes it (R19).

use super::look::Said;
use super::model::Judged;
use super::place::Place;
use super::ways::{Deed, Way};
use std::collections::BTreeMap;
use std::collections::btree_map::Entry;

/// All places that some path comes to, with the ways between them and what is relied on.
pub(super) struct Graph {
    /// The ways to leave each place.
    pub(super) ways: BTreeMap<Place, Vec<Way>>,
    live: BTreeMap<Place, Live>,
    /// For every condition what decides whether what is known of it lasts.
    causes: Vec<u64>,
}

/// Conditions by a bit each.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
struct Live {
    /// What is read before it is written.
    read: u64,
    /// What comes to done as it is here; at done it has to be back at normal if an act wrote it before.
    handed_on: u64,
}

impl Graph {
    /// What is relied on from a place by somebody on whose path these were written.
    pub(super) fn relied_on(&self, place: &Place, wrote: u64) -> u64 {
        let live = self.live.get(place).copied().unwrap_or_default();
        let mut relied_on = live.read | live.handed_on & wrote;
        loop {
            let more = union_of(&self.causes, relied_on) | relied_on;
            if more == relied_on {
                return relied_on;
            }
            relied_on = more;
        }
    }
}

impl Judged {
    /// Every place of the procedure, whatever the values.
    pub(super) fn graph(&self) -> Graph {
        let causes = self.watched();
        let (mut ways, mut open) = (BTreeMap::new(), vec![self.entry()]);
        while let Some(place) = open.pop() {
            let Entry::Vacant(entry) = ways.entry(place) else { continue };
            let out = self.ways(entry.key());
            open.extend(out.iter().map(|way| way.to.clone()));
            entry.insert(out);
        }
        let mut live: BTreeMap<Place, Live> = BTreeMap::new();
        loop {
            let mut changed = false;
            for (place, out) in ways.iter().rev() {
                let now = self.live_at(place, out, &live, &causes);
                changed |= live.insert(place.clone(), now) != Some(now) && now != Live::default();
            }
            if !changed {
                return Graph { ways, live, causes };
            }
        }
    }

    fn live_at(&self, place: &Place, ways: &[Way], later: &BTreeMap<Place, Live>, causes: &[u64]) -> Live {
        let mut here = Live::default();
        for &(var, _) in &self.needs(place) {
            here.read |= 1 << var;
        }
        if *place == Place::Done {
            here.read |= bits(&self.leaves);
            here.handed_on = self
                .conditions()
                .filter(|&var| self.vars[var].normal.is_some())
                .fold(0, |all, var| all | 1 << var);
            here.handed_on &= !bits(&self.leaves);
        }
        for way in ways {
            let mut live = later.get(&way.to).copied().unwrap_or_default();
            for deed in way.deeds.iter().rev() {
                live = self.before(deed, live, causes);
            }
            here.read |= live.read;
            here.handed_on |= live.handed_on;
        }
        here
    }

    fn before(&self, deed: &Deed, after: Live, causes: &[u64]) -> Live {
        let written = |var: usize, set: u64, rules: bool| {
            let lasting = if set == self.all(var) { 0 } else { causes[var] };
            Live {
                read: after.read & !(1 << var) | (self.decides(var, set, rules) | lasting) & !(1 << var),
                handed_on: after.handed_on & !(1 << var),
            }
        };
        match deed {
            Deed::Time(times) if times.is_empty() => after,
            Deed::Time(_) => {
                // Whether an act will have written what has to be back at normal is not for the graph to say.
                let awaited = after.read | after.handed_on;
                let waited = self.conditions().filter(|&var| awaited >> var & 1 == 1);
                let under = waited.filter_map(|var| Some((var, self.vars[var].settles.as_ref()?)));
                let read =
                    under.fold(after.read, |read, (var, settles)| read | bits(&settles.holds) | causes[var]);
                Live { read, ..after }
            }
            &Deed::Look { var, set, said: Said::Yes } | &Deed::FindOut { var, set } => {
                written(var, set, false)
            }
            &Deed::Look { var, set, said: Said::No } => written(var, self.all(var) & !set, false),
            &Deed::Look { var, set: _, said: Said::CannotTell } | &Deed::Open(var) => {
                written(var, self.all(var), false)
            }
            &Deed::Write { var, set, disturbs: _ } => written(var, set, true),
            Deed::Verified(vars) => {
                let seen = vars.iter().fold(0u64, |seen, var| seen | 1 << var);
                Live { read: after.read & !seen, handed_on: after.handed_on & !seen }
            }
            Deed::Keep(_) | Deed::Without(_) | Deed::Looked | Deed::ActOver | Deed::AnythingElse => after,
        }
    }

    /// What decides which evidence is lost, and which rule is broken, once a condition gets one of these values: what stands
    /// beside it where its own part is met.
    fn decides(&self, var: usize, set: u64, rules: bool) -> u64 {
        let settles = self.vars[var].settles.as_ref();
        let falls = settles.filter(|settles| set & settles.from != 0).map_or(0, |settles| settles.to);
        let set = set | falls;
        let mut lost = 0u64;
        let met = |cube: &[(usize, u64)], lost: u64| {
            cube.iter().any(|&(of, values)| of == var && values & set != 0 || lost >> of & 1 == 1)
        };
        let mut read = 0;
        loop {
            let before = (lost, read);
            for of in self.conditions() {
                for cause in self.vars[of].lost.iter().filter(|cause| met(cause, before.0)) {
                    lost |= 1 << of;
                    read |= bits(cause);
                }
            }
            if (lost, read) == before {
                break;
            }
        }
        let broken = self.rules.iter().filter(|(_, when)| rules && met(when, lost));
        broken.fold(read, |read, (_, when)| read | bits(when))
    }
}

/// The conditions of a cube, a bit each.
pub(super) fn bits(cube: &[(usize, u64)]) -> u64 {
    cube.iter().fold(0, |bits, &(var, _)| bits | 1 << var)
}

fn union_of(causes: &[u64], of: u64) -> u64 {
    causes.iter().enumerate().filter(|(var, _)| of >> var & 1 == 1).fold(0, |all, (_, causes)| all | causes)
}
