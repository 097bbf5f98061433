//! The verdicts on a machine, with a shortest run to each violation.

use crate::acts::bringing_about;
use crate::counts::Counts;
use crate::explore::{Explored, Explorer};
use crate::live::LiveVars;
use crate::meter::{Budget, Meter};
use crate::obligation::Obligation;
use crate::order::Order;
use crate::parts;
use crate::plan::{Planner, Stood};
use crate::report::{self, Ended};
use crate::resume::Resume;
use crate::search::Search;
use crate::universal::Universal;
use crate::unsurprised::{BySurprise, by_surprise_alone};
use machine::{Bits, Cube, Machine, NodeId, Outcome, ReplayError, Trace, VarId, VarOrigin};
use std::collections::{BTreeMap, BTreeSet};

/// How many sets of states are explored of the whole before it is tried part by part, and how many for each node: most machines
/// have few at each.
const SMALL: (usize, usize) = (4_096, 8);

/// An obligation that does not hold.
#[derive(Clone, Debug)]
pub struct Refuted {
    /// Which.
    pub obligation: Obligation,
    /// A shortest run that violates it; `None` if the search for one ended at its budget.
    pub trace: Option<Trace>,
}

/// What was proved.
#[derive(Clone, Debug, Default)]
pub struct Proof {
    /// How many obligations there are on the places reached.
    pub obligations: usize,
    /// The same, kind by kind.
    pub counts: Counts,
    /// Those that do not hold, in order. Every other one is proved, if the exploration ended by itself; but of stops none is
    /// where no plan serves whatever is true.
    pub refuted: Vec<Refuted>,
    /// Why the exploration ended early, if it did: then nothing is proved that is not refuted.
    pub ended: Option<Ended>,
    /// How many boxes were explored.
    pub boxes: usize,
    /// For every node, whether some run reaches it.
    pub reached: Vec<bool>,
    /// Nodes whose act changes nothing, however they are reached.
    pub idle: Vec<NodeId>,
    /// Variants for which no run ends at done, as boxes over the variants alone.
    pub never_done: Vec<Cube>,
    /// Variants for which a run ends at done only after a look that the record ruled out; told of small machines that nothing
    /// violates.
    pub by_surprise: Vec<BySurprise>,
    /// What is known at every node at which work can be stopped, whichever way led there: a [`Planner`] gives a way to leave
    /// the machine from it.
    pub stood: Stood,
    /// Where no plan serves whatever is true: values from which there is none. Only [`Planner::relevant`] fields count.
    pub no_plan_from: Option<Bits>,
    /// For each of [`Machine::released`], the nodes at which an act writes one of its conditions and may lead there, on whatever
    /// run; `None` if the budget ended first: then nothing is known.
    pub brought_about: Option<Vec<BTreeSet<NodeId>>>,
}

impl Proof {
    /// Lets go of what is known place by place, and keeps what was proved and refuted.
    pub fn let_go(&mut self) {
        let Self {
            obligations: _,
            counts: _,
            refuted: _,
            ended: _,
            boxes: _,
            reached,
            idle,
            never_done,
            by_surprise,
            stood,
            no_plan_from,
            brought_about,
        } = self;
        (*reached, *idle, *never_done, *by_surprise) = (Vec::new(), Vec::new(), Vec::new(), Vec::new());
        (*stood, *no_plan_from, *brought_about) = (Stood::default(), None, None);
    }
}

/// Explores every path of the machine within a budget.
///
/// # Errors
/// If a counterexample does not replay: a fault of this crate, never of the procedure.
pub fn prove(machine: &Machine, budget: &Budget<'_>) -> Result<Proof, ReplayError> {
    let order = Order::new(machine);
    let meter = Meter::new(budget);
    let resume = Resume::new(machine);
    let mut planner = Planner::new(machine);
    let live = live(machine, &order, planner.as_mut(), &meter);
    let explored = explored(machine, (&order, &live), planner.as_mut(), &resume, &meter);
    let boxes = meter.sets();
    meter.again(usize::MAX);
    let search = Search {
        machine,
        live: &live,
        planner: planner.as_mut(),
        resume: &resume,
        meter: &meter,
        reduction: &explored.reduction,
        tree: Vec::new(),
        found: BTreeMap::new(),
    };
    let traces = search.run(&explored.violated)?;
    Ok(told(machine, explored, &traces, boxes, budget))
}

