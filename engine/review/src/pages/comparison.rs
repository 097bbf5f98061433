//! What changed, as a page.

use super::{PageError, render};
use crate::compare::{Change, Class, Comparison, Group, NOT_COMPARED, Side, shown};
use document::SourceId;
use serde::Serialize;

#[derive(Serialize)]
struct Page<'a> {
    title: &'a str,
    id: &'a str,
    summary: String,
    weakened: bool,
    old_revision: u32,
    new_revision: u32,
    old_file: &'a str,
    new_file: &'a str,
    not_compared: Option<&'static str>,
    groups: Vec<Rows<'a>>,
}

/// The differences of one group.
#[derive(Serialize)]
pub(crate) struct Rows<'a> {
    title: &'static str,
    rows: Vec<Row<'a>>,
}

#[derive(Serialize)]
struct Row<'a> {
    class: &'static str,
    what: &'static str,
    message: &'a str,
    old: Option<String>,
    new: Option<String>,
    trace: &'a [String],
}

/// What changed between two revisions, safety first.
///
/// # Errors
/// Only for a fault of the templates.
pub fn comparison(comparison: &Comparison, old: &Side<'_>, new: &Side<'_>) -> Result<String, PageError> {
    fn file<'a>(side: &Side<'a>) -> &'a str {
        let SourceId(at) = side.procedure.source;
        &side.library.sources[at as usize].name
    }
    let model = &new.procedure.model;
    let page = Page {
        title: &model.title,
        id: &model.procedure,
        summary: comparison.summary(),
        weakened: comparison.class() == Class::Weakened,
        old_revision: old.procedure.model.revision,
        new_revision: model.revision,
        old_file: file(old),
        new_file: file(new),
        not_compared: (!comparison.states_compared).then_some(NOT_COMPARED),
        groups: rows(comparison, old, new),
    };
    render("comparison.html", &page)
}

/// The differences group by group.
pub(crate) fn rows<'a>(comparison: &'a Comparison, old: &Side<'_>, new: &Side<'_>) -> Vec<Rows<'a>> {
    let row = |change: &'a Change| Row {
        class: change.class.word(),
        what: change.what,
        message: &change.message,
        old: change.old.as_ref().map(|place| shown(old, place)),
        new: change.new.as_ref().map(|place| shown(new, place)),
        trace: &change.trace,
    };
    let group = |group: Group, title: &'static str| Rows {
        title,
        rows: comparison.changes.iter().filter(|change| change.group == group).map(row).collect(),
    };
    vec![group(Group::Safety, "Safety"), group(Group::Figures, "Figures"), group(Group::Wording, "Wording")]
}
