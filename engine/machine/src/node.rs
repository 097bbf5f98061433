//! Nodes: the places of a procedure, with what each needs and where each outcome leads.
//!
//! Every move after which a person can stop is a node of its own: an act changes its conditions one by one, a look of
//! several conditions is ticked one by one, and what has to be verified is done and not yet verified.

use crate::cube::{Conjunct, Cube};
use crate::layout::VarId;
use document::SourceId;
use document::model::Name;
use std::fmt;

/// Index of a node.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct NodeId(pub u32);

/// The node of every completed run.
pub const DONE: NodeId = NodeId(0);
/// The node of every stopped run.
pub const STOP: NodeId = NodeId(1);

/// How many items an any-order block has at most.
pub const ITEMS_LIMIT: usize = 32;

/// A node and, inside an any-order block, what became of its items (bit `i` for item `i`).
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// The node.
    pub node: NodeId,
    /// Items of the surrounding any-order block that are done; 0 elsewhere.
    pub items: u32,
    /// Those that a look of another item has contradicted, each once: they were offered again, and may be done again by now.
    pub again: u32,
}

impl Place {
    /// The node with no item done.
    #[must_use]
    pub const fn at(node: NodeId) -> Self {
        Self { node, items: 0, again: 0 }
    }
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

/// Which look a tick belongs to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum LookKind {
    /// A confirming step.
    Confirm,
    /// What a wait is for, found out afresh. The time of the wait passes before the first tick.
    Until,
    /// Whether a round ends the repeat.
    Round {
        /// Which round has just been done, from 1.
        round: u32,
        /// How many there are at most.
        rounds: u32,
    },
}

/// One condition of a look. The ticks of one look stand on one page: they have the same `first`.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Tick {
    /// The look.
    pub look: LookKind,
    /// The node of the look's first tick.
    pub first: NodeId,
    /// Which tick, from 1.
    pub number: u32,
    /// How many ticks the look has.
    pub of: u32,
    /// The values asked for.
    pub asked: Conjunct,
    /// Whether an earlier tick was not yes.
    pub failed: bool,
    /// The node of the same tick where every earlier one was yes: itself, unless `failed`.
    pub whole: NodeId,
}

/// What a person meets at a node.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NodeKind {
    /// The end of a completed or stopped run.
    End,
    /// Settled without asking anybody, by the variant.
    Route,
    /// What a step that holds others requires, before the first of them.
    Enter,
    /// An act, a reusable step or a pass over fasteners, before its first condition changes.
    Act,
    /// In the middle of an act: so many of its conditions have changed.
    InAct {
        /// The act's node.
        act: NodeId,
        /// How many have changed.
        written: u32,
    },
    /// One of the conditions that a step other than an act itself leaves or disturbs. Nobody stands there.
    Follows {
        /// The node at which the step began: what goes wrong is told there.
        of: NodeId,
        /// The node that a person stood at before.
        left: NodeId,
    },
    /// One condition to be looked at.
    Tick(Tick),
    /// A reading; this is attempt `attempt` (from 1) of `attempts`.
    Measure {
        /// Which attempt.
        attempt: u32,
        /// How many there are.
        attempts: u32,
    },
    /// A wait for a time.
    Wait,
    /// A question.
    Ask,
    /// A hold point.
    Hold,
    /// Choosing the next item of an any-order block.
    AnyOrder {
        /// How many items the block has.
        items: u8,
    },
    /// Done or seen, and not yet verified by a second person.
    Verify {
        /// The node that awaits it.
        of: NodeId,
    },
}

/// Which way a node is left.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Choice {
    /// The act is done (or its next condition has changed), the time is over, the hold point released.
    Done,
    /// The tick is yes, the reading was in range, the verifier agrees.
    Pass,
    /// The tick is no, the reading was not in range, the verifier denies it.
    Fail,
    /// Not what was asked for but value number `n`, from 0, in authored order, of the condition that the tick asks about.
    Is(u32),
    /// Nobody can tell.
    CannotTell,
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

impl Choice {
    /// The item that is next by it, if it is one.
    #[must_use]
    pub fn item(self) -> Option<u8> {
        match self {
            Self::Item(item) => Some(item),
            Self::AllItems
            | Self::Done
            | Self::Pass
            | Self::Fail
            | Self::Is(_)
            | Self::CannotTell
            | Self::Answer(_)
            | Self::Applies
            | Self::PassedOver => None,
        }
    }
}

/// Which variants an outcome is for.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Guard {
    /// All.
    Always,
    /// Those inside the cube.
    Is(Cube),
    /// Those outside it.
    IsNot(Cube),
}

/// What an outcome does to the record.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Effect {
    /// An act makes it so. Rules are judged.
    Write(Conjunct),
    /// An act disturbs it: any value. Rules are judged.
    Open(VarId),
    /// A look says that it has one of these values; where the record ruled them out, that is a surprise.
    Look(Conjunct),
    /// It was found out to have one of these values, whatever the record said.
    Find(Conjunct),
    /// Nobody can tell, or a verifier denied it: any value.
    Lose(VarId),
    /// A second person saw that it is as recorded.
    Verify(VarId),
}

