//! States that can now be reached and could not before, and the other way round.
//!
//! Looked at are the values of each condition alone, and for every rule of either revision the values of its conditions
//! together. The exploration is the proof's, with these conditions kept exact.

use super::change::{Change, Class};
use super::pair::Pair;
use super::side::Side;
use super::what::What;
use document::model::{Name, Rule, either};
use machine::{Conjunct, Cube, Machine, VarId, VarOrigin};
use std::collections::BTreeSet;

/// How many runs are looked for: each takes about as long as a proof.
const TRACES: usize = 6;
/// Values by name, in the order of a group.
type Tuples = BTreeSet<Vec<String>>;

/// A difference with the state it speaks of.
struct Told {
    change: Change,
    state: Vec<(Name, String)>,
    now: bool,
}

/// The differences; `None` if either side could not be explored to its end.
pub(super) fn compare(pair: &Pair<'_>, budget: &proof::Budget<'_>) -> Option<Vec<Change>> {
    let (old, new) = (pair.old.machine()?, pair.new.machine()?);
    let groups = groups(pair, old, new);
    let (before, after) = (explored(old, &groups, budget)?, explored(new, &groups, budget)?);
    let mut told: Vec<Told> = Vec::new();
    for ((group, before), after) in groups.iter().zip(&before).zip(&after) {
        for (tuples, now) in [(after.difference(before), true), (before.difference(after), false)] {
            for tuple in tuples {
                let state: Vec<(Name, String)> = group.iter().cloned().zip(tuple.iter().cloned()).collect();
                // What follows from less was told already.
                let known = |told: &Told| told.now == now && told.state.iter().all(|one| state.contains(one));
                if !told.iter().any(known) {
                    told.push(Told { change: change(pair, &state, now), state, now });
                }
            }
        }
    }
    told.sort_by_key(|told| told.change.class);
    let mut runs = 0;
    for told in &mut told {
        let side = if told.now { pair.new } else { pair.old };
        if runs < TRACES {
            runs += 1;
            told.change.trace = run(side, &told.state, budget);
        }
    }
    Some(told.into_iter().map(|told| told.change).collect())
}

/// Each condition alone first, then those of each rule together.
fn groups(pair: &Pair<'_>, old: &Machine, new: &Machine) -> Vec<Vec<Name>> {
    let conditions = new.layout.ids().map(|id| new.layout.var(id));
    let both = |name: &Name| old.layout.find(name).is_some() && new.layout.find(name).is_some();
    let mut groups: Vec<Vec<Name>> = conditions
        .filter(|var| var.origin == VarOrigin::Condition && both(&var.name))
        .map(|var| vec![var.name.clone()])
        .collect();
    for rule in rules(pair) {
        let mut group: Vec<Name> = rule.when.keys().filter(|name| both(name)).cloned().collect();
        group.sort();
        if group.len() > 1 && !groups.contains(&group) {
            groups.push(group);
        }
    }
    groups
}

fn rules<'a>(pair: &'a Pair<'a>) -> impl Iterator<Item = &'a Rule> {
    pair.old.equipment.model.never.values().chain(pair.new.equipment.model.never.values())
}

fn explored(machine: &Machine, groups: &[Vec<Name>], budget: &proof::Budget<'_>) -> Option<Vec<Tuples>> {
    let layout = &machine.layout;
    let vars: Option<Vec<Vec<VarId>>> =
        groups.iter().map(|group| group.iter().map(|name| layout.find(name)).collect()).collect();
    let vars = vars?;
    let found = proof::reachable(machine, &vars, budget)?;
    let words = |(group, tuples): (&Vec<VarId>, BTreeSet<Vec<u64>>)| {
        let named = |tuple: Vec<u64>| -> Vec<String> {
            group.iter().zip(tuple).map(|(&var, set)| layout.words_of(var, set).concat()).collect()
        };
        tuples.into_iter().map(named).collect()
    };
    Some(vars.iter().zip(found).map(words).collect())
}

/// A state that breaks a rule of either revision is less of a guard; so is a value that some rule names, because what
/// the rule forbids has come nearer.
fn change(pair: &Pair<'_>, state: &[(Name, String)], now: bool) -> Change {
    let value = |name: &Name| state.iter().find(|(known, _)| known == name).map(|(_, value)| value);
    let breaks = |rule: &Rule| {
        rule.when.iter().all(|(name, values)| value(name).is_some_and(|value| values.0.contains(value)))
    };
    let names = |rule: &Rule| {
        state.iter().all(|(name, value)| rule.when.get(name).is_some_and(|values| values.0.contains(value)))
    };
    let counts = rules(pair).any(breaks) || state.len() == 1 && rules(pair).any(names);
    let class = match (counts, now) {
        (true, true) => Class::Weakened,
        (true, false) => Class::Strengthened,
        (false, _) => Class::Neutral,
    };
    let words: Vec<String> = state.iter().map(|(name, value)| format!("{} {value}", name.words())).collect();
    let broken = if rules(pair).any(breaks) { ", which a rule of either revision forbids" } else { "" };
    let (what, message) = if now {
        (What::StateNowReached, format!("it can now come to {}{broken}", words.join(" and ")))
    } else {
        (What::StateNoLongerReached, format!("it can no longer come to {}", words.join(" and ")))
    };
    Change::safety(class, what, message)
}

/// A shortest run to the state, a line a move; empty where the budget ends first.
fn run(side: &Side<'_>, state: &[(Name, String)], budget: &proof::Budget<'_>) -> Vec<String> {
    let Some(machine) = side.machine() else { return Vec::new() };
    let conjunct = |(name, value): &(Name, String)| {
        let var = machine.layout.find(name)?;
        Some(Conjunct { var, set: machine.layout.bit(var, value)? })
    };
    let Some(cube) = state.iter().map(conjunct).collect::<Option<Vec<_>>>() else { return Vec::new() };
    let Ok(Some(trace)) = proof::run_to(machine, &Cube(cube.clone()), budget) else { return Vec::new() };
    let mut lines = check::story_to(side.library, &machine.seeking(Cube(cube)), &trace);
    let words: Vec<String> = state
        .iter()
        .map(|(name, value)| format!("{} {}", name.words(), either(std::slice::from_ref(value))))
        .collect();
    lines.push(format!("now {}", words.join(" and ")));
    lines
}
