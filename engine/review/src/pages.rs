//! The officer's pages as single files for a browser. The caller writes them; the same input gives the same bytes.

mod comparison;
mod desk;
mod library;

pub use comparison::comparison;
pub use desk::Desk;
pub use library::{Listed, library};

use minijinja::value::{Serde, Value};
use minijinja::{AutoEscape, Environment, UndefinedBehavior, context};
use serde::Serialize;

/// More work than any page needs, and far less than anybody waits for.
const FUEL: u64 = 5_000_000;
const STYLE: &str = include_str!("../templates/style.css");

/// Why a page cannot be laid out: a fault of the templates, never of a document.
pub type PageError = minijinja::Error;

fn render<T: Serialize>(name: &str, page: &T) -> Result<String, PageError> {
    let mut environment = Environment::new();
    environment.set_undefined_behavior(UndefinedBehavior::Strict);
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.set_fuel(Some(FUEL));
    environment.add_template("parts.html", include_str!("../templates/parts.html"))?;
    environment.add_template("comparison.html", include_str!("../templates/comparison.html"))?;
    environment.add_template("desk.html", include_str!("../templates/desk.html"))?;
    environment.add_template("library.html", include_str!("../templates/library.html"))?;
    let template = environment.get_template(name)?;
    template.render(context! { page => Value::from(Serde(page)), style => STYLE })
}
