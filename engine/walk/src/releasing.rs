//! A release is for the moment: after an interruption what it was for is released again, by somebody who does not do the work.

use crate::prompt::Prompt;
use crate::state::Walk;
use document::model::{Kind, Name, Rule};
use machine::NodeKind;
use std::collections::BTreeSet;

impl Walk {
    /// Whoever released something before an interruption made sure of what was so by then.
    pub(crate) fn releases_end(&mut self) {
        self.unreleased = self.machine.released.iter().map(|rule| rule.name.clone()).collect();
    }

    /// Somebody of this role released what is next.
    pub(crate) fn released_by(&mut self, role: &str) {
        let mut kept: BTreeSet<Name> = std::mem::take(&mut self.unreleased);
        kept.retain(|name| self.never(name).and_then(|rule| rule.released_by.as_deref()) != Some(role));
        self.unreleased = kept;
    }

    fn never(&self, name: &Name) -> Option<&Rule> {
        self.equipment()?.never.get(name)
    }

    /// The combination that the act here may bring about and that has to be released once more.
    fn release_due(&self) -> Option<&Rule> {
        if self.unreleased.is_empty() || self.node().kind != NodeKind::Act {
            return None;
        }
        let mut before = self.state.bits.clone();
        for next in self.steps_of_act(&self.state) {
            let comes = self.machine.unreleased(&before, &next.state.bits, &next.changed);
            if let Some(rule) = comes.filter(|rule| self.unreleased.contains(&rule.name)) {
                return self.never(&rule.name);
            }
            before = next.state.bits;
        }
        None
    }

    /// Whether the act here waits for its release after an interruption.
    pub(crate) fn is_release_due(&self) -> bool {
        self.release_due().is_some()
    }

    /// The role that releases what is next here: of a hold point, or once more of the act.
    pub(crate) fn releasing_role(&self) -> Option<&Name> {
        match self.step().map(|step| &step.kind) {
            Some(Kind::Hold(hold)) => Some(&hold.released_by),
            _ => self.release_due()?.released_by.as_ref(),
        }
    }

    /// What the role makes sure of.
    pub(crate) fn hold_prompt(&self) -> Prompt {
        let Some(role) = self.releasing_role().map(Name::words) else { return Prompt::Act };
        let check = match self.step().map(|step| &step.kind) {
            Some(Kind::Hold(hold)) => self.filled(&hold.check),
            _ => {
                let why = self.release_due().and_then(|rule| rule.why.as_deref());
                let still = "What was made sure of before the interruption is so still.";
                why.map_or_else(|| still.to_owned(), |why| format!("{still} {why}"))
            }
        };
        Prompt::Sign { role, check: Some(check) }
    }
}
