//! What outcomes read and write, variable by variable.

use crate::cube::{Conjunct, Cube};
use crate::layout::VarId;
use crate::machine::Machine;
use crate::node::{Effect, Outcome};
use crate::vars::Vars;
use std::collections::{BTreeMap, BTreeSet};

/// What a machine's outcomes read and write, worked out once.
pub(crate) struct Effects {
    pub(crate) words: usize,
    /// For every effect, what decides whether evidence ends by it and, of an act, whether a rule is broken.
    decides: BTreeMap<(Conjunct, bool), Vars>,
    /// For every condition for which time counts only under others, or in vain beside others, those.
    pub(crate) sustained: BTreeMap<VarId, Vars>,
    /// A condition for the sake of which alone others are relied on, and the member that stands for that: see [`Effects::sake_of`].
    sake: Option<(VarId, VarId)>,
}

impl Effects {
    pub(crate) fn new(machine: &Machine) -> Self {
        // One more than there are, for a sake.
        let words = (machine.layout.ids().count() + 1).div_ceil(64);
        let mut decides = BTreeMap::new();
        let effects =
            machine.nodes.iter().flat_map(|node| &node.outcomes).flat_map(|outcome| &outcome.effects);
        for &effect in effects {
            let key = named(machine, effect);
            decides.entry(key).or_insert_with(|| deciding(machine, words, key));
        }
        let sustained = machine.settling.iter().filter_map(|settling| {
            let cubes = settling.holds.iter().chain(machine.standing_over(settling.var));
            let parts = cubes.flat_map(|cube| &cube.0).map(|part| part.var);
            let parts: Vec<VarId> = parts.filter(|&var| var != settling.var).collect();
            (!parts.is_empty()).then(|| (settling.var, Vars::of(words, parts)))
        });
        Self { words, decides, sustained: sustained.collect(), sake: None }
    }

    /// The same, and the member of sets that stands for what is read for the sake of this condition, the condition itself apart:
    /// it is written when the condition is, and what its time counts under is read for it.
    pub(crate) fn sake_of(&self, machine: &Machine, var: VarId) -> (Self, VarId) {
        let sake = VarId(machine.layout.ids().count() as u32);
        let mut sustained = self.sustained.clone();
        if let Some(under) = self.sustained.get(&var) {
            sustained.insert(sake, under.clone());
        }
        (Self { words: self.words, decides: self.decides.clone(), sustained, sake: Some((var, sake)) }, sake)
    }

    /// Every member.
    pub(crate) fn all(&self, machine: &Machine) -> Vars {
        Vars::of(self.words, machine.layout.ids().chain(self.sake.map(|(_, sake)| sake)))
    }

    /// Whether what time does to the variable hangs on others.
    pub(crate) fn is_sustained(&self, var: VarId) -> bool {
        self.sustained.contains_key(&var)
    }

    /// What is relied on before an outcome, where `set` is relied on after it: needs apart.
    pub(crate) fn before(&self, machine: &Machine, outcome: &Outcome, mut set: Vars, steps: bool) -> Vars {
        // One write after the other: a rule is judged after each, with what the later ones have not written yet.
        for effect in outcome.effects.iter().rev() {
            self.without(*effect, &mut set);
            if steps && let Some(decides) = self.decides.get(&named(machine, *effect)) {
                set.join(decides);
            }
        }
        let mut set = self.under_waits(outcome, set);
        if steps {
            outcome.tested().for_each(|var| set.add(var));
        }
        set
    }

    /// What is relied on before the time of an outcome, where `set` is relied on after it: also what that time counts under.
    pub(crate) fn under_waits(&self, outcome: &Outcome, mut set: Vars) -> Vars {
        if !outcome.waits.is_empty() {
            let waited: Vec<&Vars> =
                self.sustained.iter().filter(|(var, _)| set.has(**var)).map(|(_, under)| under).collect();
            waited.into_iter().for_each(|under| set.join(under));
        }
        set
    }

    /// What an outcome does not write, of `set`.
    pub(crate) fn kept(&self, outcome: &Outcome, mut set: Vars) -> Vars {
        outcome.effects.iter().for_each(|effect| self.without(*effect, &mut set));
        set
    }

    /// What is relied on before an effect, for its own sake alone: whoever writes or looks finds out.
    fn without(&self, effect: Effect, set: &mut Vars) {
        match effect {
            Effect::Write(_)
            | Effect::Open(_)
            | Effect::Look(_)
            | Effect::Find(_)
            | Effect::Lose(_)
            | Effect::Verify(_) => set.remove(effect.var()),
        }
        if let Some((of, sake)) = self.sake
            && of == effect.var()
        {
            set.remove(sake);
        }
    }
}

/// The values that an effect names, and whether an act does it.
fn named(machine: &Machine, effect: Effect) -> (Conjunct, bool) {
    let var = effect.var();
    let any = Conjunct { var, set: machine.layout.all(var) };
    match effect {
        Effect::Write(made) => (made, true),
        Effect::Open(_) => (any, true),
        Effect::Look(seen) | Effect::Find(seen) => (seen, false),
        Effect::Lose(_) => (any, false),
        // Nothing is written: what was is seen.
        Effect::Verify(_) => (Conjunct { var, set: 0 }, false),
    }
}

/// What decides whether evidence ends because a variable gets these values and, if an act does that, whether a rule is broken:
/// the other conditions of causes and rules whose own part of it they meet.
fn deciding(machine: &Machine, words: usize, (named, rules): (Conjunct, bool)) -> Vars {
    let made = machine.settled_too(named);
    let mut ended: BTreeSet<VarId> = BTreeSet::new();
    let meets = |cube: &Cube, ended: &BTreeSet<VarId>| {
        cube.0
            .iter()
            .any(|part| part.var == made.var && part.set & made.set != 0 || ended.contains(&part.var))
    };
    let causes = loop {
        let causes: Vec<_> = machine.lost_when.iter().filter(|lost| meets(&lost.when, &ended)).collect();
        let now: BTreeSet<VarId> = causes.iter().map(|lost| lost.var).collect();
        if now == ended {
            break causes;
        }
        ended = now;
    };
    let broken =
        machine.rules.iter().filter(|rule| rules && meets(&rule.when, &ended)).map(|rule| &rule.when);
    // What comes to be known has to last.
    let is_known = named.set != 0 && named.set != machine.layout.all(named.var);
    let standing = machine.standing_over(named.var).filter(|_| is_known);
    let cubes = causes.into_iter().map(|lost| &lost.when).chain(broken).chain(standing);
    let parts = cubes.flat_map(|cube| &cube.0).map(|part| part.var);
    Vars::of(words, parts.filter(|&var| var != made.var))
}
