//! Who concerns whom: looked up once for a form, and once for what a view speaks of.

use form::{Cube, Form, Rule, Standing, Var, View};

use crate::record::{Clock, Known, State, Tri};

/// Stands for a variable or entry that a view does not speak of.
const OUTSIDE: u32 = u32::MAX;

/// All values of a variable.
pub(crate) fn all(values: usize) -> u64 {
    u64::MAX >> (64 - values.clamp(1, 64))
}

/// Of a form, by variable.
pub(crate) struct Index<'a> {
    pub(crate) form: &'a Form,
    pub(crate) all: Vec<u64>,
    /// Entries of `settling` that are of it.
    pub(crate) settling: Vec<Vec<u32>>,
    /// Entries of `lost_when` that are of it.
    pub(crate) losses: Vec<Vec<u32>>,
    /// Entries of `lost_when` whose cube names it.
    pub(crate) causes: Vec<Vec<u32>>,
    /// Whether some promise of it is `usual`.
    pub(crate) usual: Vec<bool>,
    /// Whether anything can stand over it.
    pub(crate) may_fleet: Vec<bool>,
}

impl<'a> Index<'a> {
    pub(crate) fn new(form: &'a Form) -> Self {
        let count = form.vars.len();
        let mut index = Self {
            form,
            all: form.vars.iter().map(|var| all(var.values.len())).collect(),
            settling: vec![Vec::new(); count],
            losses: vec![Vec::new(); count],
            causes: vec![Vec::new(); count],
            usual: vec![false; count],
            may_fleet: vec![false; count],
        };
        for (s, entry) in (0..).zip(&form.settling) {
            index.settling[entry.var as usize].push(s);
        }
        for (l, loss) in (0..).zip(&form.lost_when) {
            index.losses[loss.var as usize].push(l);
            index.may_fleet[loss.var as usize] |= loss.standing != Standing::Event;
            for part in &loss.when {
                index.causes[part.var as usize].push(l);
            }
        }
        for promise in form.promises.iter().filter(|promise| promise.usual) {
            index.usual[promise.part.var as usize] = true;
        }
        index
    }

    /// Evidence is what ends, and does not settle.
    pub(crate) fn is_evidence(&self, var: u32) -> bool {
        !self.losses[var as usize].is_empty() && self.settling[var as usize].is_empty()
    }
}

/// What a view speaks of. A *slot* is a place in its [`State`].
pub(crate) struct Scope<'a> {
    pub(crate) index: &'a Index<'a>,
    pub(crate) form: &'a Form,
    pub(crate) vars: Vec<u32>,
    pub(crate) entries: Vec<u32>,
    pub(crate) rules: Vec<u32>,
    slots: Vec<u32>,
    entry_slots: Vec<u32>,
    /// By slot of a variable: slots of the rules that name it.
    rules_of: Vec<Vec<u32>>,
    /// By variable: whether a change of it can end a variable of the view.
    pub(crate) reaches: Vec<bool>,
    /// Variables that can be fleeting, and are of the view or reach it.
    pub(crate) fleeting: Vec<u32>,
    /// Variables of the view that may be lost by an interruption.
    pub(crate) doubtful: Vec<u32>,
    /// Whether a variable outside may be lost by an interruption.
    pub(crate) loses_outside: bool,
    /// By node: where the view stands then, and which items of the block it follows.
    pub(crate) homes: Vec<(u32, u32)>,
}

impl<'a> Scope<'a> {
    /// Of a view whose items have been looked at.
    pub(crate) fn of(index: &'a Index<'a>, view: &View) -> Self {
        let mut scope = Self::new(index, &view.vars);
        for (block, followed) in &view.items {
            let own = || (0..).zip(&index.form.nodes).filter(|(_, node)| node.block == Some(*block));
            let chooser = own().find(|(_, node)| node.item.is_none()).map_or(OUTSIDE, |(n, _)| n);
            for (n, node) in own() {
                let is_out = node.item.is_some_and(|item| followed >> item & 1 == 0);
                scope.homes[n as usize] = (if is_out { chooser } else { n }, *followed);
            }
        }
        scope
    }

