//! A second account of a walk: from each event by itself, where it leads, what it says, and what nobody can vouch for by then. It
//! shares no code with the fold, which does the same in full, and is told by it only where the walk stands and what it believes there;
//! where the two do not agree, nothing more is shown.

mod path;
mod stand;

use crate::event::{Because, Event, Look};
use machine::{AbstractState, Cube, Effect, Machine, NodeId, VarId, VarOrigin};
use path::{Path, after};
use std::collections::BTreeSet;

pub(crate) use stand::{Before, Stand};

/// What is kept from one event to the next.
#[derive(Clone, Debug)]
pub(crate) struct Account {
    /// Of these nobody can say by now how they are: nobody looked at them, wrote them or waited for them since somebody may have changed
    /// them.
    unsure: BTreeSet<VarId>,
    /// Whether the walk went elsewhere, or believes otherwise, than its events say.
    is_otherwise: bool,
}

impl Account {
    /// Of a walk that begins: nobody has looked at anything.
    pub(crate) fn new(machine: &Machine) -> Self {
        Self { unsure: conditions(machine).collect(), is_otherwise: false }
    }

    /// Notes an event that led a walk from one stand to another.
    pub(crate) fn note(&mut self, machine: &Machine, event: &Event, before: &Before, to: &Stand<'_>) {
        let path = after(machine, event, before, to.state.place.node);
        let is_agreed = match &path {
            None => false,
            Some(Path { effects, .. }) => effects.iter().enumerate().all(|(at, effect)| {
                // The last one of a condition says how it is.
                let is_last = effects[at + 1..].iter().all(|later| later.var() != effect.var());
                !is_last || agrees(machine, *effect, to.state)
            }),
        };
        self.is_otherwise |= !is_agreed;
        let path = path.unwrap_or_default();
        let (own, later) = path.effects.split_at(path.own);
        own.iter().for_each(|effect| _ = self.unsure.remove(&effect.var()));
        // Nobody was at the machine between the act and what comes by itself after it.
        if let Event::ActBegun { finished: true, .. } = event {
            self.left_alone(machine, before);
        }
        later.iter().for_each(|effect| _ = self.unsure.remove(&effect.var()));
        if path.waits {
            self.waited(machine, to.state);
        }
        self.note_people(machine, event, before, to, later);
    }

    /// Time passed: what has surely settled by the record did so if all that its time counts under can be vouched for.
    fn waited(&mut self, machine: &Machine, state: &AbstractState) {
        let is_at_hand = |cube: &Cube| cube.0.iter().all(|part| !self.unsure.contains(&part.var));
        let has_settled = |of: &&machine::Settling| {
            state.bits.field(&machine.layout, of.var) & of.from == 0
                && of.holds.as_ref().is_none_or(is_at_hand)
        };
        let settled: Vec<VarId> = machine.settling.iter().filter(has_settled).map(|of| of.var).collect();
        self.unsure.retain(|var| !settled.contains(var));
    }

