//! Sets of states of a machine as diagrams, and what its steps make of them.
//!
//! The machine's own step function says what a step does: it is asked what becomes of a box in which everything is
//! possible, and each of its answers (a part of that box, what it wrote, and what it left) is carried out on the diagram.

use super::store::{ALL, Change, NONE, Root, Store};
use super::variable_order::{LevelVar, VariableOrder};
use crate::live::LiveVars;
use crate::meter::{BudgetExhausted, Meter};
use crate::relied::{Reliance, Relied};
use machine::{AbstractState, Bits, Choice, Conjunct, Cube, Machine, Next, NodeId, Place, VarId};
use std::collections::{BTreeMap, BTreeSet};

/// The clocks of a set of states. Sets with unequal clocks are never one.
pub(crate) type Clocks = Box<[u64]>;

/// So many boxes of one diagram at most are handed to the planner.
const LEFT_AT_MOST: usize = 20_000;

/// Diagrams for one machine.
pub(crate) struct Space<'a> {
    pub(crate) machine: &'a Machine,
    pub(crate) live: &'a LiveVars,
    pub(crate) levels: VariableOrder,
    pub(crate) store: Store<'a>,
}

impl<'a> Space<'a> {
    /// Diagrams for the machine, unless it has too many variables.
    pub(crate) fn new(machine: &'a Machine, live: &'a LiveVars, meter: &'a Meter<'a>) -> Option<Self> {
        let levels = VariableOrder::new(machine)?;
        let width = |level_var: &LevelVar| match level_var {
            LevelVar::Var(var) => machine.layout.var(*var).values.len() as u32,
            LevelVar::Item(..) => 2,
        };
        let widths = levels.vars.iter().map(width).collect();
        Some(Self { machine, live, levels, store: Store::new(meter, widths) })
    }

    /// The states of one box.
    pub(crate) fn encode(&mut self, state: &AbstractState) -> Result<Root, BudgetExhausted> {
        let layout = &self.machine.layout;
        let fields = layout.ids().map(|var| Conjunct { var, set: state.bits.field(layout, var) });
        let mut changes = self.keeping(fields);
        let block = self.machine.node(state.place.node).block;
        changes.extend(self.levels.items(block).map(|(item, level)| {
            let done = state.place.items >> item & 1;
            (level, Change::Keep(1 << done))
        }));
        self.changed(ALL, changes)
    }

    /// The set as disjoint boxes at a node, until there are so many.
    pub(crate) fn boxes(
        &self,
        root: Root,
        node: NodeId,
        clocks: &Clocks,
        limit: usize,
    ) -> Vec<AbstractState> {
        let layout = &self.machine.layout;
        let block = self.machine.node(node).block;
        let all_items: u64 = self.levels.items(block).map(|(item, _)| 1 << item).sum();
        let mut states = Vec::new();
        for way in self.store.boxes(root, limit) {
            let mut bits = self.anything(clocks);
            let (mut done, mut open) = (0, all_items);
            for (level, set) in way {
                match self.levels.vars[level as usize] {
                    LevelVar::Var(var) => bits.set_field(layout, var, set),
                    LevelVar::Item(of, item) if Some(of) == block => {
                        open &= !(1 << item);
                        done |= if set == 2 { 1 << item } else { 0 };
                    }
                    LevelVar::Item(..) => {}
                }
            }
            // Every combination of the items that the set does not tell.
            let mut more = open;
            loop {
                let place = Place { node, items: done | more };
                states.push(AbstractState { place, bits: bits.clone(), clocks: clocks.clone() });
                if more == 0 || states.len() >= limit {
                    break;
                }
                more = (more - 1) & open;
            }
        }
        states
    }

    /// Only states inside all memberships stay.
    pub(crate) fn restrict(
        &mut self,
        root: Root,
        of: impl IntoIterator<Item = Conjunct>,
    ) -> Result<Root, BudgetExhausted> {
        let changes = self.keeping(of);
        self.changed(root, changes)
    }

