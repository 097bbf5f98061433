//! Before anything is shown, what is believed has to lie inside what was proved of that place. That shuts what a fault of proving, or of
//! the walk's own account of itself, would open.

use crate::account::{Before, Stand};
use crate::event::Event;
use crate::state::Walk;
use document::model::Name;
use machine::{AbstractState, NodeKind, VarOrigin};

const NONE: &str =
    "This walk carries no certificate: what is believed in it is compared with nothing that was proved.";
const NEVER: &str = "this state was never proved";

impl Walk {
    /// Where the walk stands before an event.
    pub(crate) fn before_event(&self) -> Before {
        // A step is looked for among all.
        let is_asked = self.carried.is_some() && self.node().kind == NodeKind::Ask;
        let question = if is_asked { self.step() } else { None };
        Before {
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
        }
    }

    /// Notes an event in the second account.
    pub(crate) fn account_for(&mut self, event: &Event, before: &Before) {
        if self.carried.is_none() {
            return;
        }
        let may_be_in_act = self.may_be_in_act();
        let (state, told) = (self.state.clone(), self.belief.told().clone());
        self.account.note(&self.machine, event, before, &Stand { state: &state, told: &told, may_be_in_act });
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
        let is_asked_before =
            self.gate.is_some() || self.doubt.is_some() || self.paused || self.stopped.is_some();
        let believed = if is_asked_before { self.state.clone() } else { self.believed() };
        let relied_on = self.relied_on();
        // While something is asked before the step, what is relied on is just being looked at.
        let is_in_question =
            !is_asked_before && self.account.is_in_question(&self.machine, &self.state, &relied_on);
        is_in_question || !carried.holds(&self.machine, &believed)
    }

    /// The record, with everything that may be otherwise by what is believed and that the rest relies on. What is in doubt may be
    /// anything; what that ends is in doubt itself, or stands.
    fn believed(&self) -> AbstractState {
        let (machine, layout, mut believed) = (&self.machine, &self.machine.layout, self.state.clone());
        let (told, doubted, relied_on) = (self.belief.told(), self.belief.doubted(), self.relied_on());
        for &var in &relied_on {
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
        if !self.is_outside && !self.was_outside {
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
        let believed = self.believed();
        let is_known = |var: &machine::VarId| {
            let is_condition = layout.var(*var).origin == VarOrigin::Condition;
            is_condition && believed.bits.field(layout, *var) != layout.all(*var)
        };
        let name = |var: machine::VarId| Name::from(&*layout.var(var).name);
        let words = |var| layout.words_of(var, believed.bits.field(layout, var)).join(" or ");
        layout.ids().filter(is_known).map(|var| format!("{} {}", name(var), words(var))).collect()
    }
}
