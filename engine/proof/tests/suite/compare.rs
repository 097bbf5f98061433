//! The proof against the interpreter, for one procedure.

use document::Library;
use machine::{Bits, Machine, Node, NodeId, NodeKind, Trace, VarId};
use oracle::{Explored, Fault, Model, Place, State, explore, holds};
use proof::{Budget, Obligation, Proof};
use std::collections::{BTreeMap, BTreeSet};

/// States past which the interpreter gives up.
pub(super) const LIMIT: usize = 2_000_000;

/// Above how many boxes diagrams take over: boxes alone, diagrams alone, and to and fro between them.
const BOXES_AT_JOIN: [usize; 3] = [usize::MAX, 0, 4];

/// What a comparison looked at.
#[derive(Default)]
pub(super) struct Compared {
    pub(super) cases: usize,
    pub(super) faulty: usize,
    pub(super) wrong: usize,
    pub(super) states: usize,
    pub(super) moves: usize,
    pub(super) given_up: usize,
}

impl Compared {
    /// Compares one procedure, or says how the two differ.
    pub(super) fn one(&mut self, library: &Library, name: &str) -> Result<(), String> {
        let model = Model::new(library, name);
        let Some(found) = explore(&model, LIMIT) else {
            self.given_up += 1;
            return Ok(());
        };
        let machine = machine::compile(library, &name.into()).map_err(|error| error.to_string())?;
        for boxes_at_join in BOXES_AT_JOIN {
            let fault = |error| format!("above {boxes_at_join} boxes diagrams: {error}");
            let proof = prove(&machine, boxes_at_join).map_err(fault)?;
            agree(&found, &model, &machine, &proof).map_err(fault)?;
            self.moves += runs(&found, &model, &machine, &proof).map_err(fault)?;
        }
        self.cases += 1;
        self.faulty += usize::from(!found.faults.is_empty());
        self.wrong += found.faults.len();
        self.states += found.states;
        Ok(())
    }
}

fn prove(machine: &Machine, boxes_at_join: usize) -> Result<Proof, String> {
    let budget = Budget { boxes: 1_000_000, go_on: &|| true };
    let proof = proof::prove_above(machine, &budget, boxes_at_join);
    let proof = proof.map_err(|error| format!("no proof: {error}"))?;
    if proof.ended.is_some() {
        return Err("the exploration did not end by itself".to_owned());
    }
    Ok(proof)
}

/// Every fault has a shortest run that the interpreter can act out; gives how many moves they have together.
fn runs(found: &Explored, model: &Model, machine: &Machine, proof: &Proof) -> Result<usize, String> {
    let mut moves = 0;
    for refuted in &proof.refuted {
        let wrong = wrong(machine, refuted.obligation);
        let Some(trace) = &refuted.trace else { return Err(format!("{wrong:?} has no trace")) };
        let least = found.faults[&wrong];
        if trace.moves.len() != least {
            return Err(format!(
                "{wrong:?}: the trace has {} moves, the shortest {least}",
                trace.moves.len()
            ));
        }
        machine.replay(trace).map_err(|error| format!("{wrong:?}: {error}"))?;
        acts_out(found, model, machine, trace, &wrong).map_err(|error| format!("{wrong:?}: {error}"))?;
        moves += least;
    }
    Ok(moves)
}

/// What the proof refutes, in the interpreter's words.
pub(super) fn refuted(library: &Library, name: &str) -> BTreeSet<Fault> {
    let machine = machine::compile(library, &name.into()).expect("it compiles");
    let proof = proof::prove(&machine, &Budget { boxes: 100_000, go_on: &|| true })
        .expect("every run can be replayed");
    assert!(proof.ended.is_none());
    proof.refuted.iter().map(|refuted| wrong(&machine, refuted.obligation)).collect()
}

