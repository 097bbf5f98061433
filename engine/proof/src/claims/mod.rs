//! What was proved, as claims that a second program can check: for every place the sets of records that any run comes to there, and
//! for each a plan for stopping. What they mean is defined in `FORM.md` of `form`.
//!
//! Sets are collected anew, over everything that a technician may do in whatever order, without what the verdict leaves out
//! because it comes to the same.

mod collect;
mod items;
mod plans;
mod rank;
mod rows;
mod unclaimed;
mod views;

use crate::meter::{Budget, Meter};
use crate::plan::Planner;
use form::{PlanStep, View};
use machine::Machine;
use plans::Plans;
use std::borrow::Cow;
use views::{Focus, foci, hard};

pub use unclaimed::Unclaimed;

/// How many sets of states, and how many for each node, are collected in one view before narrower ones are tried, and in these before more
/// are collected.
const LIMITS: [(usize, usize); 3] = [(512, 8), (8_192, 16), (200_000, 16)];

/// Everything that is claimed of a machine.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Claims {
    /// Plans for stopping, by number.
    pub plans: Vec<Vec<PlanStep>>,
    /// The views; the first one's sets have plans.
    pub views: Vec<View>,
}

/// What is claimed of a machine of which nothing was refuted: of the whole where that stays small, else by views.
///
/// # Errors
/// If the budget ends first, or something goes wrong after an interruption.
pub fn claims(machine: &Machine, budget: &Budget<'_>) -> Result<Claims, Unclaimed> {
    let meter = Meter::new(budget);
    let mut planner = Planner::new(machine);
    let hard = hard(machine, planner.as_mut(), &meter)?;
    let whole = [Focus::whole(machine, &hard)];
    let mut parts = None;
    for (sets, for_each) in LIMITS {
        let few = sets.max(for_each * machine.nodes.len());
        meter.again(few);
        match of(machine, &whole, planner.as_mut(), &meter) {
            Err(Unclaimed::TooLarge) if meter.goes_beyond(few) => {}
            all => return all,
        }
        meter.again(few);
        // What bears on one thing alone may say too little to be sure that something goes wrong.
        let parts = parts.get_or_insert_with(|| foci(machine, &hard));
        if let Ok(all) = of(machine, parts, planner.as_mut(), &meter) {
            return Ok(all);
        }
        if !meter.goes_beyond(few) {
            break;
        }
    }
    Err(Unclaimed::TooLarge)
}

/// The same in one view, however large.
///
/// # Errors
/// If the budget ends first, or something goes wrong after an interruption.
pub fn claims_as_whole(machine: &Machine, budget: &Budget<'_>) -> Result<Claims, Unclaimed> {
    let (meter, mut planner) = (Meter::new(budget), Planner::new(machine));
    let hard = hard(machine, planner.as_mut(), &meter)?;
    of(machine, &[Focus::whole(machine, &hard)], planner.as_mut(), &meter)
}

/// The same by views of what bears on one thing each, without a look at the whole.
///
/// # Errors
/// If the budget ends first, or something goes wrong after an interruption.
pub fn claims_by_views(machine: &Machine, budget: &Budget<'_>) -> Result<Claims, Unclaimed> {
    let (meter, mut planner) = (Meter::new(budget), Planner::new(machine));
    let hard = hard(machine, planner.as_mut(), &meter)?;
    of(machine, &foci(machine, &hard), planner.as_mut(), &meter)
}

fn of(
    machine: &Machine,
    foci: &[Focus],
    mut planner: Option<&mut Planner<'_>>,
    meter: &Meter<'_>,
) -> Result<Claims, Unclaimed> {
    let mut plans = Plans::default();
    let mut views = Vec::with_capacity(foci.len());
    for (at, focus) in foci.iter().enumerate() {
        let (mut focus, mut collected) = (Cow::Borrowed(focus), collect::collect(machine, focus, meter)?);
        if collected.has_found_beside_items(machine, &focus) {
            // Whatever item comes next has to end it.
            focus = Cow::Owned(focus.with_all_items(machine));
            collected = collect::collect(machine, &focus, meter)?;
        }
        let planner = if at == 0 { planner.as_deref_mut() } else { None };
        views.push(rows::view(machine, &focus, &collected, planner, &mut plans, meter)?);
    }
    Ok(Claims { plans: plans.into_steps(), views })
}