    /// What people say apart from the step, and what their coming and going leaves open.
    fn note_people(
        &mut self,
        machine: &Machine,
        event: &Event,
        before: &Before,
        to: &Stand<'_>,
        later: &[Effect],
    ) {
        let node = before.node;
        // What an act would leave as it is anyway is so whether it was begun or not.
        let here =
            |may_be, node| if may_be { changed_by_act(machine, node, to.state) } else { BTreeSet::new() };
        match event {
            Event::Seen { condition, values, answer, found, because, .. } => {
                let Some(var) = machine.layout.find(condition) else { return };
                // What came by itself behind the gate may have changed it by now.
                let is_of_gate = *because != Because::Step && later.iter().all(|effect| effect.var() != var);
                let seen = match (answer, found) {
                    (Look::CannotTell, _) => {
                        self.unsure.insert(var);
                        return;
                    }
                    (Look::Yes, _) => machine.layout.set_of(var, values),
                    (Look::No, Some(value)) => machine.layout.set_of(var, [value]),
                    (Look::No, None) => machine.layout.all(var) & !machine.layout.set_of(var, values),
                };
                // No to every value says nothing.
                self.is_otherwise |= is_of_gate && seen != 0 && !agrees_on(machine, var, seen, to.told);
                self.unsure.remove(&var);
            }
            Event::Restored { action, .. } => {
                let action = machine.restoring.iter().find(|of| *of.name == **action);
                for effect in action.iter().flat_map(|action| &action.effects) {
                    self.unsure.remove(&effect.var());
                }
            }
            // The longest wait is over, and with it every other.
            Event::WaitOver { step } => {
                let waited = machine.layout.find(step);
                let waited = waited.and_then(|var| machine.settling.iter().find(|of| of.var == var));
                let over = |of: &&machine::Settling| waited.is_some_and(|waited| of.after <= waited.after);
                for of in machine.settling.iter().filter(over) {
                    self.unsure.remove(&of.var);
                }
            }
            Event::Resumed { .. } => {
                self.left_alone(machine, before);
                self.unsure.extend(here(before.may_be_in_act, node));
            }
            Event::TakenBack { .. } if before.is_in_hand => {}
            Event::TakenBack { .. } => {
                self.unsure.extend(here(before.may_be_in_act, node));
                self.unsure.extend(here(to.may_be_in_act, to.state.place.node));
            }
            Event::Deviated { .. } => self.unsure.extend(machine.written_by_act(node)),
            Event::GrownOld { conditions, .. } => {
                self.unsure.extend(conditions.iter().filter_map(|condition| machine.layout.find(condition)));
            }
            Event::Begin(_)
            | Event::Variant { .. }
            | Event::Label { .. }
            | Event::CannotTell { .. }
            | Event::NotVerified { .. }
            | Event::ActBegun { .. }
            | Event::Confirmed { .. }
            | Event::NormalConfirmed { .. }
            | Event::Looked { .. }
            | Event::Done { .. }
            | Event::Fastened { .. }
            | Event::TicksLooked { .. }
            | Event::Verified { .. }
            | Event::Released { .. }
            | Event::Reading { .. }
            | Event::Answered { .. }
            | Event::Chosen { .. }
            | Event::WaitStarted { .. }
            | Event::LimitReached { .. }
            | Event::NeverProved { .. }
            | Event::Noted { .. }
            | Event::Photographed { .. }
            | Event::Paused
            | Event::Stopped { .. }
            | Event::LeavingDone { .. }
            | Event::LeavingLooked { .. }
            | Event::Returned { .. } => {}
        }
    }

    /// Nobody was at the machine: what does not keep, and what had not quite come by itself, may be otherwise.
    fn left_alone(&mut self, machine: &Machine, before: &Before) {
        let is_open = |var: &VarId| !machine.sight(*var).keeps || is_half_run(machine, *var, &before.clocks);
        self.unsure.extend(conditions(machine).filter(is_open));
    }

    /// Whether the walk went elsewhere, or believes otherwise, than its events say.
    pub(crate) fn is_otherwise(&self) -> bool {
        self.is_otherwise
    }

    /// Whether nobody can vouch for something that is relied on. What stands here is vouched for from here on.
    pub(crate) fn is_in_question(
        &mut self,
        machine: &Machine,
        state: &AbstractState,
        relied_on: &BTreeSet<VarId>,
    ) -> bool {
        loop {
            let unsure = relied_on.iter().copied().filter(|var| self.unsure.contains(var));
            let (standing, open): (Vec<VarId>, Vec<VarId>) =
                unsure.partition(|var| self.stands(machine, state, *var));
            // What is vouched for now may be what something else hangs on.
            if standing.is_empty() {
                return !open.is_empty();
            }
            self.unsure.retain(|var| !standing.contains(var));
        }
    }

    /// Whether something nobody looked at again is as recorded all the same: what covers it, or would have ended it, was looked at. Of
    /// what nothing is known nothing can be otherwise.
    fn stands(&self, machine: &Machine, state: &AbstractState, var: VarId) -> bool {
        let is_at_hand = |var: VarId| machine.sight(var).keeps || !self.unsure.contains(&var);
        let all_at_hand = |cube: &Cube| cube.0.iter().all(|part| is_at_hand(part.var));
        let meets = |cube: &Cube| cube.meets(&machine.layout, &state.bits);
        let is_covered = |var: VarId| {
            let cover = &machine.sight(var).when;
            !cover.0.is_empty() && !meets(cover) && all_at_hand(cover)
        };
        let is_known = |var: VarId| {
            let mut clocks = machine.settling.iter().zip(&state.clocks).filter(|(of, _)| of.var == var);
            state.bits.field(&machine.layout, var) != machine.layout.all(var)
                || clocks.any(|(_, clock)| *clock > 0)
        };
        let causes = || machine.lost_when.iter().filter(|lost| lost.var == var).map(|lost| &lost.when);
        let is_left = |part: VarId| is_at_hand(part) || is_covered(part) || !is_known(part);
        let no_cause = || causes().all(|cube| !meets(cube) && cube.0.iter().all(|part| is_left(part.var)));
        !is_known(var) || is_covered(var) || machine.is_evidence(var) && no_cause()
    }
}