/// The same things go wrong, and the same places are reached.
fn agree(found: &Explored, model: &Model, machine: &Machine, proof: &Proof) -> Result<(), String> {
    let mine: BTreeSet<&Fault> = found.faults.keys().collect();
    let theirs: BTreeSet<Fault> =
        proof.refuted.iter().map(|refuted| wrong(machine, refuted.obligation)).collect();
    let theirs: BTreeSet<&Fault> = theirs.iter().collect();
    if mine != theirs {
        let missed: Vec<_> = mine.difference(&theirs).collect();
        let false_alarms: Vec<_> = theirs.difference(&mine).collect();
        return Err(format!("missed by the proof: {missed:?}; false alarms: {false_alarms:?}"));
    }
    let theirs: BTreeSet<String> = machine
        .nodes
        .iter()
        .zip(&proof.reached)
        .filter(|(_, reached)| **reached)
        .map(|(node, _)| key(node))
        .collect();
    if found.reached != theirs {
        let missed: Vec<_> = found.reached.difference(&theirs).collect();
        let too_many: Vec<_> = theirs.difference(&found.reached).collect();
        return Err(format!("reached, and not by the proof: {missed:?}; by the proof alone: {too_many:?}"));
    }
    for (at, _) in proof.reached.iter().enumerate().filter(|(_, reached)| **reached) {
        let (id, node) = (NodeId(at as u32), &machine.nodes[at]);
        let sets = node.outcomes.first().map_or(&[][..], |outcome| &outcome.sets);
        let acts = node.kind == NodeKind::Act && !sets.is_empty();
        if acts && sets.iter().all(|set| set.set.count_ones() == 1) {
            let idle = !found.busy.contains(&key(node));
            if idle != proof.idle.contains(&id) {
                return Err(format!("`{}` changes something: {}", key(node), !idle));
            }
        }
    }
    finishes(found, model, machine, proof)?;
    // No rule holds in any state without a move that is to blame for it.
    let told = |rule: &String| {
        mine.iter().any(|wrong| matches!(wrong, Fault::Rule { rule: told, .. } if told == rule))
    };
    match found.broken.iter().find(|rule| !told(rule)) {
        Some(rule) => Err(format!("`{rule}` is broken in some state and no move is to blame")),
        None => Ok(()),
    }
}

/// For the same variants some run ends at done.
fn finishes(found: &Explored, model: &Model, machine: &Machine, proof: &Proof) -> Result<(), String> {
    let variants: Vec<usize> = (0..model.vars.len()).filter(|&at| is_variant(model, machine, at)).collect();
    let every: oracle::Conjunction = variants.iter().map(|&at| (at, model.all(at))).collect();
    for values in oracle::choices(vec![0; model.vars.len()], &every) {
        let same = |done: &Vec<u8>| variants.iter().all(|&at| done[at] == values[at]);
        let never = proof.never_done.iter().any(|cube| {
            let is = |at: usize| machine.layout.find(&model.vars[at].0).expect("a variable");
            let of = |var: VarId| variants.iter().copied().find(|&at| is(at) == var).expect("a variant");
            cube.0.iter().all(|conjunct| conjunct.set >> values[of(conjunct.var)] & 1 == 1)
        });
        if never == found.done.iter().any(same) {
            return Err(format!("with the variants {values:?} no run ends at done: {never}"));
        }
    }
    Ok(())
}

fn is_variant(model: &Model, machine: &Machine, at: usize) -> bool {
    let var = machine.layout.find(&model.vars[at].0).expect("a variable");
    machine.layout.var(var).origin == machine::VarOrigin::Variant
}

/// An obligation of the proof in the interpreter's words.
fn wrong(machine: &Machine, obligation: Obligation) -> Fault {
    let name = |var: VarId| machine.layout.var(var).name.to_string();
    match obligation {
        Obligation::Need { node, need } => {
            let node = machine.node(node);
            let conjunct = node.needs[need].conjunct;
            Fault::Need { at: key(node), condition: name(conjunct.var), set: conjunct.set }
        }
        Obligation::Rule { rule, by } => Fault::Rule {
            rule: machine.rules[rule].name.to_string(),
            by: by.map(|node| key(machine.node(node))),
        },
        Obligation::Promise(promise) => Fault::Promise(name(machine.promises[promise].conjunct.var)),
        Obligation::Answered(node) => Fault::Unanswered(key(machine.node(node))),
        Obligation::Stop(node) => Fault::Stop(key(machine.node(node))),
        Obligation::Resume { node, var } => {
            Fault::Resume { at: key(machine.node(node)), condition: name(var) }
        }
    }
}

/// The oracle's name of a node.
fn key(node: &Node) -> String {
    let phase = match &node.kind {
        NodeKind::End => return node.path.clone(),
        NodeKind::Route if node.outcomes[0].choice == machine::Choice::Done => "last".to_owned(),
        NodeKind::Route => "only".to_owned(),
        NodeKind::AnyOrder { .. } => "choose".to_owned(),
        NodeKind::RepeatUntil { round, .. } => format!("until {round}"),
        NodeKind::Measure { attempt, .. } if *attempt > 1 => format!("attempt {attempt}"),
        _ => "body".to_owned(),
    };
    format!("{} {:?} {phase}", node.path, node.rounds)
}

