//! What is known of the machine while a plan is followed, whatever place it is followed at.

use crate::dead::NOWHERE;
use crate::left_out::LeftOut;
use machine::{AbstractState, Bits, Conjunct, Cube, Effect, Machine, VarId, Vars};

/// A record without its place, and without what a promise at done asks for.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub(crate) struct Record(AbstractState);

impl Record {
    /// Everything may have any value.
    pub(crate) fn anything(machine: &Machine) -> Self {
        Self(machine.unknown(NOWHERE))
    }

    /// Of a state, as far as it is about conditions that decide a way.
    pub(crate) fn of(machine: &Machine, state: &AbstractState, left_out: &LeftOut) -> Self {
        let mut record = Self(AbstractState { place: NOWHERE, ..state.clone() });
        record.0.marks.keep(&left_out.asked_for);
        // In the middle of an act a rule may have ended that it is still owed for.
        record.end_found(machine);
        record.project(left_out);
        record
    }

    /// What of it the rules found broken speak of, with its marks; all else may have any value. Many records are a part of that.
    pub(crate) fn around_found(&self, machine: &Machine) -> Self {
        let mut around = Self::anything(machine);
        for part in self.found(machine).iter().flat_map(|&rule| &machine.rules[rule].when.0) {
            around.0.bits.set_field(&machine.layout, part.var, self.field(machine, part.var));
        }
        around.0.marks.clone_from(&self.0.marks);
        around
    }

    /// The same, with these rules and no others found broken, and else marked in any way.
    pub(crate) fn marked_in_any_way(&self, machine: &Machine, left_out: &LeftOut) -> Self {
        let mut any = self.clone();
        any.0.marks.clone_from(&left_out.asked_for);
        for rule in (0..machine.rules.len()).filter(|&rule| !machine.is_found(&self.0, rule)) {
            machine.set_found(&mut any.0, rule, false);
        }
        any
    }

    /// The conditions of which it rules something out.
    pub(crate) fn known(&self, machine: &Machine) -> Vars {
        let mut known = Vars::none(Vars::words(&machine.layout));
        let rules_out = |var: &VarId| self.field(machine, *var) != machine.layout.all(*var);
        machine.layout.ids().filter(rules_out).for_each(|var| known.add(var));
        known
    }

    /// Forgets what is known of conditions that decide nothing.
    pub(crate) fn project(&mut self, left_out: &LeftOut) {
        left_out.dead.project(&mut self.0);
    }

    /// What is known where it is one of two records and nobody can tell which: of each condition for itself.
    pub(crate) fn either(mut self, other: &Self) -> Self {
        self.0.widen(&other.0);
        self
    }

    pub(crate) fn bits(&self) -> &Bits {
        &self.0.bits
    }

    pub(crate) fn field(&self, machine: &Machine, var: VarId) -> u64 {
        self.0.bits.field(&machine.layout, var)
    }

    /// Whether the condition may have one of the values.
    pub(crate) fn may_be(&self, machine: &Machine, var: VarId, values: u64) -> bool {
        self.field(machine, var) & values != 0
    }

    /// Whether the condition surely has one of the values.
    pub(crate) fn surely(&self, machine: &Machine, conjunct: Conjunct) -> bool {
        self.field(machine, conjunct.var) & !conjunct.set == 0
    }

    /// Whether all of it surely holds.
    pub(crate) fn holds(&self, machine: &Machine, cube: &Cube) -> bool {
        cube.holds(&machine.layout, &self.0.bits)
    }

    /// Whether all of it may hold.
    pub(crate) fn meets(&self, machine: &Machine, cube: &Cube) -> bool {
        cube.meets(&machine.layout, &self.0.bits)
    }

    /// Whether somebody can find the condition out there, by looking or with an instrument.
    pub(crate) fn shows(&self, machine: &Machine, var: VarId) -> bool {
        machine.sight(var).shows(&machine.layout, &self.0.bits)
    }

    /// Whether a person can look at the condition there.
    pub(crate) fn reaches(&self, machine: &Machine, var: VarId) -> bool {
        machine.sight(var).reaches(&machine.layout, &self.0.bits)
    }

