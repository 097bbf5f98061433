//! A comparison as text and as data.

use super::change::{Change, Group};
use super::{Comparison, Side};
use document::Place;
use serde::Serialize;
use std::fmt::Write as _;

/// For programs.
#[derive(Serialize)]
struct Json<'a> {
    procedure: &'a str,
    old_revision: u32,
    new_revision: u32,
    class: &'static str,
    states_compared: bool,
    changes: Vec<JsonChange<'a>>,
}

#[derive(Serialize)]
struct JsonChange<'a> {
    group: &'static str,
    class: &'static str,
    what: &'static str,
    message: &'a str,
    old: Option<JsonPlace<'a>>,
    new: Option<JsonPlace<'a>>,
    trace: &'a [String],
}

#[derive(Serialize)]
struct JsonPlace<'a> {
    file: &'a str,
    line: usize,
    column: usize,
}

/// What a reader is told where states were not compared.
pub(crate) const NOT_COMPARED: &str = "The states that runs can come to were not compared: \
     a revision has errors, or the search reached its limit.";

impl Comparison {
    /// As plain text.
    #[must_use]
    pub fn text(&self, old: &Side<'_>, new: &Side<'_>) -> String {
        let mut text = String::new();
        let model = &new.procedure.model;
        let _ = writeln!(
            text,
            "{} revision {} to revision {}: {}",
            model.procedure,
            old.procedure.model.revision,
            model.revision,
            self.summary()
        );
        if !self.states_compared {
            let _ = writeln!(text, "{NOT_COMPARED}");
        }
        let mut last: Option<Group> = None;
        for change in &self.changes {
            if last != Some(change.group) {
                last = Some(change.group);
                let _ = writeln!(text, "\n{}", change.group.word());
            }
            let _ = writeln!(text, "  {}: {}: {}", change.class.word(), change.what.words(), change.message);
            for (word, side, place) in [("before", old, &change.old), ("now", new, &change.new)] {
                if let Some(place) = place {
                    let _ = writeln!(text, "    {word:6} {}", shown(side, place));
                }
            }
            for line in &change.trace {
                let _ = writeln!(text, "      {line}");
            }
        }
        text
    }

    /// What the differences come to, in a few words.
    #[must_use]
    pub fn summary(&self) -> String {
        if !self.touches_safety() {
            return "no safety change".to_owned();
        }
        let count = |class| {
            self.changes.iter().filter(|one| one.group == Group::Safety && one.class == class).count()
        };
        format!(
            "{}; {} weakened, {} strengthened, {} neutral",
            self.class().word(),
            count(super::Class::Weakened),
            count(super::Class::Strengthened),
            count(super::Class::Neutral)
        )
    }

    /// As JSON.
    ///
    /// # Errors
    /// Never for a comparison made by this crate.
    pub fn json(&self, old: &Side<'_>, new: &Side<'_>) -> Result<String, serde_json::Error> {
        let model = &new.procedure.model;
        let json = Json {
            procedure: &model.procedure,
            old_revision: old.procedure.model.revision,
            new_revision: model.revision,
            class: self.class().word(),
            states_compared: self.states_compared,
            changes: self.changes.iter().map(|change| row(change, old, new)).collect(),
        };
        Ok(serde_json::to_string_pretty(&json)? + "\n")
    }
}

fn row<'a>(change: &'a Change, old: &Side<'a>, new: &Side<'a>) -> JsonChange<'a> {
    let place = |side: &Side<'a>, place: &Option<Place>| {
        place.as_ref().map(|place| {
            let (file, at) = side.shown(place);
            JsonPlace { file, line: at.line, column: at.column }
        })
    };
    JsonChange {
        group: change.group.word(),
        class: change.class.word(),
        what: change.what.words(),
        message: &change.message,
        old: place(old, &change.old),
        new: place(new, &change.new),
        trace: &change.trace,
    }
}

/// "tip-swap.yaml:31:5".
pub(crate) fn shown(side: &Side<'_>, place: &Place) -> String {
    let (file, at) = side.shown(place);
    format!("{file}:{}:{}", at.line, at.column)
}
