//! Amounts can be worked out for every variant.

use super::scope::Scope;
use crate::diagnostic::Diagnostic;
use crate::figures::amount_cases;
use crate::model::{Amount, Input, Name};
use crate::places::pointer;

impl Scope<'_> {
    /// An amount of this document: its method takes its inputs, whatever the variants.
    pub(super) fn amount(&mut self, name: &Name, amount: &Amount) {
        let amount_at = pointer("/amounts", name);
        for (input, given) in &amount.inputs {
            self.units_read(&pointer(&amount_at, input), given);
        }
        let Err(faults) = amount_cases(&self.equipment.model, amount) else { return };
        for fault in faults {
            let at = format!("{amount_at}{}", fault.at);
            let place = if fault.key { self.at_key(&at) } else { self.at(&at) };
            self.tell_with(Diagnostic::error(fault.code, place, fault.message), || fault.help);
        }
    }

    fn units_read(&mut self, at: &str, input: &Input) {
        match input {
            Input::Number(_) | Input::Label | Input::Variant(_) => {}
            Input::Figure(stated) => self.unit_read(at, stated.text()),
            Input::ByVariant(by) => {
                for (variant, figures) in by {
                    let inside = pointer(at, variant);
                    for (value, stated) in figures {
                        self.unit_read(&pointer(&inside, value), stated.text());
                    }
                }
            }
        }
    }
}