impl Effect {
    /// The variable that it is about.
    #[must_use]
    pub fn var(self) -> VarId {
        match self {
            Self::Write(conjunct) | Self::Look(conjunct) | Self::Find(conjunct) => conjunct.var,
            Self::Open(var) | Self::Lose(var) | Self::Verify(var) => var,
        }
    }

    /// What a look says, as far as somebody can tell.
    #[must_use]
    pub fn seen(self) -> Option<Conjunct> {
        match self {
            Self::Look(seen) | Self::Find(seen) => Some(seen),
            Self::Write(_) | Self::Open(_) | Self::Lose(_) | Self::Verify(_) => None,
        }
    }

    /// Whether an act does it, so that rules are judged; a look brings nothing about.
    #[must_use]
    pub fn is_act(self) -> bool {
        match self {
            Self::Write(_) | Self::Open(_) => true,
            Self::Look(_) | Self::Find(_) | Self::Lose(_) | Self::Verify(_) => false,
        }
    }
}

/// What an outcome owes to rules that were found broken.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Duty {
    /// Nothing: it looks, or leads on.
    Nothing,
    /// It is what a look itself leaves or disturbs, which may end some.
    May,
    /// It ends an act, which has to end one of them.
    Mend,
    /// It lets time pass or releases, which ends none: it has no place while a rule is found broken.
    Absent,
}

/// One way to leave a node.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outcome {
    /// Which way.
    pub choice: Choice,
    /// The variants that it is for.
    pub guard: Guard,
    /// Time in milliseconds that surely passes first; the first cube (over variants) that holds decides.
    pub waits: Vec<(Cube, u64)>,
    /// What it does to the record, one after the other: an act's one effect, or what one look says.
    pub effects: Vec<Effect>,
    /// What it owes to rules found broken.
    pub duty: Duty,
    /// Where it leads.
    pub to: Goto,
}

impl Outcome {
    /// What decides, without anybody being asked, whether the outcome is taken and how long it takes.
    pub fn tested(&self) -> impl Iterator<Item = VarId> {
        let guard = match &self.guard {
            Guard::Always => &[][..],
            Guard::Is(cube) | Guard::IsNot(cube) => &cube.0,
        };
        guard.iter().chain(self.waits.iter().flat_map(|(cube, _)| &cube.0)).map(|part| part.var)
    }
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
    /// A look at this condition: only then can it be seen.
    Sight(Name),
}

/// A precondition of a node.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Need {
    /// What must hold.
    pub conjunct: Conjunct,
    /// Who asks for it.
    pub source: NeedSource,
}

/// What of a step comes next at a node.
#[derive(Clone, Copy, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Phase {
    /// Whether the step is for this variant.
    Only,
    /// The step itself.
    Body,
    /// A further reading.
    Attempt(u32),
    /// The next item of a block.
    Choose,
    /// Whether that round ends the repeat.
    Until(u32),
    /// What a performing step itself leaves.
    Last,
    /// A further tick of a look.
    Tick(u32),
    /// The next condition of an act of which so many have changed.
    InAct(u32),
    /// What a second person says.
    Verify,
}

impl fmt::Display for Phase {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Only => f.write_str("only"),
            Self::Body => f.write_str("body"),
            Self::Attempt(attempt) => write!(f, "attempt {attempt}"),
            Self::Choose => f.write_str("choose"),
            Self::Until(round) => write!(f, "until {round}"),
            Self::Last => f.write_str("last"),
            Self::Tick(tick) => write!(f, "tick {tick}"),
            Self::InAct(written) => write!(f, "in act {written}"),
            Self::Verify => f.write_str("verify"),
        }
    }
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
    /// What of the step comes next there.
    pub phase: Phase,
    /// What must hold on arrival.
    pub needs: Vec<Need>,
    /// The ways to leave it; none for an end.
    pub outcomes: Vec<Outcome>,
    /// The any-order block it lies in (the choosing node itself included), by number.
    pub block: Option<u32>,
    /// The item of that block that it belongs to; none for the choosing node.
    pub item: Option<u8>,
}

impl Node {
    /// Whether a person stands there, so that work can be stopped or interrupted.
    #[must_use]
    pub fn is_stood_at(&self) -> bool {
        match self.kind {
            NodeKind::Route | NodeKind::Enter | NodeKind::Follows { .. } => false,
            NodeKind::End
            | NodeKind::Act
            | NodeKind::InAct { .. }
            | NodeKind::Tick(_)
            | NodeKind::Measure { .. }
            | NodeKind::Wait
            | NodeKind::Ask
            | NodeKind::Hold
            | NodeKind::AnyOrder { .. }
            | NodeKind::Verify { .. } => true,
        }
    }
}
