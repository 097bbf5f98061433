//! The equipment of a made-up procedure as the table that `record.c` works on.

use super::model::{Model, Test, all};
use std::fmt::Write;

/// The table of that name.
pub(crate) fn rig(name: &str, model: &Model) -> String {
    let normals: u32 =
        (0..).zip(&model.conditions).map(|(at, of)| u32::from(of.normal.is_some()) << at).sum();
    let mut text = format!(
        "static const Rig {name} = {{ {}, {normals}, {}, {{",
        model.conditions.len(),
        model.rules.len()
    );
    for condition in &model.conditions {
        let settles = condition.settles.as_ref();
        let (from, to, after) =
            settles.map_or((0, 0, 0), |settles| (1 << settles.from, 1 << settles.to, settles.after));
        let under = settles.and_then(|settles| settles.under.clone()).unwrap_or_default();
        let lost: Vec<String> = condition.lost_when.iter().map(cube).collect();
        let lost = if lost.is_empty() { "{0}".to_owned() } else { lost.join(", ") };
        let _ = write!(
            text,
            " {{ {}, {from}, {to}, {after}, {}, {}, {}, {{ {lost} }} }},",
            all(condition),
            u8::from(condition.hidden),
            cube(&under),
            condition.lost_when.len()
        );
    }
    let rules: Vec<String> = model.rules.iter().map(cube).collect();
    let rules = if rules.is_empty() { "{0}".to_owned() } else { rules.join(", ") };
    text + &format!(" }}, {{ {rules} }} }};\n")
}

fn cube(test: &Test) -> String {
    if test.is_empty() {
        return "{ 0, {0}, {0} }".to_owned();
    }
    let (vars, sets): (Vec<String>, Vec<String>) =
        test.iter().map(|(var, set)| (var.to_string(), set.to_string())).unzip();
    format!("{{ {}, {{ {} }}, {{ {} }} }}", test.len(), vars.join(", "), sets.join(", "))
}