    fn keeping(&self, of: impl IntoIterator<Item = Conjunct>) -> BTreeMap<u32, Change> {
        let mut sets: BTreeMap<u32, u64> = BTreeMap::new();
        for Conjunct { var, set } in of {
            *sets.entry(self.levels.var(var)).or_insert(self.machine.layout.all(var)) &= set;
        }
        sets.into_iter().map(|(level, set)| (level, Change::Keep(set))).collect()
    }

    /// The states in both.
    pub(crate) fn intersect(&mut self, one: Root, other: Root) -> Result<Root, BudgetExhausted> {
        let without = self.store.minus(one, other)?;
        self.store.minus(one, without)
    }

    /// Of the states that arrived at a node, those that meet its preconditions and then are, or by falling may become,
    /// one of `then`.
    pub(crate) fn on_arrival(
        &mut self,
        node: NodeId,
        arrived: Root,
        then: Root,
    ) -> Result<Root, BudgetExhausted> {
        let mut then = then;
        for settling in &self.machine.settling {
            let fallen = self.restrict(then, [Conjunct { var: settling.var, set: settling.to }])?;
            let before = self.written(fallen, settling.var, settling.from)?;
            then = self.store.union(then, before)?;
        }
        let met = self.restrict(arrived, self.machine.node(node).needs.iter().map(|need| need.conjunct))?;
        self.intersect(met, then)
    }

    /// Without the states inside a cube.
    pub(crate) fn without(&mut self, root: Root, cube: &Cube) -> Result<Root, BudgetExhausted> {
        let inside = self.restrict(root, cube.0.iter().copied())?;
        self.store.minus(root, inside)
    }

    fn changed(&mut self, root: Root, changes: BTreeMap<u32, Change>) -> Result<Root, BudgetExhausted> {
        let changes: Vec<(u32, Change)> = changes.into_iter().collect();
        self.store.changed(root, &changes)
    }

    /// With every state in which a settling value has just fallen.
    pub(crate) fn settled(&mut self, root: Root) -> Result<Root, BudgetExhausted> {
        let settling = self.machine.settling.iter();
        let changes = settling.map(|s| (self.levels.var(s.var), Change::Settle(s.from, s.to))).collect();
        self.changed(root, changes)
    }

    /// The set with all but these variables forgotten.
    pub(crate) fn project_onto(
        &mut self,
        root: Root,
        keep: &dyn Fn(VarId) -> bool,
    ) -> Result<Root, BudgetExhausted> {
        let forget = self.machine.layout.ids().filter(|&var| !keep(var));
        let changes = forget.map(|var| (self.levels.var(var), self.anew(var))).collect();
        self.changed(root, changes)
    }

    /// The set with the variable having any of these values instead.
    pub(crate) fn written(&mut self, root: Root, var: VarId, set: u64) -> Result<Root, BudgetExhausted> {
        let change = Change::Write(self.machine.layout.all(var), set);
        self.store.changed(root, &[(self.levels.var(var), change)])
    }

    /// The set with every variable forgotten, but `keep`, where no step relies on it.
    pub(crate) fn relied_on(
        &mut self,
        root: Root,
        node: NodeId,
        reliance: &Reliance,
        keep: &BTreeSet<VarId>,
    ) -> Result<Root, BudgetExhausted> {
        let mut root =
            self.project_onto(root, &|var| keep.contains(&var) || reliance.at(node, var) != Relied::Never)?;
        for var in self.machine.layout.ids().filter(|var| !keep.contains(var)) {
            if let at @ Relied::Items(..) = reliance.at(node, var) {
                let relied = self.relied_where(node, at)?;
                let relied = self.intersect(root, relied)?;
                let rest = self.store.minus(root, relied)?;
                let rest = self.written(rest, var, self.machine.layout.all(var))?;
                root = self.store.union(relied, rest)?;
            }
        }
        Ok(root)
    }

