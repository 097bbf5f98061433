//! Before anything is shown, what is believed has to lie inside what was proved of that place. That shuts what a fault of proving, or of
//! the walk's own account of itself, would open.

use crate::account::{Before, Stand};
use crate::event::Event;
use crate::state::Walk;
use machine::{AbstractState, Conjunct, NodeKind, VarId, VarOrigin};
use std::collections::BTreeSet;

const NONE: &str =
    "This walk carries no certificate: what is believed in it is compared with nothing that was proved.";
const NEVER: &str = "this state was never proved";

impl Walk {
    /// Where the walk stands before an event; none where no second account is kept, because it carries no certificate.
    pub(crate) fn before_event(&self) -> Option<Before> {
        self.carried.as_ref()?;
        // A step is looked for among all.
        let question = if self.node().kind == NodeKind::Ask { self.step() } else { None };
        Some(Before {
            node: self.node_id(),
            is_gated: self.gate.is_some() || self.doubt.is_some(),
            is_in_hand: self.ticks > 0,
            may_be_in_act: self.may_be_in_act(),
            clocks: self.belief.told().clocks.iter().copied().collect(),
            answers: question
                .iter()
                .flat_map(|step| step.kind.answers())
                .map(|(said, _)| said.to_owned())
                .collect(),
        })
    }

    /// Notes an event in the second account.
    pub(crate) fn account_for(&mut self, event: &Event, before: Option<&Before>) {
        let Some(before) = before else { return };
        let may_be_in_act = self.may_be_in_act();
        let to = Stand { state: &self.state, told: self.belief.told(), may_be_in_act };
        self.account.note(&self.machine, event, before, &to);
    }

    /// Judges what is believed by now.
    pub(crate) fn judge(&mut self) {
        self.is_outside = self.is_outside_what_was_proved();
    }

    fn is_outside_what_was_proved(&mut self) -> bool {
        let Some(carried) = self.carried.clone() else { return false };
        // What was completed was judged when it was.
        let is_completed = self.node_id() == machine::DONE && self.done_seen && self.gate.is_none();
        if self.earlier.is_some() {
            return false;
        }
        if carried.fault().is_some() {
            return !is_completed;
        }
        if self.account.is_otherwise() {
            return true;
        }
        if !self.has_started {
            return false;
        }
        // While something is asked before the step, what is relied on is just being looked at.
        if self.gate.is_some() || self.doubt.is_some() || self.paused || self.stopped.is_some() {
            return !carried.holds(&self.machine, &self.state);
        }
        let relied_on = self.relied_on();
        self.account.is_in_question(&self.machine, &self.state, &relied_on)
            || !carried.holds(&self.machine, &self.believed(&relied_on))
    }

    /// The record, with everything that may be otherwise by what is believed and that the rest relies on. What is in doubt may be
    /// anything; what that ends is in doubt itself, or stands.
    fn believed(&self, relied_on: &BTreeSet<VarId>) -> AbstractState {
        let (machine, layout, mut believed) = (&self.machine, &self.machine.layout, self.state.clone());
        let (told, doubted) = (self.belief.told(), self.belief.doubted());
        for &var in relied_on {
            let may_be = if doubted.contains(&var) { layout.all(var) } else { told.bits.field(layout, var) };
            let both = believed.bits.field(layout, var) | may_be;
            believed.bits.set_field(layout, var, both);
        }
        let clocks = machine.settling.iter().zip(&mut believed.clocks).zip(&told.clocks);
        for ((of, clock), told) in clocks.filter(|((of, _), _)| relied_on.contains(&of.var)) {
            *clock = if doubted.contains(&of.var) { 0 } else { (*clock).min(*told) };
        }
        believed
    }

    /// Why nothing is shown here but a stop: what is believed is nothing that was proved. None where it is.
    pub(crate) fn never_proved(&self) -> Option<String> {
        if !self.is_never_proved() {
            return None;
        }
        let why = self.carried.as_ref().and_then(|carried| carried.fault());
        Some(why.map_or_else(|| NEVER.to_owned(), |why| format!("{NEVER} ({why})")))
    }

    /// Told of a walk that carries no certificate: what is believed in it is compared with nothing that was proved.
    #[must_use]
    pub fn carries_none(&self) -> Option<&'static str> {
        self.begin.certificate.is_none().then_some(NONE)
    }

    /// Whether that is so and stands on no record yet.
    pub(crate) fn is_to_be_told(&self) -> bool {
        self.is_outside && !self.was_outside
    }

    /// Whether what is believed here, or was when work stopped, is nothing that was proved.
    #[must_use]
    pub fn is_never_proved(&self) -> bool {
        self.is_outside || self.was_outside
    }

    /// What is believed of the machine, condition by condition, for whoever looks for the fault.
    pub(crate) fn believed_words(&self) -> Vec<String> {
        let layout = &self.machine.layout;
        let believed = self.believed(&self.relied_on());
        let conditions = layout.ids().filter(|var| layout.var(*var).origin == VarOrigin::Condition);
        let facts = conditions.map(|var| Conjunct { var, set: believed.bits.field(layout, var) });
        let known = facts.filter(|fact| fact.set != layout.all(fact.var));
        known
            .map(|fact| format!("{} {}", layout.var(fact.var).name, self.values(fact).join(" or ")))
            .collect()
    }
}