    /// The looks that are possible now and may turn out in more ways than one, each with what every value of it leaves.
    pub(crate) fn looked_at<'a>(
        &'a self,
        machine: &'a Machine,
        looks: &'a [VarId],
    ) -> impl Iterator<Item = (VarId, impl Iterator<Item = (u64, Self)>)> {
        looks.iter().filter_map(move |&var| {
            let field = self.field(machine, var);
            let tells = field.count_ones() >= 2 && self.reaches(machine, var);
            let seen = move |set| {
                let mut side = self.clone();
                side.look(machine, Conjunct { var, set });
                (set, side)
            };
            tells.then(|| (var, one_by_one(field).map(seen)))
        })
    }

    /// The values of a part that is wanted at the end with which nothing is found broken: those that the record knows, and those
    /// that a look shows against it.
    pub(crate) fn left_with(&self, machine: &Machine, part: Conjunct) -> u64 {
        let is_left = |set: &u64| {
            let mut seen = self.clone();
            seen.look(machine, Conjunct { set: *set, ..part });
            self.field(machine, part.var) & set != 0 || seen.found(machine).is_empty()
        };
        one_by_one(part.set).filter(is_left).fold(0, |all, set| all | set)
    }

    /// Whether something is known that does not last: see [`Machine::knows_what_does_not_last`].
    pub(crate) fn does_not_last(&self, machine: &Machine) -> bool {
        machine.knows_what_does_not_last(&self.0)
    }

    /// The rules found broken and not ended.
    pub(crate) fn found(&self, machine: &Machine) -> Vec<usize> {
        machine.found(&self.0)
    }

    /// Counts no rule as found broken.
    pub(crate) fn forget_found(&mut self, machine: &Machine) {
        for rule in machine.found(&self.0) {
            machine.set_found(&mut self.0, rule, false);
        }
    }

    /// Counts a rule as found broken.
    pub(crate) fn find(&mut self, machine: &Machine, rule: usize) {
        machine.set_found(&mut self.0, rule, true);
    }

    /// Whether whatever is so by this record, and marked in it, is so by the other too.
    pub(crate) fn is_part_of(&self, other: &Self) -> bool {
        self.0.bits.is_subset(&other.0.bits)
            && self.0.clocks.iter().zip(&other.0.clocks).all(|(mine, theirs)| mine >= theirs)
            && self.0.marks.is_subset(&other.0.marks)
    }

    /// Whether whatever is so by this record is so by the other, and no more is found broken. Whether it was opened matters
    /// only of what can be looked at, and which condition a look counts for alone is left out.
    pub(crate) fn is_within(&self, machine: &Machine, other: &Self) -> bool {
        let opened = |var: VarId| {
            let looked_at = !machine.sight(var).is_hidden;
            looked_at && machine.is_opened(&self.0, var) && !machine.is_opened(&other.0, var)
        };
        self.0.bits.is_subset(&other.0.bits)
            && self.0.clocks.iter().zip(&other.0.clocks).all(|(mine, theirs)| mine >= theirs)
            && !machine.layout.ids().any(opened)
            && self.found(machine).iter().all(|&rule| machine.is_found(&other.0, rule))
    }

    /// Answers a look at a condition by "it is one of these"; where the record rules that out, by a surprise. Gives what was
    /// written thereby.
    pub(crate) fn look(&mut self, machine: &Machine, seen: Conjunct) -> Vec<VarId> {
        machine.apply(&mut self.0, Effect::Look(seen)).changed
    }

    /// Nobody can tell any more what the condition is. Gives what was written thereby.
    pub(crate) fn lose(&mut self, machine: &Machine, var: VarId) -> Vec<VarId> {
        machine.apply(&mut self.0, Effect::Lose(var)).changed
    }

    /// So much time passes.
    pub(crate) fn wait(&mut self, machine: &Machine, millis: u64) {
        self.0 = machine.pass_time(&self.0, millis);
        self.end_found(machine);
    }

    /// Acts, one effect after the other, and gives what was written; or gives the rule that this may break, or come to though
    /// nobody releases it, where it was not surely so before.
    pub(crate) fn act<'m>(
        &mut self,
        machine: &'m Machine,
        effects: &[Effect],
    ) -> Result<Vec<VarId>, &'m Cube> {
        let mut all = Vec::new();
        for &effect in effects {
            let before = self.0.bits.clone();
            let written = machine.apply(&mut self.0, effect).changed;
            let newly = |rule: &usize| {
                let when = &machine.rules[*rule].when;
                self.meets(machine, when) && !when.holds(&machine.layout, &before)
            };
            if let Some(rule) = machine.speaking_of(&written).iter().copied().find(newly) {
                return Err(&machine.rules[rule].when);
            }
            if let Some(rule) = machine.unreleased(&before, &self.0.bits, &written) {
                return Err(&rule.when);
            }
            self.end_found(machine);
            all.extend(written);
        }
        Ok(all)
    }

    fn end_found(&mut self, machine: &Machine) {
        for rule in self.found(machine) {
            if !self.meets(machine, &machine.rules[rule].when) {
                machine.set_found(&mut self.0, rule, false);
            }
        }
    }
}

/// The values of a set, each as a set of its own.
pub(crate) fn one_by_one(set: u64) -> impl Iterator<Item = u64> {
    (0..64).map(move |at| set & 1 << at).filter(|&value| value != 0)
}
