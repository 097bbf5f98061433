//! What is known of the machine while a plan is followed, whatever place it is followed at.

use machine::{AbstractState, Bits, Conjunct, Cube, Machine, Settling, VarId};
use std::collections::BTreeSet;

/// A record without its place.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Record {
    pub(crate) bits: Bits,
    pub(crate) clocks: Box<[u64]>,
    pub(crate) opened: BTreeSet<VarId>,
    pub(crate) look_only: BTreeSet<VarId>,
    pub(crate) found: BTreeSet<usize>,
}

impl Record {
    /// Everything may have any value.
    pub(crate) fn anything(machine: &Machine) -> Self {
        let mut bits = Bits::clear(machine.layout.words());
        machine.layout.ids().for_each(|var| bits.set_field(&machine.layout, var, machine.layout.all(var)));
        Self {
            bits,
            clocks: vec![0; machine.settling.len()].into(),
            opened: BTreeSet::new(),
            look_only: BTreeSet::new(),
            found: BTreeSet::new(),
        }
    }

    /// Of a state.
    pub(crate) fn of(state: &AbstractState) -> Self {
        Self {
            bits: state.bits.clone(),
            clocks: state.clocks.clone(),
            opened: BTreeSet::new(),
            look_only: BTreeSet::new(),
            found: BTreeSet::new(),
        }
    }

    pub(crate) fn field(&self, machine: &Machine, var: VarId) -> u64 {
        self.bits.field(&machine.layout, var)
    }

    /// Whether the condition may have one of the values.
    pub(crate) fn may_be(&self, machine: &Machine, var: VarId, values: u64) -> bool {
        self.field(machine, var) & values != 0
    }

    /// The same with nothing known of other conditions.
    pub(crate) fn projected(mut self, machine: &Machine, vars: &BTreeSet<VarId>) -> Self {
        for var in machine.layout.ids().filter(|var| !vars.contains(var)) {
            self.bits.set_field(&machine.layout, var, machine.layout.all(var));
        }
        for (settling, clock) in machine.settling.iter().zip(&mut self.clocks) {
            if !vars.contains(&settling.var) {
                *clock = 0;
            }
        }
        self.opened.retain(|var| vars.contains(var));
        self.look_only.retain(|var| vars.contains(var));
        self
    }

    /// Whether the condition surely has one of the values.
    pub(crate) fn surely(&self, machine: &Machine, conjunct: Conjunct) -> bool {
        self.field(machine, conjunct.var) & !conjunct.set == 0
    }

    /// Whether all of it surely holds.
    pub(crate) fn holds(&self, machine: &Machine, cube: &Cube) -> bool {
        cube.holds(&machine.layout, &self.bits)
    }

    /// Whether whatever is so by this record is so by the other, and no more is found broken. Whether it was opened matters
    /// only of what can be looked at.
    pub(crate) fn is_within(&self, machine: &Machine, other: &Self) -> bool {
        let mut opened = self.opened.difference(&other.opened);
        self.bits.is_subset(&other.bits)
            && self.clocks.iter().zip(&other.clocks).all(|(mine, theirs)| mine >= theirs)
            && opened.all(|&var| !machine.sight(var).is_asked)
            && self.look_only.is_subset(&other.look_only)
            && self.found.is_subset(&other.found)
    }

    /// What is known where it is one of two records and nobody remembers which: of each condition for itself.
    pub(crate) fn either(mut self, other: &Self, machine: &Machine) -> Self {
        self.bits.union(&other.bits);
        self.clocks.iter_mut().zip(&other.clocks).for_each(|(mine, theirs)| *mine = (*mine).min(*theirs));
        self.opened.extend(&other.opened);
        self.look_only.extend(&other.look_only);
        self.found.extend(&other.found);
        self.settle(machine);
        self
    }
}