/// Acts a trace out in the interpreter, one value a variable, and makes sure that it goes wrong at its end and not before.
/// What the trace does not tell, such as which evidence ended, is tried in every way.
fn acts_out(
    found: &Explored,
    model: &Model,
    machine: &Machine,
    trace: &Trace,
    wrong: &Fault,
) -> Result<(), String> {
    let all: Vec<usize> = (0..model.vars.len()).collect();
    let start = values(model, machine, &trace.start);
    // A rule is broken by the last move or by none: every other comes to a state that breaks none, whatever may then fall.
    let permitted = |states: Vec<(State, Vec<usize>)>, last: bool| -> Vec<(State, Vec<usize>)> {
        let breaks = matches!(wrong, Fault::Rule { .. }) && last;
        let kept =
            states.into_iter().filter(|(state, written)| breaks || !model.breaks_a_rule(state, written));
        kept.flat_map(|(state, written)| {
            model.fallen(state).into_iter().map(move |fallen| (fallen, written.clone()))
        })
        .collect()
    };
    let starts = model.starts().into_iter().map(|state| (state, all.clone())).collect();
    let mut runs = permitted(starts, trace.moves.is_empty());
    runs.retain(|(state, _)| state.values == start);
    let mut place = model.entry();
    for (at, step) in trace.moves.iter().enumerate() {
        let node = machine.node(step.place.node);
        if key(node) != model.key(&place) {
            return Err(format!("move {at} starts at `{}`, not at `{}`", key(node), model.key(&place)));
        }
        let label = format!("{:?}", node.outcomes[step.outcome].choice);
        let after = values(model, machine, &step.after);
        let ways = model.transitions(&place);
        let way = ways
            .iter()
            .find(|way| way.label == label)
            .ok_or_else(|| format!("move {at}: no way `{label}`"))?;
        // What settles may do so before the move as well as after it.
        let met = runs.into_iter().filter(|(state, _)| holds(model.needs(&place), &state.values));
        let before: BTreeSet<State> = met.flat_map(|(state, _)| model.fallen(state)).collect();
        let taken = before.iter().flat_map(|state| model.successors(way, state)).collect();
        runs = permitted(taken, at + 1 == trace.moves.len());
        runs.retain(|(state, _)| state.values == after);
        if runs.is_empty() {
            return Err(format!("move {at} by `{label}` does not lead there"));
        }
        place = way.to.clone();
    }
    match runs.iter().any(|(state, written)| goes_wrong(found, model, wrong, &place, state, written)) {
        true => Ok(()),
        false => Err("nothing goes wrong at its end".to_owned()),
    }
}

fn goes_wrong(
    found: &Explored,
    model: &Model,
    wrong: &Fault,
    place: &Place,
    state: &State,
    written: &[usize],
) -> bool {
    let named = |&(var, _): &(usize, u64), condition: &str| model.vars[var].0 == condition;
    let fails = |&(var, set): &(usize, u64)| set >> state.values[var] & 1 == 0;
    match wrong {
        Fault::Need { at, condition, set } => {
            model.key(place) == *at
                && model
                    .needs(place)
                    .iter()
                    .any(|need| named(need, condition) && need.1 == *set && fails(need))
        }
        Fault::Rule { rule, .. } => model.rules.iter().any(|(name, when)| {
            name == rule && when.iter().any(|(var, _)| written.contains(var)) && holds(when, &state.values)
        }),
        Fault::Promise(condition) => {
            *place == Place::Done
                && model.promises.iter().any(|promise| named(promise, condition) && fails(promise))
        }
        Fault::Stop(at) => model.key(place) == *at && model.moves_to_leave(&model.belief(state)).is_none(),
        Fault::Resume { .. } => found.astray[wrong].1.contains(&(place.clone(), state.values.clone())),
        Fault::Unanswered(at) => {
            model.key(place) == *at
                && holds(model.needs(place), &state.values)
                && model.fallen(state.clone()).iter().any(|state| !model.has_an_answer(place, state))
        }
    }
}

fn values(model: &Model, machine: &Machine, bits: &Bits) -> Vec<u8> {
    let by_name: BTreeMap<&str, VarId> =
        machine.layout.ids().map(|id| (&*machine.layout.var(id).name.0, id)).collect();
    model
        .vars
        .iter()
        .map(|(name, _)| bits.field(&machine.layout, by_name[name.as_str()]).trailing_zeros() as u8)
        .collect()
}
