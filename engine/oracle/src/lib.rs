//! For tests only: a slow, obvious interpreter of procedures, and random procedures to hold others against it.
//!
//! [`judge`] is the interpreter of what is so and what is known: a look has both sides and may contradict the record. The
//! interpreter beside it takes every tick for the truth, and stays for as long as something is compared with it.
//!
//! That one is an explicit-state checker. It knows nothing but the documents: it walks the tree of steps, keeps one
//! value a condition and one elapsed time a settling condition, and tries every value and every moment of falling. Whoever
//! compares something with it uses both.
//!
//! A move is leaving one place: a step, an attempt of a reading, the choice of the next item of a group, the question after
//! a round, or entering a group, rounds, a performed procedure or a step for some variants. After a fault the run goes on
//! only where there was none.
//!
//! Everything panics on documents with findings: they have no meaning to be tried.

mod cases;
mod documents;
mod enumerated;
mod fault;
mod generate;
pub mod judge;
mod leaving;
mod model;
mod place;
mod random;
mod resuming;
mod search;
mod smaller;
mod time;
mod transitions;
mod varied;

pub use cases::{Case, cases};
pub use documents::{equipment, library, procedure, shown};
pub use enumerated::{ALPHABET, enumerated};
pub use fault::Fault;
pub use generate::random_documents;
pub use leaving::Belief;
pub use model::{Conjunction, Model, holds};
pub use place::{Level, Phase, Place};
pub use random::Random;
pub use resuming::{Arrivals, Astray};
pub use search::{Explored, explore};
pub use smaller::smaller;
pub use transitions::{Guard, State, Transition, choices};
pub use varied::{CONSTRUCTS, constructs, varied_documents};
