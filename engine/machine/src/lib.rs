//! A procedure as one transition system with one step function.
//!
//! [`compile`] turns a procedure and its equipment into a [`Machine`]: nodes with what each needs and where each of its
//! outcomes leads. Every move after which a person can stop is a node: an act of several writes is `Act`, then `InAct`; a look of
//! several conditions is a chain of `Tick`, once for "all yes so far" and once for "some not"; `Verify` follows what a second
//! person verifies; `Follows` is what other steps leave themselves, where nobody stands. An outcome is for some variants
//! ([`Guard`]), lets time pass, has [`Effect`]s on the record, and owes something to rules found broken ([`Duty`]).
//!
//! An [`AbstractState`] is a place and a *record*: for every condition the set of values it may have (a box), the clock of
//! each that settles, and [`Marks`]: opened since looked at ([`Machine::is_opened`]), written by acts ([`Machine::wrote`]),
//! contradicted by a look ([`Machine::is_look_only`]), rules found broken ([`Machine::found`]).
//!
//! In a block of any order a [`Place`] says which items are done. A look of another item that contradicts what an item alone
//! writes offers that item again, once ([`Machine::offers`]).
//!
//! [`Machine::step`] is the only function that moves a state. The proof explores with it and a walk runs with it: what
//! is proved is what runs. Each [`Next`] says what was written, whether a look contradicted the record, which rules an act
//! may break (nothing goes on from there), and whether something else was done than ending what was found broken. Where a
//! plan is followed outside the procedure, [`Machine::apply`] and [`Machine::pass_time`] change a record in the same way.

mod asked;
mod bits;
mod compile;
mod cube;
mod effects;
mod follow;
mod formed;
mod lapses;
mod lasting;
mod layout;
mod machine;
mod marked;
mod marks;
mod node;
mod number;
mod offered;
mod owners;
mod part;
mod promise;
mod read_back;
mod reads;
mod record;
mod reliance;
mod relied_on;
mod sight;
mod state;
mod step;
mod step_graph;
mod taking_up;
mod trace;
mod vars;
mod words;

pub use bits::Bits;
pub use compile::{CompileError, NODE_LIMIT, compile};
pub use cube::{Conjunct, Cube};
pub use follow::Consequences;
pub use layout::{Layout, Origin as VarOrigin, Var, VarId};
pub use machine::{LostWhen, Machine, Restoring, Rule, Settling, Standing};
pub use marks::Marks;
pub use node::{
    Choice, DONE, Duty, Effect, Goto, Guard, ITEMS_LIMIT, LookKind, Need, NeedSource, Node, NodeId, NodeKind,
    Outcome, Phase, Place, STOP, Tick,
};
pub use number::step_number;
pub use promise::{Asked, Promise, PromiseSource};
pub use record::Applied;
pub use reliance::Reliance;
pub use sight::Sight;
pub use state::AbstractState;
pub use step::Next;
pub use step_graph::StepGraph;
pub use taking_up::TakingUp;
pub use trace::{Move, ReplayError, Trace, Violation};
pub use vars::Vars;
pub use words::Words;
