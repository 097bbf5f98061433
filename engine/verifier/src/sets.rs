//! The sets that a view claims, laid out for comparing.

use form::{Certificate, ClaimedSet, Form, View};

use crate::Refusal;
use crate::record::{Clock, Known, State, Tri};
use crate::refusal::Place;
use crate::scope::{Index, Scope};
use crate::shape;

/// What counts in a set, by slot.
#[derive(Clone)]
pub(crate) struct Counts {
    exact: Vec<bool>,
    opened: Vec<bool>,
    wrote: Vec<bool>,
    /// Of entries: exact, look-only.
    clocks: Vec<(bool, bool)>,
}

/// What a view claims at a place.
pub(crate) struct Claimed {
    pub(crate) place: Place,
    pub(crate) rank: u32,
    pub(crate) sets: Vec<ClaimedSet>,
}

/// What a view claims.
pub(crate) struct Sets {
    /// What a row says: values and times as exact, marks as yes or no.
    pub(crate) rows: Vec<State>,
    pub(crate) counts: Vec<Counts>,
    pub(crate) places: Vec<Claimed>,
}

impl Sets {
    /// Of a view that is well formed.
    pub(crate) fn of(scope: &Scope<'_>, view: &View) -> Self {
        let mark =
            |list: &[u32]| scope.vars.iter().map(|var| list.binary_search(var).is_ok()).collect::<Vec<_>>();
        let counts = view.care.iter().map(|care| {
            let exact = |s: &u32| care.exact.binary_search(&scope.form.settling[*s as usize].var).is_ok();
            let clock = |s: &u32| (exact(s), care.look_only.binary_search(s).is_ok());
            let clocks = scope.entries.iter().map(clock).collect();
            Counts { exact: mark(&care.exact), opened: mark(&care.opened), wrote: mark(&care.wrote), clocks }
        });
        let rows = view.rows.iter().map(|row| {
            let mut state = scope.blank();
            for (known, var) in state.vars.iter_mut().zip(&scope.vars) {
                if let Ok(i) = row.values.binary_search_by_key(var, |value| value.0) {
                    known.set_values(Known::new(row.values[i].1, true));
                }
                known.opened = row.opened.binary_search(var).is_ok().into();
                known.wrote = row.wrote.binary_search(var).is_ok().into();
            }
            for (clock, s) in state.clocks.iter_mut().zip(&scope.entries) {
                let time = row.clocks.binary_search_by_key(s, |time| time.0);
                clock.set(time.map_or(0, |i| row.clocks[i].1));
                clock.look_only = row.look_only.binary_search(s).is_ok().into();
            }
            state.found = scope.rules.iter().map(|rule| row.found.binary_search(rule).is_ok()).collect();
            state
        });
        let places = view.places.iter().map(|at| {
            let place = Place { node: at.node, items: at.items, again: at.again };
            Claimed { place, rank: at.rank, sets: at.sets.clone() }
        });
        Self { counts: counts.collect(), rows: rows.collect(), places: places.collect() }
    }

    /// What is claimed at a place.
    pub(crate) fn at(&self, place: Place) -> Option<&Claimed> {
        let found = self.places.binary_search_by_key(&place, |claimed| claimed.place);
        found.ok().map(|i| &self.places[i])
    }

    /// The records in a set.
    pub(crate) fn records(&self, scope: &Scope<'_>, set: ClaimedSet, into: &mut State) {
        into.copy(&self.rows[set.0 as usize]);
        let counts = &self.counts[set.1 as usize];
        for (slot, known) in into.vars.iter_mut().enumerate() {
            known.exact = counts.exact[slot] || known.may.count_ones() == 1;
            known.opened = if counts.opened[slot] { known.opened } else { Tri::Either };
            known.wrote = if counts.wrote[slot] { known.wrote } else { Tri::Either };
        }
        for (slot, clock) in into.clocks.iter_mut().enumerate() {
            let after = scope.form.settling[scope.entries[slot] as usize].after;
            clock.exact = counts.clocks[slot].0 || clock.least == after;
            clock.look_only = if counts.clocks[slot].1 { clock.look_only } else { Tri::Either };
        }
    }

