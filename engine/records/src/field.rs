//! What walks tell of each procedure: its last walks, and what was said and found at its steps.

use crate::time::time;
use crate::walks::Walked;
use std::collections::BTreeMap;
use walk::FieldRemark;

/// What came back from the field of one procedure.
#[derive(Clone, Debug, Default, PartialEq, Eq)]
pub struct FieldLines {
    /// Its walks, a line each.
    pub walks: Vec<String>,
    /// Remarks by step, in the order in which they were made.
    pub steps: BTreeMap<String, Vec<String>>,
}

/// What these walks tell, procedure by procedure; the latest comes first if it is given first.
pub fn field<'a>(
    walks: impl IntoIterator<Item = (&'a Walked, Vec<FieldRemark>)>,
) -> BTreeMap<String, FieldLines> {
    let mut field: BTreeMap<String, FieldLines> = BTreeMap::new();
    for (walk, remarks) in walks {
        let one = field.entry(walk.procedure.clone()).or_default();
        let training = if walk.training { ", training" } else { "" };
        let Walked { person, serial, standing, .. } = walk;
        one.walks.push(format!("{}: {person}, {serial}, {standing}{training}", time(walk.first_ms)));
        for FieldRemark { step, text } in remarks {
            one.steps.entry(step).or_default().push(text);
        }
    }
    field
}
