//! Collects what any run comes to at every place.

use super::items;
use super::unclaimed::Unclaimed;
use super::views::Focus;
use crate::boxes::successors;
use crate::join::{is_covered, join};
use crate::live::LiveVars;
use crate::meter::{BudgetExhausted, Meter};
use crate::order::{Key, Order};
use machine::{AbstractState, Bits, Guard, Machine, NodeId, Place, STOP, VarId, Vars, Words};
use std::collections::{BTreeMap, BTreeSet};

/// Where moves lead, and whether for some variants alone.
pub(super) type LeadsTo = BTreeSet<(Place, bool)>;

/// The sets at every place, each with the places that its moves lead to.
pub(super) struct Collected {
    pub(super) live: LiveVars,
    pub(super) sets: BTreeMap<Place, Vec<(AbstractState, LeadsTo)>>,
    /// The places in the order in which they were come to first.
    pub(super) order: Vec<Place>,
}

impl Collected {
    /// Whether a rule was found broken in a block of which some items are left out.
    pub(super) fn has_found_beside_items(&self, machine: &Machine, focus: &Focus) -> bool {
        let is_cut = |place: &Place| {
            let block = machine.node(place.node).block;
            focus.items.iter().any(|(of, _)| block == Some(*of))
        };
        self.sets
            .iter()
            .filter(|(place, _)| is_cut(place))
            .flat_map(|(_, sets)| sets)
            .any(|(state, _)| machine.found(state).into_iter().any(|rule| focus.speaks_of(machine, rule)))
    }
}

/// Follows every move from the start. What a move violates is not asked: whoever checks the claim finds it.
pub(super) fn collect(machine: &Machine, focus: &Focus, meter: &Meter<'_>) -> Result<Collected, Unclaimed> {
    let (whole, machine) = (machine, &*focus.part(machine));
    let order = Order::new(machine);
    let live = LiveVars::of_claims(machine, &order, &focus.hard);
    let stopped_beside = items::stopped_beside(machine, &focus.items);
    let (sets, come_to) = (BTreeMap::new(), Vec::new());
    let mut collector =
        Collector { machine, whole, focus, live, stopped_beside, sets, order: come_to, meter };
    collector.run(&order)?;
    collector.interrupt()?;
    let Collector { live, sets, order, .. } = collector;
    Ok(Collected { live, sets, order })
}

struct Collector<'a> {
    machine: &'a Machine,
    /// With everything of which the view does not speak.
    whole: &'a Machine,
    focus: &'a Focus,
    live: LiveVars,
    /// The blocks in which an item left out leads to the stop.
    stopped_beside: BTreeSet<u32>,
    sets: BTreeMap<Place, Vec<(AbstractState, LeadsTo)>>,
    order: Vec<Place>,
    meter: &'a Meter<'a>,
}

