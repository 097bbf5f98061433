//! Where an event leads by the nodes of the machine alone: the outcome that it stands for, and what follows by itself.

use super::stand::Before;
use crate::event::{Because, Event, Look, ReadingVerdict};
use crate::field::step_of;
use machine::{Choice, Effect, Machine, NodeId, NodeKind, Outcome};
use std::collections::{BTreeMap, VecDeque};

/// What an event brings about on the way to where the walk stands.
#[derive(Default)]
pub(super) struct Path {
    pub(super) effects: Vec<Effect>,
    /// How many of these the event itself brings about: the others come by themselves after it.
    pub(super) own: usize,
    /// Whether time passes on it.
    pub(super) waits: bool,
}

/// What an event brought about that led from one node to another; none where it does not lead there.
pub(super) fn after(machine: &Machine, event: &Event, before: &Before, to: NodeId) -> Option<Path> {
    // The walk is where it was before something that was taken back, wherever that is; a stop ends it where it stands.
    if let Event::TakenBack { .. } | Event::Stopped { .. } = event {
        return Some(Path::default());
    }
    let (at, mut path) = match choice(machine, event, before) {
        None => (before.node, Path::default()),
        Some(choice) => {
            // It has to be an event of this step; of an item it names the one that is chosen.
            let is_of_step = matches!(event, Event::Chosen { .. })
                || step_of(event) == Some(&machine.node(before.node).path);
            is_of_step.then_some(())?;
            taken(machine, before.node, choice, event)?
        }
    };
    path.own = path.effects.len();
    path.effects.extend(by_itself(machine, at, to)?);
    Some(path)
}

/// The way that an event stands for; none where it stays at its node.
fn choice(machine: &Machine, event: &Event, before: &Before) -> Option<Choice> {
    let Before { node, is_gated, is_in_hand: _, may_be_in_act: _, clocks: _, answers } = before;
    let node = machine.node(*node);
    let has = |choice: Choice| node.outcomes.iter().any(|outcome| outcome.choice == choice);
    let is_open = |choice: Choice| (!is_gated).then_some(choice);
    match event {
        Event::Seen { because: Because::Step, condition, answer, found, .. } => {
            let values = machine.layout.find(condition).map(|var| &machine.layout.var(var).values);
            let number = |value: &String| values?.iter().position(|of| of == value);
            let is = found.as_ref().and_then(number).map(|number| Choice::Is(number as u32));
            is_open(match answer {
                Look::Yes => Choice::Pass,
                Look::No => is.filter(|is| has(*is)).unwrap_or(Choice::Fail),
                Look::CannotTell => Choice::CannotTell,
            })
        }
        Event::CannotTell { .. } => is_open(Choice::CannotTell),
        Event::Done { .. } | Event::Deviated { .. } => is_open(Choice::Done),
        // The doubt itself was asked before the step.
        Event::ActBegun { finished: true, .. } => Some(Choice::Done),
        Event::Verified { .. } => is_open(Choice::Pass),
        Event::NotVerified { .. } | Event::LimitReached { .. } => is_open(Choice::Fail),
        Event::Released { .. } if node.kind == NodeKind::Hold => is_open(Choice::Done),
        Event::Reading { verdict: ReadingVerdict::Within, .. } => is_open(Choice::Pass),
        Event::Reading { .. } => is_open(Choice::Fail),
        Event::Answered { answer, .. } => {
            // What else was found is said behind a comma.
            let is_said = |of: &&String| {
                answer.strip_prefix(&***of).is_some_and(|rest| rest.is_empty() || rest.starts_with(", "))
            };
            let said = answers.iter().filter(is_said).max_by_key(|of| of.len())?;
            let number = answers.iter().position(|of| of == said)?;
            is_open(Choice::Answer(number as u32))
        }
        Event::Chosen { step } => {
            let is_it = |outcome: &&Outcome| {
                outcome.choice.item().is_some() && machine.node(outcome.to.node).path == *step
            };
            node.outcomes.iter().find(is_it).and_then(|outcome| is_open(outcome.choice))
        }
        Event::WaitOver { .. } if node.kind == NodeKind::Wait => is_open(Choice::Done),
        Event::Seen { .. }
        | Event::ActBegun { finished: false, .. }
        | Event::Released { .. }
        | Event::WaitOver { .. }
        | Event::Begin(_)
        | Event::Variant { .. }
        | Event::Label { .. }
        | Event::Restored { .. }
        | Event::Confirmed { .. }
        | Event::NormalConfirmed { .. }
        | Event::Looked { .. }
        | Event::Fastened { .. }
        | Event::TicksLooked { .. }
        | Event::WaitStarted { .. }
        | Event::GrownOld { .. }
        | Event::NeverProved { .. }
        | Event::TakenBack { .. }
        | Event::Noted { .. }
        | Event::Photographed { .. }
        | Event::Paused
        | Event::Resumed { .. }
        | Event::Stopped { .. }
        | Event::LeavingDone { .. }
        | Event::LeavingLooked { .. }
        | Event::Returned { .. } => None,
    }
}

/// Where a way leads, with what it does; an act to its end.
fn taken(machine: &Machine, from: NodeId, choice: Choice, event: &Event) -> Option<(NodeId, Path)> {
    let (mut at, mut path, mut choice) = (from, Path::default(), choice);
    loop {
        let outcome = machine.node(at).outcomes.iter().find(|outcome| outcome.choice == choice)?;
        path.effects.extend(&outcome.effects);
        path.waits |= !outcome.waits.is_empty();
        at = outcome.to.node;
        if !matches!(machine.node(at).kind, NodeKind::InAct { .. }) {
            // How an act done otherwise left the machine is looked at next.
            if let Event::Deviated { .. } = event {
                path = Path::default();
            }
            return Some((at, path));
        }
        choice = Choice::Done;
    }
}

/// What comes by itself from one node to another: the shortest way through nodes at which nobody is asked anything, or everything of a
/// block is done.
fn by_itself(machine: &Machine, from: NodeId, to: NodeId) -> Option<Vec<Effect>> {
    let mut known = BTreeMap::from([(from, Vec::new())]);
    let mut due = VecDeque::from([from]);
    while let Some(at) = due.pop_front() {
        if at == to {
            return known.remove(&at);
        }
        let node = machine.node(at);
        let is_silent = |outcome: &&Outcome| !node.is_stood_at() || outcome.choice == Choice::AllItems;
        for outcome in node.outcomes.iter().filter(is_silent) {
            let so_far = known.get(&at).cloned().unwrap_or_default();
            known.entry(outcome.to.node).or_insert_with(|| {
                due.push_back(outcome.to.node);
                so_far.into_iter().chain(outcome.effects.iter().copied()).collect()
            });
        }
    }
    None
}
