//! A machine as it truly is: one value for each condition, whatever anybody believes. It goes by what the documents say of the
//! equipment and by nothing that a walk or the proof knows.

use machine::{Choice, Cube, Effect, Guard, Machine, NodeId, NodeKind, Outcome, Standing, VarId, VarOrigin};
use oracle::Random;

pub(super) struct World<'m> {
    machine: &'m Machine,
    /// For each variable one bit.
    value: Vec<u64>,
    /// For each settling condition, how long it has been able to settle, in milliseconds.
    elapsed: Vec<u64>,
    /// When each variable was last looked at or written.
    since: Vec<i64>,
    random: Random,
}

impl<'m> World<'m> {
    /// Any machine on which work may be begun.
    pub(super) fn new(machine: &'m Machine, seed: u64, now: i64) -> Self {
        let mut random = Random::new(seed);
        let start = machine.start();
        let mut value = Vec::new();
        for var in machine.layout.ids() {
            let field = start.bits.field(&machine.layout, var);
            // Now and then something is not as it is required to be.
            let from = if random.percent(4) { machine.layout.all(var) } else { field };
            value.push(any(&mut random, from));
        }
        let elapsed = vec![0; machine.settling.len()];
        let since = vec![now; value.len()];
        let mut world = Self { machine, value, elapsed, since, random };
        world.stand_over();
        world
    }

    pub(super) fn is(&self, var: VarId) -> u64 {
        self.value[var.0 as usize]
    }

    pub(super) fn is_in(&self, var: VarId, set: u64) -> bool {
        self.is(var) & set != 0
    }

    pub(super) fn holds(&self, cube: &Cube) -> bool {
        cube.0.iter().all(|part| self.is_in(part.var, part.set))
    }

    pub(super) fn word(&self, var: VarId) -> String {
        self.machine.layout.words_of(var, self.is(var)).join(" or ")
    }

    /// In words.
    pub(super) fn told(&self) -> String {
        let told = |var: VarId| format!("{}={}", self.machine.layout.var(var).name, self.word(var));
        self.machine.layout.ids().map(told).collect::<Vec<_>>().join(" ")
    }

    pub(super) fn looked_at(&mut self, var: VarId, now: i64) {
        self.since[var.0 as usize] = now;
    }

    /// Whether something that counts for a time was looked at longer ago.
    pub(super) fn is_old(&self, var: VarId, now: i64) -> bool {
        let lapse = self.machine.lapses.iter().find(|(of, _)| *of == var);
        lapse.is_some_and(|(_, lapse)| {
            now - self.since[var.0 as usize] > i64::try_from(*lapse).unwrap_or(i64::MAX)
        })
    }

    /// Sets a condition, with all that truly comes of it. What an act does ends what it feeds though that was so before; what comes
    /// by itself ends something where it comes about.
    fn set(&mut self, var: VarId, bit: u64, by_act: bool) {
        let held: Vec<bool> =
            self.machine.lost_when.iter().map(|of| !by_act && self.holds(&of.when)).collect();
        self.value[var.0 as usize] = bit;
        let mut changed = vec![var];
        let mut lost: Vec<VarId> = Vec::new();
        loop {
            let machine = self.machine;
            let due = machine.lost_when.iter().zip(&held).find(|(of, held)| {
                !**held
                    && !lost.contains(&of.var)
                    && of.var != var
                    && of.when.0.iter().any(|part| changed.contains(&part.var))
                    && self.holds(&of.when)
            });
            let Some((of, _)) = due else { break };
            lost.push(of.var);
            changed.push(of.var);
            self.value[of.var.0 as usize] = self.any_of(of.var);
        }
        for (at, settling) in self.machine.settling.iter().enumerate() {
            let under = settling.holds.as_ref().is_none_or(|holds| self.holds(holds));
            if changed.contains(&settling.var) || !under {
                self.elapsed[at] = 0;
            }
        }
    }

    /// It comes to be something else, and stays that: what came and went unseen nobody can tell.
    fn change(&mut self, var: VarId) {
        let bit = self.any_of(var);
        if bit != self.is(var) {
            self.set(var, bit, false);
        }
    }

    fn any_of(&mut self, var: VarId) -> u64 {
        any(&mut self.random, self.machine.layout.all(var))
    }

    /// What feeds a condition may change it at any moment.
    fn stand_over(&mut self) {
        for of in &self.machine.lost_when {
            if of.standing == Standing::Feeds && self.holds(&of.when) && self.random.percent(40) {
                let bit = self.any_of(of.var);
                self.set(of.var, bit, false);
            }
        }
    }

