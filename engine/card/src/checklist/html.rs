//! The checklist as one self-contained HTML file.

use super::model::{Checklist, FULL};
use crate::html::{STYLE, environment, running};
use minijinja::context;
use minijinja::value::{Serde, Value};

/// Lays the checklist out.
///
/// # Errors
/// A fault of the built-in templates, never of the checklist's content.
pub fn html(list: &Checklist) -> Result<String, minijinja::Error> {
    environment()?.get_template("checklist.html")?.render(context! {
        list => Value::from(Serde(list)),
        full => FULL,
        style => STYLE,
        running => running(&list.identity),
    })
}
