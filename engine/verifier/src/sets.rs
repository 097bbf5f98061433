//! The sets that a view claims, laid out for comparing.
use crate::record::{EITHER, Known, State, Tri, tri};
use crate::refusal::{Reason, Refusal};
use form::{Care, Certificate, Form, Place, Record, Row, Rule, View};

/// What a view claims: places with their ranks and the records in each of their sets.
pub(crate) struct Claim {
    /// By node: where the view stands then, and which items of the block it follows.
    pub(crate) homes: Vec<(u32, u32)>,
    pub(crate) places: Vec<(Place, u32, Vec<State>)>,
    /// The nodes that choose among items of which some are left out, and whether those lead to the stop.
    pub(crate) elsewhere: Vec<(u32, bool)>,
    pub(crate) vars: Vec<u32>,
    /// By entry of `settling`: its variable and time.
    pub(crate) entries: Vec<(usize, u64)>,
}

/// The records that a row and a care say, where these rules count.
fn records(form: &Form, row: &Row, care: &Care, rules: &[u32]) -> State {
    let mut state = State::blank(form, false);
    row.values.iter().for_each(|(v, set)| state.vars[*v as usize].may = *set);
    row.clocks.iter().for_each(|(s, millis)| state.clocks[*s as usize] = *millis);
    care.exact.iter().for_each(|v| state.vars[*v as usize].exact = true);
    let mark = |of: &mut [Tri], care: &[u32], row: &[u32]| {
        care.iter().for_each(|i| of[*i as usize] = tri(row.binary_search(i).is_ok()));
    };
    mark(&mut state.opened, &care.opened, &row.opened);
    mark(&mut state.wrote, &care.wrote, &row.wrote);
    mark(&mut state.look_only, &care.look_only, &row.look_only);
    mark(&mut state.found, rules, &row.found);
    state
}

impl Claim {
    pub(crate) fn new(form: &Form, view: &View) -> Self {
        let speaks = |rule: &Rule| form::speaks_of(&view.vars, &rule.when);
        let rules: Vec<_> = (0..).zip(&form.rules).filter(|(_, rule)| speaks(rule)).map(|(r, _)| r).collect();
        let places = view.places.iter().map(|at| {
            let rows = at.sets.iter().map(|set| (&view.rows[set.0 as usize], &view.care[set.1 as usize]));
            let place = Place { node: at.node, items: at.items, again: at.again };
            (place, at.rank, rows.map(|(row, care)| records(form, row, care, &rules)).collect())
        });
        let entries = form.settling.iter().map(|entry| (entry.var as usize, entry.after)).collect();
        let (homes, vars, elsewhere) = (form::homes(form, view), view.vars.clone(), Vec::new());
        Self { homes, places: places.collect(), elsewhere, vars, entries }
    }
    /// The rank of a place, if all of the records lie in one set claimed there.
    pub(crate) fn rank(&self, form: &Form, at: Place, state: &State) -> Result<u32, Reason> {
        let nowhere = || Reason::NotClaimed(format!("node {}: {}", at.node, state.words(form)));
        self.find(at, state).ok_or_else(nowhere)
    }
    /// The same, as the view sees the place.
    fn find(&self, Place { node, items, again }: Place, state: &State) -> Option<u32> {
        let (node, followed) = *self.homes.get(node as usize)?;
        let place = Place { node, items: items & followed, again: again & followed };
        let (_, rank, sets) = &self.places[self.places.binary_search_by_key(&place, |it| it.0).ok()?];
        sets.iter().any(|set| self.lies_in(state, set)).then_some(*rank)
    }
    /// Whether all of the records lie in a set. Of one value alone there are no lesser records, nor of a time that is over.
    fn lies_in(&self, state: &State, set: &State) -> bool {
        let var = |(it, of): (&Known, &Known)| {
            let is_same = it.may == of.may && (it.exact || it.may.count_ones() == 1);
            if of.exact { is_same } else { it.may & !of.may == 0 && it.may != 0 }
        };
        let clock = |((it, of), (v, after)): ((&u64, &u64), &(usize, u64))| {
            let is_same = it == of && (state.vars[*v].exact || it == after);
            if set.vars[*v].exact { is_same } else { it >= of }
        };
        state.marks().zip(set.marks()).all(|(it, of)| *of == EITHER || it == of)
            && state.vars.iter().zip(&set.vars).all(var)
            && state.clocks.iter().zip(&set.clocks).zip(&self.entries).all(clock)
    }
}
/// What a certificate claims, laid out for asking about one record after the other.
pub struct Claims {
    views: Vec<Claim>,
    counts: ([usize; 2], [usize; 4]),
}
impl Claims {
    /// Lays out what a certificate claims, if that and the form are well formed. Whether it is right, [`crate::verify`] says.
    pub fn new(form: &Form, certificate: &Certificate) -> Result<Self, Refusal> {
        form::well_formed(form).and_then(|()| form::fits(form, certificate)).map_err(Reason::Malformed)?;
        let (vars, entries) = (form.vars.len(), form.settling.len());
        let views = certificate.views.iter().map(|view| Claim::new(form, view)).collect();
        Ok(Self { views, counts: ([vars, entries], [vars, vars, entries, form.rules.len()]) })
    }
    /// Whether a record at a place lies, in every view, inside one set claimed there.
    #[must_use]
    pub fn holds(&self, node: u32, items: u32, again: u32, record: &Record) -> bool {
        let Record { may, clocks, opened, wrote, look_only, found } = record;
        let mark = |marks: &[bool]| marks.iter().map(|mark| tri(*mark)).collect::<Vec<_>>();
        let vars = may.iter().map(|may| Known { may: *may, exact: true }).collect();
        let (look_only, found, clocks) = (mark(look_only), mark(found), clocks.clone());
        let it = State { vars, clocks, opened: mark(opened), wrote: mark(wrote), look_only, found };
        let marks = [it.opened.len(), it.wrote.len(), it.look_only.len(), it.found.len()];
        ([it.vars.len(), it.clocks.len()], marks) == self.counts
            && self.views.iter().all(|claim| claim.find(Place { node, items, again }, &it).is_some())
    }
}