fn conditions(machine: &Machine) -> impl Iterator<Item = VarId> {
    machine.layout.ids().filter(|var| machine.layout.var(*var).origin == VarOrigin::Condition)
}

/// The conditions that an act may leave otherwise than a record says.
fn changed_by_act(machine: &Machine, act: NodeId, state: &AbstractState) -> BTreeSet<VarId> {
    let may_change = |effect: &Effect| match effect {
        Effect::Write(said) => said.set & !state.bits.field(&machine.layout, said.var) != 0,
        Effect::Open(_) | Effect::Look(_) | Effect::Find(_) | Effect::Lose(_) | Effect::Verify(_) => true,
    };
    machine.effects_of_act(act).into_iter().filter(may_change).map(Effect::var).collect()
}

/// Whether nobody sees it and its time had begun and was not over.
fn is_half_run(machine: &Machine, var: VarId, clocks: &[u64]) -> bool {
    let mut of = machine.settling.iter().zip(clocks).filter(|(of, _)| of.var == var);
    machine.sight(var).is_hidden && of.any(|(of, clock)| *clock > 0 && *clock < of.after)
}

/// Whether what an effect says of its condition may be so by a record.
fn agrees(machine: &Machine, effect: Effect, state: &AbstractState) -> bool {
    match effect {
        Effect::Write(said) | Effect::Look(said) | Effect::Find(said) => {
            agrees_on(machine, said.var, said.set, state)
        }
        Effect::Open(_) | Effect::Lose(_) | Effect::Verify(_) => true,
    }
}

/// No time passes after what an event says.
fn agrees_on(machine: &Machine, var: VarId, said: u64, state: &AbstractState) -> bool {
    state.bits.field(&machine.layout, var) & said != 0
}

#[cfg(test)]
mod tests {
    use super::{Account, Before, Stand};
    use crate::event::{Because, Event, Look};
    use document::InputFile;
    use std::collections::BTreeSet;

    const RIG: &str = "equipment: rig\ntitle: A rig\nrevision: 1\nroles: { technician: Works on it. }\n\
        conditions:\n  lid: { values: [shut, open], ask: Is the lid shut? }\n";
    const MAIN: &str = "procedure: main\ntitle: Work\nequipment: rig\nrevision: 1\npurpose: Work.\nscope: It.\n\
        performers: { technician: 1 }\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
        spares: none\nwear: none\nrequires: { lid: shut }\nsteps:\n\
        \x20 - { id: one, requires: { lid: shut }, do: Work. }\n";

    /// Whoever comes back is asked; whoever has looked is not.
    #[test]
    fn what_is_relied_on_is_in_question_until_somebody_looks() {
        let file = |text: &str| InputFile { name: "a.yaml".to_owned(), bytes: text.as_bytes().to_vec() };
        let library = document::read(&[file(RIG), file(MAIN)]).library;
        let machine = machine::compile(&library, &"main".into()).expect("it compiles");
        let lid = machine.layout.find("lid").expect("a condition");
        let mut state = machine.start();
        state.bits.set_field(&machine.layout, lid, 1);
        let before = Before {
            node: state.place.node,
            is_gated: true,
            is_in_hand: false,
            may_be_in_act: false,
            clocks: Vec::new(),
            answers: Vec::new(),
        };
        let to = Stand { state: &state, told: &state, may_be_in_act: false };
        let relied_on = BTreeSet::from([lid]);
        let seen = Event::Seen {
            step: String::new(),
            condition: "lid".to_owned(),
            values: vec!["shut".to_owned()],
            answer: Look::Yes,
            found: None,
            recorded: Vec::new(),
            because: Because::TakenUp,
        };
        let mut account = Account { unsure: BTreeSet::new(), is_otherwise: false };
        assert!(!account.is_in_question(&machine, &state, &relied_on));
        account.note(
            &machine,
            &Event::Resumed { person: "Anneke Voss".to_owned(), unannounced: false },
            &before,
            &to,
        );
        assert!(account.is_in_question(&machine, &state, &relied_on));
        assert!(!account.is_in_question(&machine, &state, &BTreeSet::new()), "nothing relies on it");
        account.note(&machine, &seen, &before, &to);
        assert!(!account.is_in_question(&machine, &state, &relied_on));
        assert!(!account.is_otherwise());
    }
}