    /// Time passes: what settles may have done so at any moment, and has after its time.
    pub(super) fn pass(&mut self, millis: u64) {
        self.stand_over();
        for (at, settling) in self.machine.settling.iter().enumerate() {
            if !settling.holds.as_ref().is_none_or(|holds| self.holds(holds)) {
                self.elapsed[at] = 0;
                continue;
            }
            self.elapsed[at] = self.elapsed[at].saturating_add(millis);
            let is_over = self.elapsed[at] >= settling.after;
            if self.is_in(settling.var, settling.from) && (is_over || self.random.percent(10)) {
                let before = self.elapsed[at];
                let bit = any(&mut self.random, settling.to);
                self.set(settling.var, bit, false);
                self.elapsed[at] = before;
            }
        }
        self.stand_over();
    }

    /// What was looked at too long ago may have changed by now. What nobody can look at there nobody looks at again.
    pub(super) fn grow_old(&mut self, now: i64) {
        for var in self.machine.layout.ids().filter(|var| self.is_old(*var, now)).collect::<Vec<_>>() {
            let sight = self.machine.sight(var);
            if sight.is_asked && self.holds(&sight.when) && self.random.percent(30) {
                self.change(var);
            }
        }
    }

    /// Nobody was at the machine, or somebody else: what does not keep may be otherwise. What a cover hides stays as it was while
    /// that is shut; what is evidence ends by its causes alone.
    pub(super) fn left_alone(&mut self) {
        let before = self.value.clone();
        for var in self.machine.layout.ids().collect::<Vec<_>>() {
            let sight = self.machine.sight(var);
            let is_condition = self.machine.layout.var(var).origin == VarOrigin::Condition;
            if is_condition
                && !sight.keeps
                && !self.machine.is_evidence(var)
                && self.random.percent(15)
                && self.holds(&sight.when)
            {
                self.change(var);
            }
        }
        // What keeps does so though its causes do not.
        for var in self.machine.layout.ids().filter(|var| self.machine.sight(*var).keeps) {
            self.value[var.0 as usize] = before[var.0 as usize];
        }
        for elapsed in &mut self.elapsed {
            *elapsed = 0;
        }
        self.stand_over();
    }

    /// The conditions of rules that are broken.
    fn broken(&self) -> Vec<bool> {
        self.machine.rules.iter().map(|rule| self.holds(&rule.when)).collect()
    }

    /// Something that an act does. The rule that this breaks, if it does.
    pub(super) fn act(&mut self, effect: Effect, now: i64) -> Option<String> {
        let before = self.broken();
        let bit = match effect {
            Effect::Write(made) => any(&mut self.random, made.set),
            Effect::Open(var) => self.any_of(var),
            Effect::Look(_) | Effect::Find(_) | Effect::Lose(_) | Effect::Verify(_) => return None,
        };
        self.set(effect.var(), bit, true);
        self.since[effect.var().0 as usize] = now;
        let broken = before.iter().zip(self.broken()).position(|(before, now)| now && !before);
        broken.map(|rule| self.machine.rules[rule].name.to_string())
    }

    /// Done otherwise than written: what it leaves may be so or not.
    pub(super) fn botch(&mut self, effect: Effect) {
        if effect.is_act() {
            let bit = self.any_of(effect.var());
            self.set(effect.var(), bit, true);
        }
    }

    fn is_for(&self, guard: &Guard) -> bool {
        match guard {
            Guard::Always => true,
            Guard::Is(cube) => self.holds(cube),
            Guard::IsNot(cube) => !self.holds(cube),
        }
    }

    /// The outcomes of a node with a choice, for this machine's variants.
    pub(super) fn outcomes(&self, node: NodeId) -> impl Iterator<Item = &'m Outcome> {
        let outcomes: Vec<&Outcome> =
            self.machine.node(node).outcomes.iter().filter(|outcome| self.is_for(&outcome.guard)).collect();
        outcomes.into_iter()
    }

    /// All that the act at a node does, in order, and what comes after it.
    pub(super) fn effects_of_act(&self, act: NodeId) -> (Vec<Effect>, NodeId) {
        let (mut node, mut effects) = (act, Vec::new());
        while let Some(outcome) = self.outcomes(node).find(|outcome| outcome.choice == Choice::Done) {
            effects.extend(outcome.effects.iter().copied());
            node = outcome.to.node;
            if !matches!(self.machine.node(node).kind, NodeKind::InAct { act: of, .. } if of == act) {
                break;
            }
        }
        (effects, node)
    }

    /// What follows a step that is no act, and an answer, by themselves.
    pub(super) fn is_true_of(&self, outcome: &Outcome) -> bool {
        outcome.effects.iter().all(|effect| match effect {
            Effect::Look(seen) | Effect::Find(seen) => self.is_in(seen.var, seen.set),
            Effect::Write(_) | Effect::Open(_) | Effect::Lose(_) | Effect::Verify(_) => true,
        })
    }
}

fn any(random: &mut Random, set: u64) -> u64 {
    let bits: Vec<u64> = (0..64).map(|at| 1 << at).filter(|bit| set & bit != 0).collect();
    *random.pick(&bits)
}
