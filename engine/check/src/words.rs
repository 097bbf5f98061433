//! Conditions and values as people say them.

use calc::quantity::Duration;
use document::model::{Equipment, Figure, Name, Values};
use machine::{Conjunct, Cube, Layout, Machine, VarId};
use proof::PlanStep;

/// "empty or rinse".
#[must_use]
pub(crate) fn values_words(layout: &Layout, var: VarId, set: u64) -> String {
    let words = layout.words_of(var, set);
    match words.split_last() {
        None => "nothing".to_owned(),
        Some((last, [])) => (*last).to_owned(),
        Some((last, rest)) => format!("{} or {last}", rest.join(", ")),
    }
}

/// The values as a document writes them: one, or a list.
pub(crate) fn values_of(layout: &Layout, conjunct: Conjunct) -> String {
    list_text(&layout.words_of(conjunct.var, conjunct.set))
}

/// Conditions as a document writes them in one line: `{ supply: isolated, gloves: 'on' }`.
pub(crate) fn cube_text(cube: &document::model::Cube) -> String {
    let one = |(name, values): (&Name, &Values)| {
        let values: Vec<&str> = values.0.iter().map(String::as_str).collect();
        format!("{name}: {}", list_text(&values))
    };
    format!("{{ {} }}", cube.iter().map(one).collect::<Vec<_>>().join(", "))
}

fn list_text(values: &[&str]) -> String {
    let values: Vec<String> = values.iter().map(|value| value_text(value)).collect();
    match &values[..] {
        [only] => only.clone(),
        several => format!("[{}]", several.join(", ")),
    }
}

/// A value in quotation marks where YAML, of any version, would read something else than a text.
fn value_text(value: &str) -> String {
    const OTHER: [&str; 12] =
        ["on", "off", "yes", "no", "true", "false", "null", "y", "n", "~", "nan", "inf"];
    let plain = value.starts_with(char::is_alphabetic)
        && value.chars().all(|letter| letter.is_alphanumeric() || " -_./".contains(letter));
    if plain && !OTHER.contains(&&*value.to_lowercase()) {
        value.to_owned()
    } else {
        format!("'{}'", value.replace('\'', "''"))
    }
}

/// "tank empty or rinse".
pub(crate) fn conjunct_words(layout: &Layout, conjunct: Conjunct) -> String {
    format!("{} {}", layout.var(conjunct.var).label, values_words(layout, conjunct.var, conjunct.set))
}

/// "supply live and wand cover loose or open".
#[must_use]
pub(crate) fn cube_words(layout: &Layout, cube: &Cube) -> String {
    let words: Vec<String> = cube.0.iter().map(|&conjunct| conjunct_words(layout, conjunct)).collect();
    words.join(" and ")
}

/// An act, a wait or a look of a plan for leaving the machine, in the equipment's words; of a look what it asks for.
#[must_use]
pub fn plan_step_words(machine: &Machine, equipment: Option<&Equipment>, step: &PlanStep) -> String {
    match step {
        PlanStep::Act(action) => {
            let name = &machine.restoring[*action].name;
            let authored = equipment.and_then(|equipment| equipment.actions.get(name));
            let authored = equipment.zip(authored);
            authored.map_or_else(|| name.words(), |(equipment, action)| filled(equipment, &action.act))
        }
        PlanStep::Wait { millis, .. } => format!("Wait {}.", Duration::from_millis(*millis)),
        PlanStep::Look { var, .. } => format!("Look at the {}.", machine.layout.var(*var).label),
        PlanStep::Again { var, values, .. } => {
            let asked = values_words(&machine.layout, *var, *values);
            format!("Look at the {}: it must be {asked}.", machine.layout.var(*var).label)
        }
        PlanStep::Universal => "Follow the plan for the whole machine.".to_owned(),
        PlanStep::Cannot => {
            "The machine cannot be brought to rest from here: keep away, keep others away and call for help."
                .to_owned()
        }
    }
}

/// An act with its figures. One that differs from machine to machine is named: a plan is the same for all.
fn filled(equipment: &Equipment, act: &str) -> String {
    document::filled(act, |amount| {
        let amount = Name::from(amount);
        let cases =
            document::figure_cases(equipment, None, &Figure::Amount(amount.clone())).unwrap_or_default();
        let mut shown: Vec<String> =
            cases.iter().map(|case| equipment.system().show(&case.quantity)).collect();
        shown.dedup();
        match (equipment.amounts.contains_key(&amount), &shown[..]) {
            (false, _) => None,
            (true, [one]) => Some(one.clone()),
            (true, _) => Some(format!("the {} of this machine", amount.words())),
        }
    })
}
