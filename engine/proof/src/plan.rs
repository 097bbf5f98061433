//! Plans for stopping: the shortest way of restoring actions to the state in which work may be left.

use crate::meter::{Budget, BudgetExhausted, Meter};
use machine::{AbstractState, Bits, Conjunct, Cube, Machine, VarId};
use std::collections::{BTreeMap, BTreeSet, VecDeque};

/// How many sets of states one search for a plan may look at.
const SEARCH_LIMIT: usize = 50_000;

/// One move of a plan.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum Move {
    /// A restoring action: an index into the machine's.
    Act(usize),
    /// Waiting so many milliseconds.
    Wait(u64),
}

/// What a person does to leave the machine, or why there is no way.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Leaving {
    /// These moves, whatever of the state is true; none if it may be left as it is.
    Plan(Vec<Move>),
    /// The person looks at a condition first: a way for each of its values, or for those that cannot be told apart
    /// because one may fall to the other.
    Look(VarId, Vec<(u64, Leaving)>),
    /// From this state, one value a variable, there is no way. Only [`Planner::relevant`] fields count.
    Stuck(Bits),
    /// The search ended at its limit: nothing is known.
    Unknown,
}

impl Leaving {
    /// A state without a way, if there is one.
    #[must_use]
    pub fn stuck(&self) -> Option<&Bits> {
        match self {
            Self::Plan(_) | Self::Unknown => None,
            Self::Look(_, ways) => ways.iter().find_map(|(_, way)| way.stuck()),
            Self::Stuck(bits) => Some(bits),
        }
    }

    /// Whether some search ended at its limit.
    #[must_use]
    pub fn is_unknown(&self) -> bool {
        match self {
            Self::Plan(_) | Self::Stuck(_) => false,
            Self::Look(_, ways) => ways.iter().any(|(_, way)| way.is_unknown()),
            Self::Unknown => true,
        }
    }

    /// How many moves the longest way has.
    #[must_use]
    pub fn longest(&self) -> usize {
        match self {
            Self::Plan(moves) => moves.len(),
            Self::Look(_, ways) => ways.iter().map(|(_, way)| way.longest()).max().unwrap_or(0),
            Self::Stuck(_) | Self::Unknown => 0,
        }
    }
}

/// Finds ways to leave a machine; remembers what it found.
pub struct Planner<'m> {
    machine: &'m Machine,
    rest: &'m Cube,
    relevant: Vec<VarId>,
    found: BTreeMap<(Bits, Vec<u64>), Leaving>,
}

impl<'m> Planner<'m> {
    /// A planner for a machine whose equipment says in which state it may be left; `None` for one that does not.
    #[must_use]
    pub fn new(machine: &'m Machine) -> Option<Self> {
        let rest = machine.rest.as_ref()?;
        let relevant = relevant(machine, rest).into_iter().collect();
        Some(Self { machine, rest, relevant, found: BTreeMap::new() })
    }

