//! Writes what was collected down as rows.

use super::collect::{Collected, asked_besides, opened_besides, spoken_of};
use super::plans::Plans;
use super::rank::ranks;
use super::views::Focus;
use crate::meter::{BudgetExhausted, Meter};
use crate::plan::Planner;
use form::{Care, ClaimedSet, PlaceSets, Row, View};
use machine::{AbstractState, Machine, STOP, VarId, Vars};
use std::collections::BTreeSet;

/// The view of what was collected; with a planner each set at which a person can stop has a plan.
pub(super) fn view(
    machine: &Machine,
    focus: &Focus,
    collected: &Collected,
    mut planner: Option<&mut Planner<'_>>,
    plans: &mut Plans,
    meter: &Meter<'_>,
) -> Result<View, BudgetExhausted> {
    let ranks = ranks(collected);
    let mut places = Vec::with_capacity(collected.sets.len());
    for (place, sets) in &collected.sets {
        let mut claimed = Vec::with_capacity(sets.len());
        let is_left = place.node == STOP || machine.node(place.node).is_stood_at();
        for (state, _) in sets {
            let counts = counts(machine, focus, collected, state);
            let plan = match &mut planner {
                Some(planner) if is_left => {
                    plans.of(planner, &at_most(machine, focus, &counts, state), meter)?
                }
                Some(_) | None => None,
            };
            claimed.push((row(machine, focus, state), counts, plan));
        }
        places.push((*place, ranks.get(place).copied().unwrap_or(0), claimed));
    }
    let all = || places.iter().flat_map(|(_, _, claimed)| claimed);
    let rows = in_order(all().map(|(row, ..)| row));
    let care = in_order(all().map(|(_, counts, _)| counts));
    let places = places.iter().map(|(place, rank, claimed)| {
        let set = |(row, counts, plan): &(Row, Care, Option<u32>)| {
            ClaimedSet(number(&rows, row), number(&care, counts), *plan)
        };
        let mut sets: Vec<ClaimedSet> = claimed.iter().map(set).collect();
        sets.sort_unstable();
        // Two records may say the same to a view.
        sets.dedup_by_key(|set| (set.0, set.1));
        let (node, items, again) = (place.node.0, place.items, place.again);
        PlaceSets { node, items, again, rank: *rank, sets }
    });
    let places = places.collect();
    let vars = machine.layout.ids().filter(|&var| focus.vars.has(var)).map(|var| var.0).collect();
    Ok(View { vars, items: focus.items.clone(), care, rows, places })
}

/// Each of these once, in order.
fn in_order<'a, T: Ord + Clone + 'a>(all: impl Iterator<Item = &'a T>) -> Vec<T> {
    let all: BTreeSet<&T> = all.collect();
    all.into_iter().cloned().collect()
}

/// Where it stands among them; one of them it is.
fn number<T: Ord>(all: &[T], one: &T) -> u32 {
    all.partition_point(|other| other < one) as u32
}

/// What counts in a set.
fn counts(machine: &Machine, focus: &Focus, collected: &Collected, state: &AbstractState) -> Care {
    let [exact, opened, wrote, later] = collected.live.read(state.place.node);
    let found = spoken_of(machine, &collected.live, &machine.found(state));
    let asked = asked_besides(machine, focus, &collected.live, state);
    let asked = asked.unwrap_or_else(|| Vars::none(Vars::words(&machine.layout)));
    let of = |vars: &[&Vars]| -> Vec<u32> {
        let is_in = |var: &VarId| focus.vars.has(*var) && vars.iter().any(|vars| vars.has(*var));
        machine.layout.ids().filter(is_in).map(|var| var.0).collect()
    };
    let look_only = (0..).zip(&machine.settling);
    let look_only = look_only.filter(|(_, of)| {
        // Of what nobody sees never only a look counts.
        let counts = [later, &asked].iter().any(|vars| vars.has(of.var)) || machine.sight(of.var).is_hidden;
        focus.vars.has(of.var) && counts
    });
    let look_only = look_only.map(|(at, _)| at).collect();
    Care {
        exact: of(&[exact, &found]),
        opened: of(&[opened, &opened_besides(machine, focus, &collected.live, state)]),
        wrote: of(&[wrote]),
        look_only,
    }
}

fn row(machine: &Machine, focus: &Focus, state: &AbstractState) -> Row {
    let layout = &machine.layout;
    let vars: Vec<VarId> = layout.ids().filter(|&var| focus.vars.has(var)).collect();
    let field = |var: VarId| state.bits.field(layout, var);
    let values = vars.iter().map(|&var| (var.0, field(var)));
    let values = values.zip(&vars).filter(|((_, set), var)| *set != layout.all(**var));
    let clocks = (0..).zip(&state.clocks).zip(&machine.settling);
    let clocks = clocks.filter(|((_, clock), of)| **clock > 0 && focus.vars.has(of.var));
    let of =
        |is_in: &dyn Fn(VarId) -> bool| vars.iter().filter(|&&var| is_in(var)).map(|var| var.0).collect();
    let look_only = (0..machine.settling.len())
        .filter(|&at| focus.vars.has(machine.settling[at].var) && machine.is_look_only(state, at));
    let found = machine.found(state).into_iter().filter(|&rule| focus.speaks_of(machine, rule));
    Row {
        values: values.map(|(value, _)| value).collect(),
        clocks: clocks.map(|((at, clock), _)| (at, *clock)).collect(),
        opened: of(&|var| machine.is_opened(state, var)),
        wrote: of(&|var| machine.wrote(state, var)),
        look_only: look_only.map(|at| at as u32).collect(),
        found: found.map(|rule| rule as u32).collect(),
    }
}

/// The record that is the set at its most: marks that do not count are set, and everything outside the view is unknown.
fn at_most(machine: &Machine, focus: &Focus, counts: &Care, state: &AbstractState) -> AbstractState {
    let mut most = state.clone();
    for var in machine.layout.ids() {
        if !focus.vars.has(var) {
            most.bits.set_field(&machine.layout, var, machine.layout.all(var));
        }
        if counts.opened.binary_search(&var.0).is_err() {
            machine.set_opened(&mut most, var, true);
        }
    }
    for (at, settling) in machine.settling.iter().enumerate() {
        if !focus.vars.has(settling.var) {
            most.clocks[at] = 0;
        }
        if counts.look_only.binary_search(&(at as u32)).is_err() && !machine.sight(settling.var).is_hidden {
            machine.set_look_only(&mut most, at);
        }
    }
    most
}
