//! The certificate that a walk carries: before anything is shown, what is believed there has to lie inside what was proved of that
//! place. That shuts what a fault of proving, or of this program's own account of the walk, would open.

use crate::state::Walk;
use document::model::Name;
use form::Certificate;
use machine::{AbstractState, Machine, VarOrigin};
use std::fmt;
use verifier::Claims;

/// What a certificate claims, or why nothing can be taken from it.
pub(crate) struct Carried(Result<Claims, &'static str>);

impl fmt::Debug for Carried {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.debug_tuple("Carried").field(&self.0.as_ref().map(|_| ())).finish()
    }
}

impl Carried {
    /// Reads what was kept of a certificate. It counts only if it is right, and of this very machine: the checker says so once more.
    pub(crate) fn new(kept: Option<&[u8]>, machine: &Machine) -> Self {
        Self(claims(kept, machine))
    }

    /// Whether a record lies inside what was proved of its place.
    fn holds(&self, machine: &Machine, state: &AbstractState) -> bool {
        let place = state.place;
        let record = machine.record_formed(state);
        self.0.as_ref().is_ok_and(|claims| claims.holds(place.node.0, place.items, place.again, &record))
    }
}

fn claims(kept: Option<&[u8]>, machine: &Machine) -> Result<Claims, &'static str> {
    let bytes =
        kept.ok_or("the certificate that this walk carries is not among the records, or was changed")?;
    let certificate: Certificate =
        serde_json::from_slice(bytes).map_err(|_| "the certificate that this walk carries cannot be read")?;
    let form = machine.form();
    verifier::verify_named(&form, &certificate)
        .and_then(|()| Claims::new(&form, &certificate))
        .map_err(|_| "the certificate that this walk carries is not one of what it goes by")
}

impl Walk {
    /// Judges what is believed by now.
    pub(crate) fn judge(&mut self) {
        self.is_outside = self.is_outside_what_was_proved();
    }

    fn is_outside_what_was_proved(&self) -> bool {
        let Some(carried) = &self.carried else { return false };
        // What was completed was judged when it was.
        let is_completed = self.node_id() == machine::DONE && self.done_seen && self.gate.is_none();
        match carried.0 {
            Err(_) => return !is_completed && self.earlier.is_none(),
            Ok(_) if !self.has_started || self.earlier.is_some() => return false,
            Ok(_) => {}
        }
        let is_asked_before =
            self.gate.is_some() || self.doubt.is_some() || self.paused || self.stopped.is_some();
        let believed = if is_asked_before { self.state.clone() } else { self.believed() };
        !carried.holds(&self.machine, &believed)
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
        let why = self.carried.as_ref().and_then(|carried| carried.0.as_ref().err());
        Some(why.map_or_else(|| NEVER.to_owned(), |why| format!("{NEVER} ({why})")))
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

const NEVER: &str = "this state was never proved";
