//! A procedure as one transition system with one step function.
//!
//! [`compile`] turns a procedure and its equipment into a [`Machine`]: nodes with what each needs and where each of its
//! outcomes leads. An [`AbstractState`] is a place and, for every condition, the *set* of values it may have: a box. All tests
//! are conjunctions of memberships and all effects constants, so a box is exact, never an estimate.
//!
//! [`Machine::step`] is the only function that moves a state. The proof explores with it and a walk runs with it: what
//! is proved is what runs.

mod asked;
mod bits;
mod compile;
mod cube;
mod follow;
mod layout;
mod machine;
mod node;
mod number;
mod reads;
mod reliance;
mod sight;
mod state;
mod step;
mod step_graph;
mod taking_up;
mod trace;

pub use asked::Asked;
pub use bits::Bits;
pub use compile::{CompileError, NODE_LIMIT, compile};
pub use cube::{Conjunct, Cube};
pub use follow::Consequences;
pub use layout::{Layout, Origin as VarOrigin, Var, VarId};
pub use machine::{LostWhen, Machine, Promise, PromiseSource, Restoring, Rule, Settling};
pub use node::{Choice, DONE, Goto, Guard, Need, NeedSource, Node, NodeId, NodeKind, Outcome, Place, STOP};
pub use number::step_number;
pub use reliance::Reliance;
pub use sight::Sight;
pub use state::AbstractState;
pub use step::Next;
pub use step_graph::StepGraph;
pub use taking_up::TakingUp;
pub use trace::{Move, ReplayError, Trace, Violation};