/// The moves.
impl Record {
    /// Writes a condition, with what follows; gives everything written.
    pub(crate) fn write(&mut self, machine: &Machine, conjunct: Conjunct) -> Vec<VarId> {
        self.bits.set_field(&machine.layout, conjunct.var, conjunct.set);
        self.opened.remove(&conjunct.var);
        let mut written = vec![conjunct.var];
        loop {
            let due: BTreeSet<VarId> = machine
                .lost_when
                .iter()
                .filter(|lost| !written[1..].contains(&lost.var))
                .filter(|lost| written.iter().any(|&var| lost.when.mentions(var)))
                .filter(|lost| lost.when.meets(&machine.layout, &self.bits))
                .map(|lost| lost.var)
                .collect();
            if due.is_empty() {
                break;
            }
            for &var in &due {
                self.bits.set_field(&machine.layout, var, machine.layout.all(var));
                self.opened.insert(var);
            }
            written.extend(due);
        }
        for (settling, clock) in machine.settling.iter().zip(&mut self.clocks) {
            if written.contains(&settling.var) {
                *clock = 0;
            }
        }
        self.settle(machine);
        written
    }

    /// Answers a look at a condition by "it is one of these"; where the record rules that out, by a surprise.
    pub(crate) fn seen(&mut self, machine: &Machine, conjunct: Conjunct) -> Vec<VarId> {
        let left = self.field(machine, conjunct.var) & conjunct.set;
        if left == 0 && settling(machine, conjunct.var).is_some() {
            self.look_only.insert(conjunct.var);
        }
        let set = if left == 0 { conjunct.set } else { left };
        let written = if left == 0 || self.opened.contains(&conjunct.var) {
            self.write(machine, Conjunct { set, ..conjunct })
        } else {
            self.bits.set_field(&machine.layout, conjunct.var, set);
            self.settle(machine);
            vec![conjunct.var]
        };
        let surely = |rule: &usize| self.holds(machine, &machine.rules[*rule].when);
        let found: Vec<usize> = machine.speaking_of(&written).into_iter().filter(surely).collect();
        self.found.extend(found);
        self.end_found(machine);
        written
    }

    /// So much time passes.
    pub(crate) fn wait(&mut self, machine: &Machine, millis: u64) {
        for (settling, clock) in machine.settling.iter().zip(&mut self.clocks) {
            let counts = sustained_by(settling).is_none_or(|under| under.holds(&machine.layout, &self.bits));
            if counts {
                *clock = settling.after.min(clock.saturating_add(millis));
            }
            if *clock == settling.after && !self.look_only.contains(&settling.var) {
                let field = self.bits.field(&machine.layout, settling.var);
                self.bits.set_field(&machine.layout, settling.var, field & !settling.from);
            }
        }
        self.settle(machine);
        self.end_found(machine);
    }

    /// Writes one condition after the other; none where that may break a rule that was not surely broken before.
    pub(crate) fn act(&self, machine: &Machine, sets: &[Conjunct]) -> Result<Self, usize> {
        let mut after = self.clone();
        for &set in sets {
            let before = after.clone();
            let written = after.write(machine, set);
            let newly = |rule: &usize| {
                let when = &machine.rules[*rule].when;
                when.meets(&machine.layout, &after.bits) && !before.holds(machine, when)
            };
            if let Some(rule) = machine.speaking_of(&written).into_iter().find(newly) {
                return Err(rule);
            }
            after.end_found(machine);
        }
        Ok(after)
    }

    fn end_found(&mut self, machine: &Machine) {
        let bits = &self.bits;
        self.found.retain(|&rule| machine.rules[rule].when.meets(&machine.layout, bits));
    }

    /// What may fall may have fallen; time counts only while what it counts under surely holds.
    fn settle(&mut self, machine: &Machine) {
        for (settling, clock) in machine.settling.iter().zip(&mut self.clocks) {
            let field = self.bits.field(&machine.layout, settling.var);
            if field & settling.from == 0 {
                *clock = settling.after;
                continue;
            }
            self.bits.set_field(&machine.layout, settling.var, field | settling.to);
        }
        for (settling, clock) in machine.settling.iter().zip(&mut self.clocks) {
            let possible = self.bits.field(&machine.layout, settling.var) & settling.from != 0;
            let counts = sustained_by(settling).is_none_or(|under| under.holds(&machine.layout, &self.bits));
            if possible && !counts {
                *clock = 0;
            }
        }
    }
}

/// How the condition settles, if it does.
pub(crate) fn settling(machine: &Machine, var: VarId) -> Option<&Settling> {
    machine.settling.iter().find(|settling| settling.var == var)
}

/// What must surely hold for the time to count, if anything must.
pub(crate) fn sustained_by(settling: &Settling) -> Option<&Cube> {
    settling.holds.as_ref()
}