    /// The states, as to the items that are done, in which something is relied on at a node.
    pub(crate) fn relied_where(&mut self, node: NodeId, relied: Relied) -> Result<Root, BudgetExhausted> {
        let (readers, after) = match relied {
            Relied::Always => return Ok(ALL),
            Relied::Never => return Ok(NONE),
            Relied::Items(readers, after) => (readers, after),
        };
        let block = self.machine.node(node).block;
        let done = |space: &mut Self, items: u64| {
            let levels = space.levels.items(block).filter(|(item, _)| items >> item & 1 == 1);
            let changes = levels.map(|(_, level)| (level, Change::Keep(2))).collect();
            space.changed(ALL, changes)
        };
        let all_read = done(self, readers)?;
        let reading = self.store.minus(ALL, all_read)?;
        match after {
            Some(items) => {
                let after = done(self, items)?;
                self.store.union(reading, after)
            }
            None => Ok(reading),
        }
    }

    fn anew(&self, var: VarId) -> Change {
        let all = self.machine.layout.all(var);
        Change::Write(all, all)
    }

    /// The box in which everything is possible that the clocks allow.
    pub(crate) fn anything(&self, clocks: &Clocks) -> Bits {
        let layout = &self.machine.layout;
        let mut bits = Bits::clear(layout.words());
        for var in layout.ids() {
            bits.set_field(layout, var, layout.all(var));
        }
        for (settling, clock) in self.machine.settling.iter().zip(clocks) {
            if *clock == settling.after {
                bits.set_field(layout, settling.var, layout.all(settling.var) & !settling.from);
            }
        }
        bits
    }

    /// The same as a state.
    pub(crate) fn anything_at(&self, node: NodeId, clocks: &Clocks) -> AbstractState {
        AbstractState { place: Place { node, items: 0 }, bits: self.anything(clocks), clocks: clocks.clone() }
    }

    /// Everything that an outcome may make of states with these clocks.
    pub(crate) fn steps(&self, node: NodeId, clocks: &Clocks, outcome: usize) -> Vec<Next> {
        self.machine.step(&self.anything_at(node, clocks), outcome)
    }

    /// The states in which an outcome is open as to the items that are done.
    pub(crate) fn open(&mut self, root: Root, node: NodeId, outcome: usize) -> Result<Root, BudgetExhausted> {
        let node = self.machine.node(node);
        let choice = node.outcomes[outcome].choice;
        let wanted = |(at, level): (u8, u32)| match choice {
            Choice::Item(item) => (item == at).then_some((level, Change::Keep(1))),
            Choice::AllItems => Some((level, Change::Keep(2))),
            Choice::Done
            | Choice::Pass
            | Choice::Fail
            | Choice::Answer(_)
            | Choice::Applies
            | Choice::PassedOver => None,
        };
        let changes = self.levels.items(node.block).filter_map(wanted).collect();
        self.changed(root, changes)
    }

    /// The states from which an outcome may lead to a place, as to the items that are done.
    pub(crate) fn with_items(
        &mut self,
        root: Root,
        node: NodeId,
        outcome: usize,
        to: Place,
    ) -> Result<Root, BudgetExhausted> {
        let block = self.machine.node(node).block;
        if block != self.machine.node(to.node).block {
            return Ok(root);
        }
        let finished = self.machine.node(node).outcomes[outcome].to.item;
        let keep = |(item, level): (u8, u32)| {
            let done = to.items >> item & 1 == 1 && finished != Some(item);
            (level, Change::Keep(if done { 2 } else { 1 }))
        };
        let changes = self.levels.items(block).map(keep).collect();
        self.changed(root, changes)
    }

    /// What of the states a step leads from; `within` narrows what it does not write.
    pub(crate) fn before(&mut self, root: Root, step: &Next, within: &Cube) -> Result<Root, BudgetExhausted> {
        let layout = &self.machine.layout;
        let unwritten = |var: VarId| step.changed.binary_search(&var).is_err();
        let meets = |c: &Conjunct| step.state.bits.field(layout, c.var) & c.set != 0;
        if !within.0.iter().filter(|c| !unwritten(c.var)).all(meets) {
            return Ok(NONE);
        }
        // What the cube asks for may also come about by falling once the step is done.
        let fallen = |c: &Conjunct| {
            let settling = self.machine.settling.iter().find(|s| s.var == c.var && s.to & c.set != 0);
            Conjunct { set: c.set | settling.map_or(0, |settling| settling.from), ..*c }
        };
        let mut sets: Vec<Conjunct> = within.0.iter().filter(|c| unwritten(c.var)).map(fallen).collect();
        for var in layout.ids() {
            // What settles by the step's own wait has fallen; its fallen states are in the set already.
            let after = if unwritten(var) { step.state.bits.field(layout, var) } else { layout.all(var) };
            sets.push(Conjunct { var, set: step.origin.field(layout, var) & after });
        }
        sets.retain(|c| c.set != layout.all(c.var));
        self.restrict(root, sets)
    }

