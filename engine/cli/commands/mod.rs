//! One file a command.

pub(crate) mod amount;
pub(crate) mod approve;
pub(crate) mod card;
pub(crate) mod certificate;
pub(crate) mod check;
mod clauses;
pub(crate) mod compare;
mod due;
pub(crate) mod explain;
mod head;
mod in_force;
mod interview;
pub(crate) mod leave;
pub(crate) mod list;
pub(crate) mod matrix;
mod method;
pub(crate) mod people;
pub(crate) mod record;
#[cfg(feature = "web")]
mod reread;
pub(crate) mod resume;
pub(crate) mod review;
mod screen;
mod second;
#[cfg(feature = "web")]
pub(crate) mod serve;
mod told;
mod verdicts;
pub(crate) mod walk;
mod watch;
mod way_out;
mod words;

use crate::budget::Budget;
use crate::{files, jobs};
use document::model::Name;
use std::path::PathBuf;

/// Reads and checks with the default budget.
fn read_and_check(from: &[PathBuf]) -> anyhow::Result<::check::Report> {
    budget().spend(jobs::read(&files::read_all(from)?))
}

/// What may be spent on each procedure where nobody says.
fn budget() -> Budget {
    Budget { states: 2_000_000, seconds: 60 }
}

/// The procedures that were asked for: all that were read, or those named.
fn named(report: &::check::Report, names: &[String], all: bool) -> anyhow::Result<Vec<Name>> {
    if all {
        return Ok(report.procedures.iter().map(|checked| checked.procedure.clone()).collect());
    }
    let names: Vec<Name> = names.iter().map(|name| Name::from(name.as_str())).collect();
    for name in &names {
        if !report.procedures.iter().any(|checked| checked.procedure == *name) {
            return Err(unknown(&report.library, name));
        }
    }
    Ok(names)
}

/// The document of a procedure, or who else it may have been meant.
fn find<'a>(
    library: &'a document::Library,
    name: &str,
) -> anyhow::Result<&'a document::Document<document::model::Procedure>> {
    library.procedures.get(name).ok_or_else(|| unknown(library, name))
}

/// That no procedure can be used by that name.
fn unknown(library: &document::Library, name: &str) -> anyhow::Error {
    if library.left_out().any(|left_out| left_out == name) {
        return anyhow::anyhow!("the document of `{name}` has errors and cannot be used; `check` tells them");
    }
    let known = library.procedures.keys().map(|name| &**name).chain(library.left_out());
    let near = calc::nearest(name, known).map(|near| format!("; did you mean `{near}`?"));
    anyhow::anyhow!("no procedure is named `{name}`{}", near.unwrap_or_default())
}

/// Prints the errors that keep a procedure from being issued.
fn tell_errors(report: &::check::Report, procedure: &str) -> anyhow::Result<()> {
    let style = ::card::report::Style { colour: crate::output::colour(), width: crate::output::WIDTH };
    let errors = report.errors_of(procedure);
    crate::output::say(&::card::report::text(&report.library.sources, &errors, style))
}
