//! Figures that only the label of the product at hand gives: asked before step 1, recorded, and used from then on.

use crate::event::Event;
use crate::reading::Reading;
use crate::refusal::Refusal;
use crate::state::Walk;
use document::model::{Amount, Name};

impl Walk {
    /// What is asked for, if a figure of the label is due.
    pub(crate) fn label_due(&self) -> Option<Reading> {
        let due = self.labels_due.first().filter(|_| self.variants_due.is_empty())?;
        let amount = due.amount(&self.library, &self.equipment_name())?;
        let input = document::labels(amount).into_iter().find(|input| *input.name == *due.input)?;
        let unit = input.unit().ok().flatten().map(|unit| unit.symbol().to_owned());
        let range = input.limits();
        Some(Reading {
            what: format!(
                "{} for the {}, as the product's label gives it",
                input.meaning,
                due.amount.words()
            ),
            instrument: "the product's label".to_owned(),
            unit: unit.unwrap_or_default(),
            accepted: range.as_ref().map(|range| self.shown(range)),
            range,
            attempt: 1,
            attempts: 1,
            may_not_tell: false,
        })
    }

    /// A figure read off the label.
    pub(crate) fn label(&self, text: &str) -> Result<Event, Refusal> {
        let refuse = |reason: String| Refusal { reason, opens: "Read the label again".to_owned() };
        let unknown = || refuse("No figure of the label is asked for".to_owned());
        let due = self.labels_due.first().ok_or_else(unknown)?;
        let amount = due.amount(&self.library, &self.equipment_name()).ok_or_else(unknown)?;
        let filled = due.filled(amount, text).map_err(|error| refuse(error.to_string()))?;
        self.goes_together(&filled).map_err(refuse)?;
        Ok(Event::Label {
            procedure: due.procedure.as_ref().map(ToString::to_string),
            amount: due.amount.to_string(),
            input: due.input.to_string(),
            figure: text.trim().to_owned(),
        })
    }

    /// With its last figure an amount must work out on every machine; before that nothing is known of the others.
    fn goes_together(&self, filled: &Amount) -> Result<(), String> {
        let Some(equipment) = self.equipment().filter(|_| document::labels(filled).is_empty()) else {
            return Ok(());
        };
        document::work_amount(equipment, filled).map(|_| ())
    }

    fn equipment_name(&self) -> Name {
        Name::from(self.begin.equipment.as_str())
    }
}
