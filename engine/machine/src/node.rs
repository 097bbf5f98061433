//! Nodes: the places of a procedure, with what each needs and where each outcome leads.

use crate::cube::{Conjunct, Cube};
use crate::layout::VarId;
use document::SourceId;
use document::model::Name;

/// Index of a node.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub u32);

/// The node of every completed run.
pub const DONE: NodeId = NodeId(0);
/// The node of every stopped run.
pub const STOP: NodeId = NodeId(1);

/// A node and, inside an any-order block, which items are done (bit `i` for item `i`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The node.
    pub node: NodeId,
    /// Items of the surrounding any-order block that are done; 0 elsewhere.
    pub items: u64,
}

/// Where an outcome leads.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Goto {
    /// The node.
    pub node: NodeId,
    /// The item of an any-order block that is thereby done.
    pub item: Option<u8>,
}

impl Goto {
    /// Leads to a node and finishes no item.
    #[must_use]
    pub fn to(node: NodeId) -> Self {
        Self { node, item: None }
    }
}

/// What a person meets at a node.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum NodeKind {
    /// The end of a completed or stopped run.
    End,
    /// Settled without asking anybody, by the variant.
    Route,
    /// Conditions that a performed procedure requires, before its first step.
    Enter,
    /// An act, a reusable step or a pass over fasteners.
    Act,
    /// Conditions to be looked at and confirmed.
    Confirm(Cube),
    /// A reading; this is attempt `attempt` (from 1) of `attempts`.
    Measure {
        /// Which attempt.
        attempt: u32,
        /// How many there are.
        attempts: u32,
    },
    /// A wait; the cube is what is waited for, empty for a time alone.
    Wait(Cube),
    /// A question.
    Ask,
    /// A hold point.
    Hold,
    /// Choosing the next item of an any-order block.
    AnyOrder {
        /// How many items the block has.
        items: u8,
    },
    /// The question that ends a repeat or starts it again.
    RepeatUntil {
        /// What ends it.
        until: Cube,
        /// Which round has just been done, from 1.
        round: u32,
        /// How many there are at most.
        rounds: u32,
    },
}

/// Which way a node is left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Choice {
    /// The act is done, the time is over, the hold point released.
    Done,
    /// The confirmation held, the reading was in range, what was waited for came.
    Pass,
    /// It did not.
    Fail,
    /// Answer number `n`, from 0, in authored order.
    Answer(u32),
    /// Item number `n`, from 0, of an any-order block is next.
    Item(u8),
    /// All items of an any-order block are done.
    AllItems,
    /// The variant is one for which the step is done.
    Applies,
    /// The variant is one for which the step is passed over.
    PassedOver,
}

/// What must be so for an outcome to be possible.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Guard {
    /// Nothing.
    Always,
    /// The cube holds.
    Is(Cube),
    /// The cube does not hold.
    IsNot(Cube),
}

/// One way to leave a node.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// Which way.
    pub choice: Choice,
    /// Variables set to any value before the guard is looked at (havoc): whatever was known of them no longer counts,
    /// the guard tells.
    pub havoc: Vec<VarId>,
    /// What makes the outcome possible.
    pub guard: Guard,
    /// What becomes true: each variable may then have exactly these values.
    pub sets: Vec<Conjunct>,
    /// Time in milliseconds that surely passes; the first cube (over variants) that holds decides.
    pub waits: Vec<(Cube, u64)>,
    /// Where it leads.
    pub to: Goto,
}

/// Who asks for a precondition.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord)]
pub enum NeedSource {
    /// The step itself.
    Step,
    /// Its type of work.
    Work(Name),
    /// The equipment's reusable step.
    Action(Name),
    /// The procedure it performs.
    Procedure(Name),
}

/// A precondition of a node.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// What must hold.
    pub conjunct: Conjunct,
    /// Who asks for it.
    pub source: NeedSource,
}

/// One place of a procedure.
#[derive(Clone, Debug)]
pub struct Node {
    /// What a person meets there.
    pub kind: NodeKind,
    /// Names of the steps that lead to it, outermost first: `perform-charge/attach`.
    pub path: String,
    /// The document the step stands in.
    pub source: SourceId,
    /// The procedure the step stands in.
    pub procedure: Name,
    /// JSON pointer of the step in that document.
    pub pointer: String,
    /// Rounds of the repeats around it, outermost first, each from 1.
    pub rounds: Vec<u32>,
    /// What must hold on arrival.
    pub needs: Vec<Need>,
    /// The ways to leave it; none for an end.
    pub outcomes: Vec<Outcome>,
    /// The any-order block it lies in (the choosing node itself included), by number.
    pub block: Option<u32>,
}
