//! All procedures with their standing, and what came back from the field.

use super::{PageError, render};
use serde::Serialize;

/// One procedure in the list.
#[derive(Clone, Debug, Serialize)]
pub struct Listed {
    /// Its name.
    pub id: String,
    /// What people call it.
    pub title: String,
    /// Its revision.
    pub revision: u32,
    /// How it stands, in two or three words.
    pub word: &'static str,
    /// The same with what there is to say of it.
    pub sentence: String,
    /// Whether it is approved.
    pub good: bool,
    /// The last day of its approval.
    pub until: Option<String>,
    /// Open findings, counted in words.
    pub findings: String,
    /// Its last walks, latest first: a line each.
    pub walks: Vec<String>,
    /// What came back from the field, by step in the order of the procedure: the step, and what was said or found.
    pub field: Vec<(String, Vec<String>)>,
}

#[derive(Serialize)]
struct Page<'a> {
    on: &'a str,
    procedures: &'a [Listed],
    left_out: &'a [String],
}

/// The library as one file for a browser: `on` is the day by which approvals were judged, `left_out` what cannot be used.
///
/// # Errors
/// Only for a fault of the templates.
pub fn library(on: &str, procedures: &[Listed], left_out: &[String]) -> Result<String, PageError> {
    render("library.html", &Page { on, procedures, left_out })
}
