//! Every move of random procedures: the machine and an interpreter of the documents make the same of every state.

use machine::{AbstractState, Bits, Choice, Cube, Guard, Machine, Next, Node, NodeId, NodeKind, VarId};
use oracle::{Level, Model, Phase, Place, State, Transition, choices, holds, library, random_documents};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// How many procedures are compared.
const CASES: u64 = 600;
/// States of one procedure after which no more are looked at.
const STATES: usize = 400;

#[test]
fn every_move_of_random_procedures_is_the_interpreters() {
    let mut states = 0;
    for seed in 0..CASES {
        let documents = random_documents(seed);
        let documents: Vec<&Value> = documents.iter().collect();
        let library = library(&documents).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        let machine = machine::compile(&library, &"main".into()).expect("it compiles");
        let model = Model::new(&library, "main");
        let both = Both::new(&machine, &model);
        states += both.explore().unwrap_or_else(|error| panic!("seed {seed}: {error}"));
    }
    assert!(states > 20_000, "only {states} states");
}

/// The machine and the interpreter's model of one procedure.
struct Both<'a> {
    machine: &'a Machine,
    model: &'a Model,
    /// The machine's variable for each of the model's.
    vars: Vec<VarId>,
    nodes: BTreeMap<String, NodeId>,
}

impl<'a> Both<'a> {
    fn new(machine: &'a Machine, model: &'a Model) -> Self {
        let var = |(name, _): &(String, Vec<String>)| machine.layout.find(name).expect("a variable");
        let vars = model.vars.iter().map(var).collect();
        let nodes = (0..).map(NodeId).zip(&machine.nodes).map(|(id, node)| (key(node), id)).collect();
        Self { machine, model, vars, nodes }
    }

    /// Follows the interpreter's states and compares each; gives how many there were.
    fn explore(&self) -> Result<usize, String> {
        let starts = self.model.starts();
        self.same("the start", &starts, &[self.machine.start()])?;
        let mut open: Vec<(Place, State)> =
            starts.into_iter().map(|state| (self.model.entry(), state)).collect();
        let mut seen = BTreeSet::new();
        while let Some((place, state)) = open.pop() {
            if seen.len() >= STATES {
                break;
            }
            if seen.insert((place.clone(), state.clone())) {
                let next = self.look(&place, &state);
                open.extend(next.map_err(|error| format!("{}, {state:?}: {error}", self.model.key(&place)))?);
            }
        }
        Ok(seen.len())
    }

    /// Compares what one state meets and where it goes on.
    fn look(&self, place: &Place, state: &State) -> Result<Vec<(Place, State)>, String> {
        let here = self.concrete(place, state)?;
        let node = self.machine.node(here.place.node);
        self.preconditions(place, state, &here)?;
        if !holds(self.model.needs(place), &state.values) {
            return Ok(Vec::new());
        }
        let closed = self.machine.narrow(&here, &Cube::default()).ok_or("no state")?;
        let fallen: BTreeSet<State> = self.model.fallen(state.clone()).into_iter().collect();
        self.same("what settles", &fallen, std::slice::from_ref(&closed))?;
        self.answers(place, &closed, &fallen)?;
        let transitions = self.model.transitions(place);
        let open: Vec<usize> = self.machine.open(here.place).collect();
        if open.len() != transitions.len() {
            return Err(format!("{} ways are open, not {}", open.len(), transitions.len()));
        }
        let mut next = Vec::new();
        for (&outcome, transition) in open.iter().zip(&transitions) {
            let label = format!("{:?}", node.outcomes[outcome].choice);
            if label != transition.label {
                return Err(format!("`{label}` is open, not `{}`", transition.label));
            }
            next.extend(self.moved(&closed, &fallen, outcome, transition)?);
        }
        Ok(next)
    }

