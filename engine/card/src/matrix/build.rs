//! The matrix from the documents, the machine and the verdicts.

use super::exposure::Steps;
use super::model::{Exposure, HazardRow, Matrix, RuleLine, Verdicts};
use crate::clean::clean_line;
use crate::page::{SignalWord, sentence};
use document::Library;
use document::model::{Equipment, Name};
use machine::{Machine, StepGraph};

/// Makes the matrix of a procedure; none if the library has not the procedure and its equipment.
#[must_use]
pub fn build(library: &Library, procedure: &Name, machine: &Machine, verdicts: &Verdicts) -> Option<Matrix> {
    let model = &library.procedures.get(procedure)?.model;
    let equipment = &library.equipment.get(&model.equipment)?.model;
    let ways = StepGraph::new(machine);
    let steps = Steps::from_procedure(equipment, model, &ways, verdicts);
    let mut hazards: Vec<HazardRow> =
        equipment.hazards.keys().filter_map(|hazard| row(equipment, hazard, &steps, verdicts)).collect();
    hazards.sort_by_key(|row| (row.gaps == 0, row.word));
    let wear = model.wear.names().iter();
    Some(Matrix {
        title: clean_line(&model.title),
        id: procedure.to_string(),
        revision: model.revision,
        effective: model.effective.clone(),
        equipment: clean_line(&equipment.title),
        content: library.content_hash(procedure).unwrap_or_default(),
        hazards,
        wear: wear
            .map(|name| equipment.wear.get(name).map_or_else(|| name.words(), |text| clean_line(text)))
            .collect(),
    })
}

/// One hazard; none if no step exposes to it.
fn row(equipment: &Equipment, name: &Name, steps: &Steps<'_>, verdicts: &Verdicts) -> Option<HazardRow> {
    let hazard = equipment.hazards.get(name)?;
    let rules: Vec<RuleLine> = equipment
        .never
        .iter()
        .filter(|(_, rule)| rule.hazard == *name)
        .map(|(name, rule)| RuleLine {
            name: name.words(),
            verdict: steps.verdict(name, verdicts),
            released_by: rule.released_by.as_ref().map(|role| role.words()),
        })
        .collect();
    let mut exposures: Vec<Exposure> = steps.exposed_to(name);
    if exposures.is_empty() {
        return None;
    }
    exposures.sort_by_key(|exposure| exposure.gap.is_none());
    let gaps = exposures.iter().filter(|exposure| exposure.gap.is_some()).count();
    let broken = rules.iter().filter(|rule| rule.verdict.is_against()).count();
    let parts = [&hazard.hazard, &hazard.consequence, &hazard.avoid].map(|part| sentence(part));
    Some(HazardRow {
        name: name.words(),
        word: SignalWord::for_hazard(hazard),
        message: parts.join(" "),
        rules,
        exposures,
        gaps: gaps + broken,
    })
}