    /// Of some variables, with every item followed.
    pub(crate) fn new(index: &'a Index<'a>, vars: &[u32]) -> Self {
        let form = index.form;
        let mut slots = vec![OUTSIDE; form.vars.len()];
        for (slot, var) in (0..).zip(vars) {
            slots[*var as usize] = slot;
        }
        let inside = |var: u32| slots[var as usize] != OUTSIDE;
        let speaks = |cube: &Cube| cube.iter().all(|part| inside(part.var));
        let entries: Vec<u32> =
            (0..).zip(&form.settling).filter(|(_, e)| inside(e.var)).map(|(s, _)| s).collect();
        let rules: Vec<u32> =
            (0..).zip(&form.rules).filter(|(_, r)| speaks(&r.when)).map(|(r, _)| r).collect();
        let mut entry_slots = vec![OUTSIDE; form.settling.len()];
        for (slot, s) in (0..).zip(&entries) {
            entry_slots[*s as usize] = slot;
        }
        let mut rules_of = vec![Vec::new(); vars.len()];
        for (slot, r) in (0..).zip(&rules) {
            for part in &form.rules[*r as usize].when {
                rules_of[slots[part.var as usize] as usize].push(slot);
            }
        }
        let mut reaches = vec![false; form.vars.len()];
        let mut ended: Vec<u32> = vars.to_vec();
        while let Some(var) = ended.pop() {
            for loss in &index.losses[var as usize] {
                for part in &form.lost_when[*loss as usize].when {
                    if !std::mem::replace(&mut reaches[part.var as usize], true) {
                        ended.push(part.var);
                    }
                }
            }
        }
        let (count, nodes) =
            (u32::try_from(slots.len()).unwrap_or(0), u32::try_from(form.nodes.len()).unwrap_or(0));
        let concerns = |var: u32| inside(var) || reaches[var as usize];
        let fleeting = (0..count).filter(|v| index.may_fleet[*v as usize] && concerns(*v)).collect();
        let is_kept = |var: &Var| var.is_variant || (var.keeps && !var.is_hidden);
        let is_doubtful = |v: &u32| !is_kept(&form.vars[*v as usize]);
        let doubtful = vars.iter().copied().filter(is_doubtful).collect();
        let loses_outside = (0..count).any(|v| !inside(v) && is_doubtful(&v));
        let homes = (0..nodes).map(|n| (n, u32::MAX)).collect();
        let vars = vars.to_vec();
        Self {
            index,
            form,
            vars,
            entries,
            rules,
            slots,
            entry_slots,
            rules_of,
            reaches,
            fleeting,
            doubtful,
            loses_outside,
            homes,
        }
    }

    /// The slot of a variable of the view.
    pub(crate) fn slot(&self, var: u32) -> Option<usize> {
        self.slots.get(var as usize).filter(|slot| **slot != OUTSIDE).map(|slot| *slot as usize)
    }

    /// The slot of an entry of `settling` that is of a variable of the view.
    pub(crate) fn entry_slot(&self, entry: u32) -> Option<usize> {
        self.entry_slots.get(entry as usize).filter(|slot| **slot != OUTSIDE).map(|slot| *slot as usize)
    }

    /// Slots of the rules of the view that name a variable.
    pub(crate) fn rules_of(&self, var: u32) -> &[u32] {
        self.slot(var).map_or(&[], |slot| self.rules_of[slot].as_slice())
    }

    /// Variables that time settles and that can be fleeting then.
    pub(crate) fn timed(&self) -> impl Iterator<Item = u32> {
        self.fleeting.iter().copied().filter(|var| !self.index.settling[*var as usize].is_empty())
    }

    /// A rule of the view.
    pub(crate) fn rule(&self, slot: usize) -> &'a Rule {
        &self.form.rules[self.rules[slot] as usize]
    }

    /// Whether the view speaks of every variable of a cube.
    pub(crate) fn speaks_of(&self, cube: &Cube) -> bool {
        cube.iter().all(|part| self.slot(part.var).is_some())
    }

    /// Whether the view follows the item that a node belongs to, if any.
    pub(crate) fn follows(&self, node: u32) -> bool {
        self.homes[node as usize].0 == node
    }

    /// The record that knows nothing: no value ruled out, no time passed, no marks.
    pub(crate) fn blank(&self) -> State {
        let known = |var: &u32| Known {
            opened: Tri::No,
            wrote: Tri::No,
            ..Known::new(self.index.all[*var as usize], true)
        };
        State {
            vars: self.vars.iter().map(known).collect(),
            clocks: vec![Clock { least: 0, exact: true, look_only: Tri::No }; self.entries.len()],
            found: vec![false; self.rules.len()],
        }
    }
}