    /// The same preconditions, in the same order, and the same of them unmet.
    fn preconditions(&self, place: &Place, state: &State, here: &AbstractState) -> Result<(), String> {
        let needs = self.model.needs(place);
        let mine: Vec<(VarId, u64)> = needs.iter().map(|&(var, set)| (self.vars[var], set)).collect();
        let theirs = &self.machine.node(here.place.node).needs;
        let theirs: Vec<(VarId, u64)> =
            theirs.iter().map(|need| (need.conjunct.var, need.conjunct.set)).collect();
        if mine != theirs {
            return Err(format!("it needs {theirs:?}, not {mine:?}"));
        }
        let fails = |&at: &usize| needs[at].1 >> state.values[needs[at].0] & 1 == 0;
        let unmet: Vec<usize> = (0..needs.len()).filter(fails).collect();
        if unmet != self.machine.unmet(here) {
            return Err(format!("{:?} are unmet, not {unmet:?}", self.machine.unmet(here)));
        }
        Ok(())
    }

    fn answers(&self, place: &Place, closed: &AbstractState, fallen: &BTreeSet<State>) -> Result<(), String> {
        let node = self.machine.node(closed.place.node);
        if node.kind != NodeKind::Ask {
            return Ok(());
        }
        let mine = fallen.iter().any(|state| !self.model.has_an_answer(place, state));
        let shows = |guard: &Guard| matches!(guard, Guard::Is(_));
        let all_show = node.outcomes.iter().all(|outcome| shows(&outcome.guard));
        match self.machine.unanswered(closed).is_some() {
            theirs if theirs == mine && (all_show || !theirs) => Ok(()),
            theirs => Err(format!("unanswered: {theirs}, not {mine}")),
        }
    }

    /// The same states with the same written, and the same rules broken.
    fn moved(
        &self,
        closed: &AbstractState,
        fallen: &BTreeSet<State>,
        outcome: usize,
        transition: &Transition,
    ) -> Result<Vec<(Place, State)>, String> {
        let next = self.machine.step(closed, outcome);
        let place = self.concrete(&transition.to, fallen.first().ok_or("no state")?)?.place;
        if let Some(other) = next.iter().find(|next| next.state.place != place) {
            return Err(format!("`{}` leads to {:?}, not to {place:?}", transition.label, other.state.place));
        }
        let mut mine: BTreeSet<(State, BTreeSet<VarId>, Vec<usize>)> = BTreeSet::new();
        for state in fallen {
            for (after, written) in self.model.successors(transition, state) {
                let broken = self.broken(&after, &written);
                let written = written.iter().map(|&var| self.vars[var]).collect();
                mine.insert((after, written, broken));
            }
        }
        let mut theirs = BTreeSet::new();
        for next in &next {
            let may_break = self.machine.broken(&next.state, &next.changed);
            for after in self.all(&next.state) {
                let holds = |&rule: &usize| holds(&self.model.rules[rule].1, &after.values);
                let broken = may_break.iter().copied().filter(holds).collect();
                theirs.insert((after, next.changed.iter().copied().collect(), broken));
            }
        }
        if mine != theirs {
            let (missed, more): (Vec<_>, Vec<_>) =
                (mine.difference(&theirs).collect(), theirs.difference(&mine).collect());
            return Err(format!("`{}`: missed {missed:?}; too many {more:?}", transition.label));
        }
        self.origins(&next, fallen, transition)?;
        Ok(mine.into_iter().map(|(state, ..)| (transition.to.clone(), state)).collect())
    }

    /// What a state leads to are the results that came from it, and no others.
    fn origins(
        &self,
        next: &[Next],
        fallen: &BTreeSet<State>,
        transition: &Transition,
    ) -> Result<(), String> {
        // By its own wait a state may come to where it would not have been before it.
        if !transition.times.is_empty() {
            return Ok(());
        }
        let inside = |bits: &Bits, state: &State| {
            let values = self.vars.iter().zip(&state.values);
            values.into_iter().all(|(&var, value)| bits.field(&self.machine.layout, var) >> value & 1 == 1)
        };
        for state in fallen {
            let after = self.model.successors(transition, state);
            let from_here: Vec<&Next> = next.iter().filter(|next| inside(&next.origin, state)).collect();
            let leads = |next: &Next, (after, written): &(State, Vec<usize>)| {
                let written: BTreeSet<VarId> = written.iter().map(|&var| self.vars[var]).collect();
                inside(&next.state.bits, after) && written == next.changed.iter().copied().collect()
            };
            if let Some(lost) = after.iter().find(|after| !from_here.iter().any(|next| leads(next, after))) {
                return Err(format!("no result from {state:?} is {lost:?}"));
            }
            if let Some(other) = from_here.iter().find(|next| !after.iter().any(|after| leads(next, after))) {
                return Err(format!("{state:?} does not lead to {other:?}"));
            }
        }
        Ok(())
    }