    /// The machine it plans for.
    pub(crate) fn machine(&self) -> &'m Machine {
        self.machine
    }

    /// The variables that decide whether there is a way: those of the state to be reached, of what restoring actions
    /// need, and of what they may break or end.
    #[must_use]
    pub fn relevant(&self) -> &[VarId] {
        &self.relevant
    }

    /// The way from everything a state may be. Plans break no rule, in between moves too.
    pub fn leave(&mut self, state: &AbstractState) -> Leaving {
        let unlimited = Budget { boxes: usize::MAX, go_on: &|| true };
        self.leave_within(state, &Meter::new(&unlimited)).unwrap_or(Leaving::Unknown)
    }

    /// The same within a budget.
    pub(crate) fn leave_within(
        &mut self,
        state: &AbstractState,
        meter: &Meter<'_>,
    ) -> Result<Leaving, BudgetExhausted> {
        let key = self.key(state);
        if let Some(known) = self.found.get(&key) {
            return Ok(known.clone());
        }
        let leaving = match self.search(state, meter)? {
            Searched::Found(plan) => Leaving::Plan(plan),
            Searched::None => self.look(state, meter)?,
            Searched::Limit => Leaving::Unknown,
        };
        self.found.insert(key, leaving.clone());
        Ok(leaving)
    }

    /// Without a plan for the whole state, a person looks at the first condition that is not known, and goes on.
    fn look(&mut self, state: &AbstractState, meter: &Meter<'_>) -> Result<Leaving, BudgetExhausted> {
        let open = self.relevant.iter().map(|&var| (var, self.told_apart(state, var)));
        let Some((var, parts)) = open.into_iter().find(|(_, parts)| parts.len() > 1) else {
            return Ok(Leaving::Stuck(state.bits.clone()));
        };
        let mut ways = Vec::new();
        for set in parts {
            if let Some(part) = self.machine.narrow(state, &Cube(vec![Conjunct { var, set }])) {
                ways.push((set, self.leave_within(&part, meter)?));
            }
        }
        Ok(Leaving::Look(var, ways))
    }

    /// What a look can tell of a variable: each value, but not one that may fall from what it falls to.
    fn told_apart(&self, state: &AbstractState, var: VarId) -> Vec<u64> {
        let field = state.bits.field(&self.machine.layout, var);
        let settling = self.machine.settling.iter().find(|s| s.var == var && s.from & field != 0);
        let together = settling.map_or(0, |settling| settling.from | settling.to) & field;
        let values = (0..64).map(|at| 1 << at).filter(|value| field & !together & value != 0);
        values.chain(Some(together).filter(|&together| together != 0)).collect()
    }

    /// Breadth first over sets of states, so that the first plan found is a shortest one.
    fn search(&self, state: &AbstractState, meter: &Meter<'_>) -> Result<Searched, BudgetExhausted> {
        let mut seen: BTreeSet<Vec<AbstractState>> = BTreeSet::new();
        let mut open: VecDeque<(Vec<AbstractState>, Vec<Move>)> =
            VecDeque::from([(vec![state.clone()], Vec::new())]);
        while let Some((states, plan)) = open.pop_front() {
            if states.iter().all(|state| self.rest.holds(&self.machine.layout, &state.bits)) {
                return Ok(Searched::Found(plan));
            }
            meter.work(states.len() * (1 + self.machine.restoring.len()))?;
            if !seen.insert(states.clone()) {
                continue;
            }
            if seen.len() > SEARCH_LIMIT {
                return Ok(Searched::Limit);
            }
            for (at, _) in self.machine.restoring.iter().enumerate() {
                if let Some(next) = self.act(&states, at) {
                    open.push_back((next, with(&plan, Move::Act(at))));
                }
            }
            let waits = states.iter().flat_map(|state| self.machine.settling.iter().zip(&state.clocks));
            let waits: BTreeSet<u64> = waits
                .filter(|(settling, clock)| **clock < settling.after)
                .map(|(settling, _)| settling.after)
                .collect();
            for millis in waits {
                let next = states.iter().map(|state| self.machine.pass_time(state, millis)).collect();
                open.push_back((next, with(&plan, Move::Wait(millis))));
            }
        }
        Ok(Searched::None)
    }

    /// What an action makes of every state, if all meet its needs and none then breaks a rule.
    fn act(&self, states: &[AbstractState], action: usize) -> Option<Vec<AbstractState>> {
        let action = &self.machine.restoring[action];
        let mut all = Vec::with_capacity(states.len());
        for state in states {
            if !action.needs.holds(&self.machine.layout, &state.bits) {
                return None;
            }
            for next in self.machine.restore(state, action) {
                if !self.machine.broken(&next.state, &next.changed).is_empty() {
                    return None;
                }
                if !all.contains(&next.state) {
                    all.push(next.state);
                }
            }
        }
        all.sort();
        Some(all)
    }

    fn key(&self, state: &AbstractState) -> (Bits, Vec<u64>) {
        let mut bits = Bits::clear(self.machine.layout.words());
        for &var in &self.relevant {
            bits.set_field(&self.machine.layout, var, state.bits.field(&self.machine.layout, var));
        }
        let clocks = self.machine.settling.iter().zip(&state.clocks);
        let clocks =
            clocks.filter(|(settling, _)| self.relevant.contains(&settling.var)).map(|(_, clock)| *clock);
        (bits, clocks.collect())
    }
}

enum Searched {
    Found(Vec<Move>),
    None,
    Limit,
}

fn with(plan: &[Move], next: Move) -> Vec<Move> {
    plan.iter().copied().chain([next]).collect()
}

fn relevant(machine: &Machine, rest: &Cube) -> BTreeSet<VarId> {
    let mut vars: BTreeSet<VarId> = rest.0.iter().map(|conjunct| conjunct.var).collect();
    let mut written: BTreeSet<VarId> = BTreeSet::new();
    for action in &machine.restoring {
        vars.extend(action.needs.0.iter().map(|conjunct| conjunct.var));
        written.extend(action.sets.iter().map(|set| set.var));
    }
    let follows = machine.consequences(written);
    vars.extend(follows.looked_at.into_iter().flat_map(|cube| &cube.0).map(|conjunct| conjunct.var));
    vars
}