    /// What a step makes of the states that it leads from.
    pub(crate) fn after(
        &mut self,
        root: Root,
        node: NodeId,
        outcome: usize,
        step: &Next,
    ) -> Result<Root, BudgetExhausted> {
        let before = self.before(root, step, &Cube::default())?;
        let layout = &self.machine.layout;
        let write = |&var: &VarId| {
            (self.levels.var(var), Change::Write(layout.all(var), step.state.bits.field(layout, var)))
        };
        let mut changes: BTreeMap<u32, Change> = step.changed.iter().map(write).collect();
        let to = self.machine.node(node).outcomes[outcome].to;
        let (from, block) = (self.machine.node(node).block, self.machine.node(to.node).block);
        if from != block {
            changes.extend(self.levels.items(from).map(|(_, level)| (level, Change::Write(3, 3))));
            changes.extend(self.levels.items(block).map(|(_, level)| (level, Change::Write(3, 1))));
        }
        if let Some(item) = to.item {
            let level = self.levels.items(block).find(|(at, _)| *at == item);
            changes.extend(level.map(|(_, level)| (level, Change::Write(3, 2))));
        }
        let after = self.changed(before, changes)?;
        self.settled(after)
    }

    /// The clocks of a set: one counts only while the value that gives way is possible.
    pub(crate) fn clocks(&mut self, root: Root, clocks: &Clocks) -> Result<Clocks, BudgetExhausted> {
        let mut clocks = clocks.clone();
        for (settling, clock) in self.machine.settling.iter().zip(&mut clocks) {
            if *clock < settling.after
                && self.restrict(root, [Conjunct { var: settling.var, set: settling.from }])? == NONE
            {
                *clock = settling.after;
            }
        }
        Ok(clocks)
    }

    /// Forgets what no longer matters at a node.
    pub(crate) fn project_dead(
        &mut self,
        root: Root,
        clocks: &Clocks,
        node: NodeId,
    ) -> Result<(Root, Clocks), BudgetExhausted> {
        let live = self.live;
        let root = self.project_onto(root, &|var| live.stays(node, var))?;
        let mut clocks = clocks.clone();
        for (settling, clock) in self.machine.settling.iter().zip(&mut clocks) {
            if !live.stays(node, settling.var) {
                *clock = 0;
            }
        }
        Ok((root, clocks))
    }

    /// What a person who knows the place and the clocks may have before them, as far as `relevant` goes: boxes in which
    /// everything that may just have settled is possible. More than the planner can be asked of end the budget.
    pub(crate) fn beliefs(
        &mut self,
        relevant: &[VarId],
        root: Root,
        node: NodeId,
        clocks: &Clocks,
    ) -> Result<Vec<AbstractState>, BudgetExhausted> {
        let root = self.project_onto(root, &|var| relevant.contains(&var))?;
        let boxes = self.boxes(root, node, clocks, LEFT_AT_MOST);
        if boxes.len() >= LEFT_AT_MOST {
            return Err(BudgetExhausted);
        }
        Ok(boxes.iter().filter_map(|state| self.machine.narrow(state, &Cube::default())).collect())
    }

    /// How many nodes the sets have for each variable.
    pub(crate) fn profile<'r>(&self, roots: impl Iterator<Item = &'r Root>) -> Vec<(usize, VarId)> {
        let counts = self.store.profile(roots.copied());
        let of = |(level_var, count): (&LevelVar, usize)| match level_var {
            LevelVar::Var(var) => Some((count, *var)),
            LevelVar::Item(..) => None,
        };
        self.levels.vars.iter().zip(counts).filter_map(of).collect()
    }
}