/// The same by parts alone, without a look at the whole: conditions that decide nothing of each other are followed for themselves.
/// Nothing where the conditions cannot be parted or something is violated in a part, and where the budget ends.
#[must_use]
pub fn by_parts(machine: &Machine, budget: &Budget<'_>) -> Option<Proof> {
    let mut planner = Planner::new(machine);
    let (order, resume) = (Order::new(machine), Resume::new(machine));
    let meter = Meter::new(budget);
    let explored = parts::explore(machine, &order, planner.as_mut(), &resume, &meter)?;
    Some(told(machine, explored, &BTreeMap::new(), meter.sets(), budget))
}

fn told(
    machine: &Machine,
    explored: Explored,
    traces: &BTreeMap<Obligation, Trace>,
    boxes: usize,
    budget: &Budget<'_>,
) -> Proof {
    let idle = |id: &NodeId| explored.reached[id.0 as usize] && !explored.busy[id.0 as usize];
    let is_whole = explored.ended.is_none() && explored.violated.is_empty();
    let small = Budget { boxes: small(machine).min(budget.boxes), go_on: budget.go_on };
    let by_surprise = if is_whole { by_surprise_alone(machine, &small) } else { Vec::new() };
    let refuted = |obligation| Refuted { obligation, trace: traces.get(&obligation).cloned() };
    Proof {
        obligations: explored.obligations.total(),
        counts: explored.obligations,
        idle: report::acts(machine).into_iter().filter(idle).collect(),
        refuted: explored.violated.into_iter().map(refuted).collect(),
        ended: explored.ended,
        boxes,
        by_surprise: by_surprise
            .into_iter()
            .filter(|one| !explored.never_done.contains(&one.variants))
            .collect(),
        never_done: explored.never_done,
        stood: explored.stood,
        no_plan_from: explored.no_plan_from,
        reached: explored.reached,
        brought_about: brought_about(machine, budget),
    }
}

/// The whole, as long as it is small; else part by part; and where that decides nothing, the whole as far as the budget goes.
fn explored(
    machine: &Machine,
    (order, live): (&Order, &LiveVars),
    mut planner: Option<&mut Planner<'_>>,
    resume: &Resume,
    meter: &Meter<'_>,
) -> Explored {
    let few = small(machine);
    meter.again(few);
    let mut small = Explorer::new(machine, order, live, planner.as_deref_mut(), resume, meter).run();
    if small.ended.is_none() || !meter.goes_beyond(few) {
        return small;
    }
    meter.again(usize::MAX);
    // What the whole violates a part violates too.
    if small.violated.is_empty()
        && let Some(explored) = parts::explore(machine, order, planner.as_deref_mut(), resume, meter)
    {
        return explored;
    }
    if meter.is_over() {
        if let Some(ended) = &mut small.ended {
            ended.limit = meter.limit();
        }
        return small;
    }
    meter.again(usize::MAX);
    Explorer::new(machine, order, live, planner, resume, meter).run()
}

fn small(machine: &Machine) -> usize {
    SMALL.0.max(SMALL.1 * machine.nodes.len())
}

fn brought_about(machine: &Machine, budget: &Budget<'_>) -> Option<Vec<BTreeSet<NodeId>>> {
    let combinations: Vec<&Cube> = machine.released.iter().map(|rule| &rule.when).collect();
    if combinations.is_empty() { Some(Vec::new()) } else { bringing_about(machine, &combinations, budget) }
}

/// What is read from each node on.
fn live(machine: &Machine, order: &Order, planner: Option<&mut Planner<'_>>, meter: &Meter<'_>) -> LiveVars {
    let mut kept = BTreeSet::new();
    let mut apart = false;
    if let Some(planner) = planner {
        // Where one plan serves whatever is true, every box has one.
        apart = !matches!(planner.universal_within(meter), Ok(Universal::Plan(_)));
        kept.extend(planner.relevant());
    }
    kept.extend(variants_that_decide(machine));
    LiveVars::new(machine, order, &kept, apart)
}

/// The variants that decide a way, or how long a wait is.
fn variants_that_decide(machine: &Machine) -> BTreeSet<VarId> {
    let outcomes = machine.nodes.iter().flat_map(|node| &node.outcomes);
    let is_variant = |var: &VarId| machine.layout.var(*var).origin == VarOrigin::Variant;
    outcomes.flat_map(Outcome::tested).filter(is_variant).collect()
}