impl Collector<'_> {
    /// Every move but interruptions.
    fn run(&mut self, order: &Order) -> Result<(), BudgetExhausted> {
        let mut waiting: BTreeMap<(Key, Place), Vec<AbstractState>> = BTreeMap::new();
        let mut arrived = vec![self.machine.start()];
        loop {
            for mut state in arrived.drain(..) {
                project(self.machine, self.focus, &self.live, &mut state);
                waiting.entry((order.key(state.place), state.place)).or_default().push(state);
            }
            let Some(((_, place), mut states)) = waiting.pop_first() else { return Ok(()) };
            join_apart(self.machine, &self.live, &mut states, self.meter)?;
            for state in states {
                if !self.is_known(&state)? {
                    arrived.extend(self.add(place, state)?);
                }
            }
        }
    }

    /// Interruptions, as often as they may come, and every move after them. Whatever goes wrong then is told by the first.
    fn interrupt(&mut self) -> Result<(), Unclaimed> {
        let states: Vec<AbstractState> =
            self.sets.values().flatten().map(|(state, _)| state.clone()).collect();
        let mut waiting: Vec<(AbstractState, (NodeId, VarId))> =
            states.iter().filter_map(|state| self.taken_up(state)).collect();
        while let Some((mut state, by)) = waiting.pop() {
            project(self.machine, self.focus, &self.live, &mut state);
            if self.is_known(&state)? {
                continue;
            }
            let mut violated = BTreeSet::new();
            successors(self.machine, &state, &|_, _| true, &mut violated);
            if !violated.is_empty() {
                let (node, var) = by;
                return Err(Unclaimed::Interrupted { node, var });
            }
            waiting.extend(self.taken_up(&state).map(|(state, _)| (state, by)));
            let next = self.add(state.place, state)?;
            waiting.extend(next.into_iter().map(|state| (state, by)));
        }
        Ok(())
    }

    fn taken_up(&self, state: &AbstractState) -> Option<(AbstractState, (NodeId, VarId))> {
        let node = state.place.node;
        if node == STOP || !self.machine.node(node).is_stood_at() {
            return None;
        }
        let (left, lost) = self.machine.taken_up(state)?;
        Some((left, (self.machine.told_at(node), lost)))
    }

    /// Whether a set is there that stands for these records.
    fn is_known(&self, state: &AbstractState) -> Result<bool, BudgetExhausted> {
        let known = self.sets.get(&state.place).map_or(&[][..], Vec::as_slice);
        self.meter.work(1 + known.len() / 16)?;
        Ok(known.iter().any(|(known, _)| stands_for(self.machine, &self.live, known, state)))
    }

    /// Adds a set, in the place of those that it stands for; gives what its moves lead to.
    fn add(&mut self, place: Place, state: AbstractState) -> Result<Vec<AbstractState>, BudgetExhausted> {
        self.meter.keep(1)?;
        let machine = self.machine;
        // Whoever is in an item left out stands at the choosing node here.
        let block = machine.node(place.node).block;
        let stops = block.is_some_and(|block| self.stopped_beside.contains(&block));
        let stopped = stops.then(|| AbstractState { place: Place::at(STOP), ..state.clone() });
        // A view that does not speak of a variant does not decide by it.
        let whole = &self.whole.node(place.node).outcomes;
        let is_guarded = |at: usize| {
            let choice = machine.node(place.node).outcomes[at].choice;
            whole.iter().any(|it| it.choice == choice && it.guard != Guard::Always)
        };
        let outcomes = machine
            .open(place)
            .flat_map(|at| machine.step(&state, at).into_iter().map(move |next| (next, is_guarded(at))));
        let (mut next, mut leads_to) = (Vec::new(), BTreeSet::new());
        for (step, is_guarded) in outcomes.filter(|(next, _)| next.broken.is_empty()) {
            leads_to.insert((step.state.place, is_guarded));
            next.push(step.state);
        }
        let sets = self.sets.entry(place).or_insert_with(|| {
            self.order.push(place);
            Vec::new()
        });
        sets.retain(|(known, _)| !stands_for(machine, &self.live, &state, known));
        sets.push((state, leads_to));
        Ok(next.into_iter().chain(stopped).collect())
    }
}

/// Forgets what nothing asks for.
fn project(machine: &Machine, focus: &Focus, live: &LiveVars, state: &mut AbstractState) {
    let Some(vars) = asked_besides(machine, focus, live, state) else {
        live.project_dead(state);
        return;
    };
    let opened = opened_besides(machine, focus, live, state);
    let exact = spoken_of(machine, live, &machine.found(state));
    let whole = state.clone();
    live.project_dead(state);
    for var in machine.layout.ids().filter(|&var| vars.has(var)) {
        let field = whole.bits.field(&machine.layout, var);
        state.bits.set_field(&machine.layout, var, field);
        if opened.has(var) && machine.is_opened(&whole, var) {
            machine.set_opened(state, var, true);
        }
    }
    let settling = machine.settling.iter().enumerate().filter(|(_, settling)| vars.has(settling.var));
    for (at, settling) in settling {
        if exact.has(settling.var) || whole.bits.field(&machine.layout, settling.var) & settling.from == 0 {
            state.clocks[at] = whole.clocks[at];
        }
        if machine.is_look_only(&whole, at) {
            machine.set_look_only(state, at);
        }
    }
}