    fn broken(&self, state: &State, written: &[usize]) -> Vec<usize> {
        let rules = self.model.rules.iter().enumerate();
        let broken = rules.filter(|(_, (_, when))| {
            when.iter().any(|(var, _)| written.contains(var)) && holds(when, &state.values)
        });
        broken.map(|(at, _)| at).collect()
    }

    /// One state of the interpreter as a box of one value a variable.
    fn concrete(&self, place: &Place, state: &State) -> Result<AbstractState, String> {
        let key = self.model.key(place);
        let node = *self.nodes.get(&key).ok_or_else(|| format!("no node is `{key}`"))?;
        let mut bits = Bits::clear(self.machine.layout.words());
        for (&var, &value) in self.vars.iter().zip(&state.values) {
            bits.set_field(&self.machine.layout, var, 1 << value);
        }
        let clock = |(at, &(var, from, _, after)): (usize, &(usize, u8, u8, u64))| {
            if state.values[var] == from { state.since[at] } else { after }
        };
        let clocks = self.model.settles.iter().enumerate().map(clock).collect();
        Ok(AbstractState { place: machine::Place { node, items: items(place) }, bits, clocks })
    }

    /// All states of the interpreter in a box.
    fn all(&self, state: &AbstractState) -> Vec<State> {
        let fields: Vec<(usize, u64)> = self
            .vars
            .iter()
            .enumerate()
            .map(|(at, &var)| (at, state.bits.field(&self.machine.layout, var)))
            .collect();
        let since = |values: &[u8]| {
            let settles = self.model.settles.iter().zip(&state.clocks);
            settles.map(|(&(var, from, ..), &clock)| if values[var] == from { clock } else { 0 }).collect()
        };
        let values = choices(vec![0; self.vars.len()], &fields);
        values.into_iter().map(|values| State { since: since(&values), values }).collect()
    }

    fn same(&self, what: &str, mine: &BTreeSet<State>, theirs: &[AbstractState]) -> Result<(), String> {
        let theirs: BTreeSet<State> = theirs.iter().flat_map(|state| self.all(state)).collect();
        if *mine == theirs { Ok(()) } else { Err(format!("{what}: {theirs:?}, not {mine:?}")) }
    }
}

/// Which items of the group around a place are done.
fn items(place: &Place) -> u64 {
    let Place::At(levels, phase) = place else { return 0 };
    let done = levels.iter().find_map(|level| match level {
        Level::Item(_, done) => Some(*done),
        Level::Step(_) | Level::Round(_) | Level::Inside => None,
    });
    match phase {
        Phase::Choose(done) => *done,
        Phase::Only | Phase::Body | Phase::Attempt(_) | Phase::Until(_) | Phase::Last => done.unwrap_or(0),
    }
}

/// The interpreter's name of a node.
fn key(node: &Node) -> String {
    let phase = match &node.kind {
        NodeKind::End => return node.path.clone(),
        NodeKind::Route if node.outcomes[0].choice == Choice::Done => "last".to_owned(),
        NodeKind::Route => "only".to_owned(),
        NodeKind::AnyOrder { .. } => "choose".to_owned(),
        NodeKind::RepeatUntil { round, .. } => format!("until {round}"),
        NodeKind::Measure { attempt, .. } if *attempt > 1 => format!("attempt {attempt}"),
        NodeKind::Measure { .. }
        | NodeKind::Enter
        | NodeKind::Act
        | NodeKind::Confirm(_)
        | NodeKind::Wait(_)
        | NodeKind::Ask
        | NodeKind::Hold => "body".to_owned(),
    };
    format!("{} {:?} {phase}", node.path, node.rounds)
}
