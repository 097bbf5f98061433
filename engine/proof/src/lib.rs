//! Explores a machine on every path: verdicts and counterexamples, no wording.
//!
//! [`prove`] follows sets of states (boxes) from every permitted start through every outcome. Nothing is estimated: an
//! obligation that no box violates holds on every path, and one that is violated comes with a shortest run that was
//! replayed through the machine, record by record.

mod acts;
mod alike;
mod any_plan;
mod boxes;
mod claims;
mod counts;
mod course;
mod dead;
mod explore;
mod join;
mod known;
mod left_out;
mod live;
mod meter;
mod obligation;
mod order;
mod parts;
mod plan;
mod plan_step;
mod prove;
mod reach;
mod record;
mod reduce;
mod relevant;
mod report;
mod resume;
mod search;
mod seek;
mod serve;
mod shape;
mod shorten;
mod universal;
mod unsurprised;
mod untold;
mod wanted;
mod witness;

pub use claims::{Claims, Unclaimed, claims, claims_as_whole, claims_by_views};
pub use counts::Counts;
pub use course::Course;
pub use meter::{Budget, Limit};
pub use obligation::Obligation;
pub use plan::{Leaving, Planner, Stood, relied_on_by_restoring};
pub use plan_step::{PlanStep, longest};
pub use prove::{Proof, Refuted, by_parts, prove};
pub use reach::{reachable, run_to};
pub use report::Ended;
pub use shape::{Shape, shape};
pub use universal::{Universal, can_be_restored};
pub use unsurprised::BySurprise;