/// What plans hang on, and what rules found broken speak of, in a record for which the plan for whatever is true need not serve:
/// where a rule was found broken, or a wait would be in vain.
pub(super) fn asked_besides(
    machine: &Machine,
    focus: &Focus,
    live: &LiveVars,
    state: &AbstractState,
) -> Option<Vars> {
    let found = machine.found(state);
    let mut settling = machine.settling.iter().enumerate();
    let mut in_vain = || {
        settling.any(|(at, settling)| focus.hard.planned.has(settling.var) && machine.is_look_only(state, at))
    };
    if found.is_empty() && !in_vain() {
        return None;
    }
    let mut vars = spoken_of(machine, live, &found);
    vars.join(&focus.hard.planned);
    Some(vars)
}

/// Variables of which a plan for such a record hangs on whether they were opened.
pub(super) fn opened_besides(
    machine: &Machine,
    focus: &Focus,
    live: &LiveVars,
    state: &AbstractState,
) -> Vars {
    let found = machine.found(state);
    if !found.iter().any(|rule| focus.hard.rules.contains(rule)) {
        return Vars::none(Vars::words(&machine.layout));
    }
    // Of what is not known exactly an interruption may have opened it or not.
    let [exact, ..] = live.read(state.place.node);
    let mut opened = spoken_of(machine, live, &found);
    opened.join(exact);
    opened.keep(&focus.hard.opened);
    opened
}

/// The variables that rules speak of, with what their values alone do not tell.
pub(super) fn spoken_of(machine: &Machine, live: &LiveVars, rules: &[usize]) -> Vars {
    let mut vars = Vars::none(Vars::words(&machine.layout));
    rules.iter().flat_map(|&rule| &machine.rules[rule].when.0).for_each(|part| vars.add(part.var));
    live.with_what_they_hang_on(vars)
}

/// Joins sets, but not two that differ in what rules speak of that stand there found broken.
fn join_apart(
    machine: &Machine,
    live: &LiveVars,
    states: &mut Vec<AbstractState>,
    meter: &Meter<'_>,
) -> Result<(), BudgetExhausted> {
    states.sort_unstable();
    states.dedup();
    let mut groups: BTreeMap<Option<(Bits, Words)>, Vec<AbstractState>> = BTreeMap::new();
    states
        .drain(..)
        .for_each(|state| groups.entry(around_found(machine, live, &state)).or_default().push(state));
    for mut group in groups.into_values() {
        join(machine, live, &mut group, meter)?;
        states.append(&mut group);
    }
    Ok(())
}

/// Whether one set stands for all records of another.
fn stands_for(machine: &Machine, live: &LiveVars, one: &AbstractState, other: &AbstractState) -> bool {
    is_covered(machine, live, other, one)
        && around_found(machine, live, one) == around_found(machine, live, other)
}

/// What rules found broken speak of, as values and clocks; nothing where none was found.
fn around_found(machine: &Machine, live: &LiveVars, state: &AbstractState) -> Option<(Bits, Words)> {
    let found = machine.found(state);
    if found.is_empty() {
        return None;
    }
    let vars = spoken_of(machine, live, &found);
    let (mut bits, mut clocks) = (state.bits.clone(), state.clocks.clone());
    for var in machine.layout.ids().filter(|&var| !vars.has(var)) {
        bits.set_field(&machine.layout, var, 0);
    }
    let clocks_of = machine.settling.iter().zip(&mut clocks);
    clocks_of.filter(|(settling, _)| !vars.has(settling.var)).for_each(|(_, clock)| *clock = 0);
    Some((bits, clocks))
}
