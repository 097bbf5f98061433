//! Hazards as warnings: grouped at the front, and again before the step.

use super::pieces::Warning;
use super::reach::Reach;
use super::scope::Scope;
use super::signal::SignalWord;
use super::step::Alert;
use crate::clean::clean_line;
use document::model::{Hazard, Name, Step};

impl Scope<'_> {
    /// All hazards of the procedure, each once, gravest first, otherwise in the equipment's order.
    pub(super) fn front_warnings(&self, reach: &Reach<'_>) -> Vec<Warning> {
        let hazards = self.machine().hazards.iter();
        let mut warnings: Vec<Warning> = hazards
            .filter(|(name, _)| reach.hazards.contains(name))
            .map(|(_, hazard)| warning(hazard))
            .collect();
        warnings.sort_by_key(|warning| warning.word);
        warnings
    }

    /// The hazards of one step, gravest first (DOE-STD-1029-92 order of warnings, cautions and notes, memory).
    pub(super) fn step_hazards(&self, step: &Step) -> Vec<&Name> {
        let work = self.work(step);
        let of_work = work.iter().filter_map(|(_, work)| work.hazard.as_ref());
        let mut names: Vec<&Name> = Vec::new();
        for name in step.common.warn.iter().chain(of_work) {
            if let Some((name, _)) = self.machine().hazards.get_key_value(name)
                && !names.contains(&name)
            {
                names.push(name);
            }
        }
        names.sort_by_key(|name| self.machine().hazards.get(*name).map(SignalWord::for_hazard));
        names
    }

    /// The warnings of a step. One that `before` has given in full is given in short.
    pub(super) fn alerts(&self, step: &Step, before: &[Name]) -> Vec<Alert> {
        let names = self.step_hazards(step);
        let hazards = names.into_iter().filter_map(|name| Some((name, self.machine().hazards.get(name)?)));
        hazards
            .map(|(name, hazard)| Alert { warning: warning(hazard), compact: before.contains(name) })
            .collect()
    }
}

pub(super) fn warning(hazard: &Hazard) -> Warning {
    let word = SignalWord::for_hazard(hazard);
    Warning {
        word,
        symbol: word.has_symbol(),
        hazard: sentence(&hazard.hazard),
        consequence: sentence(&hazard.consequence),
        avoid: sentence(&hazard.avoid),
    }
}

/// Parts of a message stand one after another, so each ends as a sentence.
pub(crate) fn sentence(text: &str) -> String {
    let text = clean_line(text.trim());
    if text.is_empty() || text.ends_with(['.', '!', '?']) { text } else { format!("{text}.") }
}