    /// A mark that counts in some set at a place and is not sure in these records.
    pub(crate) fn unsure<'s>(&self, claimed: &Claimed, state: &'s mut State) -> Option<&'s mut Tri> {
        let any = |count: &dyn Fn(&Counts) -> bool| {
            claimed.sets.iter().any(|set| count(&self.counts[set.1 as usize]))
        };
        let vars = state.vars.iter_mut().enumerate().find_map(|(slot, known)| {
            if known.opened == Tri::Either && any(&|counts| counts.opened[slot]) {
                return Some(&mut known.opened);
            }
            (known.wrote == Tri::Either && any(&|counts| counts.wrote[slot])).then_some(&mut known.wrote)
        });
        let mut clocks = state.clocks.iter_mut().enumerate();
        let clock = |(slot, clock): &(usize, &mut Clock)| {
            clock.look_only == Tri::Either && any(&|counts| counts.clocks[*slot].1)
        };
        vars.or_else(|| clocks.find(clock).map(|(_, clock)| &mut clock.look_only))
    }

    /// Whether all of the records lie in one set claimed at the place.
    pub(crate) fn hold(&self, claimed: &Claimed, state: &State) -> bool {
        let (known, clock) = (|slot: usize| state.vars[slot], |slot: usize| state.clocks[slot]);
        claimed.sets.iter().any(|set| self.lies_in(*set, known, clock, |slot| state.found[slot]))
    }

    fn lies_in(
        &self,
        set: ClaimedSet,
        known: impl Fn(usize) -> Known,
        clock: impl Fn(usize) -> Clock,
        found: impl Fn(usize) -> bool,
    ) -> bool {
        let (row, counts) = (&self.rows[set.0 as usize], &self.counts[set.1 as usize]);
        row.vars.iter().enumerate().all(|(slot, row)| {
            let it = known(slot);
            it.may != 0
                && it.may & !row.may == 0
                && (!counts.exact[slot] || (it.exact && it.may == row.may))
                && (!counts.opened[slot] || it.opened == row.opened)
                && (!counts.wrote[slot] || it.wrote == row.wrote)
        }) && row.clocks.iter().enumerate().all(|(slot, row)| {
            let (it, (is_exact, is_look_only)) = (clock(slot), counts.clocks[slot]);
            it.least >= row.least
                && (!is_exact || (it.exact && it.least == row.least))
                && (!is_look_only || it.look_only == row.look_only)
        }) && row.found.iter().enumerate().all(|(slot, row)| found(slot) == *row)
    }
}

/// What the people at the machine are entitled to believe, by the numbers of the form.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct Record {
    /// By variable: the values that it may have.
    pub may: Vec<u64>,
    /// By entry of `settling`: milliseconds that have surely passed.
    pub clocks: Vec<u64>,
    /// By variable: whether it is opened.
    pub opened: Vec<bool>,
    /// By variable: whether an act wrote it.
    pub wrote: Vec<bool>,
    /// By entry of `settling`: whether only looks count.
    pub look_only: Vec<bool>,
    /// By rule: whether it is found broken.
    pub found: Vec<bool>,
}

/// What a certificate claims, laid out for asking about one record after the other.
pub struct Claims {
    views: Vec<Claim>,
    /// Variables, entries of `settling` and rules.
    counts: [usize; 3],
}

/// One view of it.
struct Claim {
    sets: Sets,
    vars: Vec<u32>,
    entries: Vec<u32>,
    rules: Vec<u32>,
    homes: Vec<(u32, u32)>,
}

impl Claims {
    /// Lays out what a certificate claims. Whether it is right is not asked here, but by [`crate::verify`].
    ///
    /// # Errors
    /// If the form or the certificate is not well formed.
    pub fn new(form: &Form, certificate: &Certificate) -> Result<Self, Refusal> {
        shape::form(form)?;
        shape::certificate(form, certificate)?;
        let index = Index::new(form);
        let views = certificate.views.iter().map(|view| {
            let scope = Scope::of(&index, view);
            let sets = Sets::of(&scope, view);
            Claim { sets, vars: scope.vars, entries: scope.entries, rules: scope.rules, homes: scope.homes }
        });
        let counts = [form.vars.len(), form.settling.len(), form.rules.len()];
        Ok(Self { views: views.collect(), counts })
    }

    /// Whether a record at a place lies, in every view, inside one set claimed there.
    #[must_use]
    pub fn holds(&self, node: u32, items: u32, again: u32, record: &Record) -> bool {
        let [vars, entries, rules] = self.counts;
        let of_vars = [record.may.len(), record.opened.len(), record.wrote.len()];
        let of_entries = [record.clocks.len(), record.look_only.len()];
        if of_vars != [vars; 3] || of_entries != [entries; 2] || record.found.len() != rules {
            return false;
        }
        self.views.iter().all(|view| view.holds(node, items, again, record))
    }
}

impl Claim {
    fn holds(&self, node: u32, items: u32, again: u32, record: &Record) -> bool {
        let Some((home, followed)) = self.homes.get(node as usize) else { return false };
        let place = Place { node: *home, items: items & followed, again: again & followed };
        let Some(claimed) = self.sets.at(place) else { return false };
        let known = |slot: usize| {
            let var = self.vars[slot] as usize;
            let (opened, wrote) = (record.opened[var].into(), record.wrote[var].into());
            Known { may: record.may[var], exact: true, opened, wrote }
        };
        let clock = |slot: usize| {
            let s = self.entries[slot] as usize;
            Clock { least: record.clocks[s], exact: true, look_only: record.look_only[s].into() }
        };
        let found = |slot: usize| record.found[self.rules[slot] as usize];
        claimed.sets.iter().any(|set| self.sets.lies_in(*set, known, clock, found))
    }
}
