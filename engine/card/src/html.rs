//! The page as one self-contained HTML file, for a screen and for paper: no scripts, nothing fetched from elsewhere.

use crate::page::Page;
use minijinja::value::{Serde, Value};
use minijinja::{AutoEscape, Environment, context};
use std::fmt::Write;

const TEMPLATES: [(&str, &str); 3] = [
    ("page.html", include_str!("../templates/page.html")),
    ("parts.html", include_str!("../templates/parts.html")),
    ("steps.html", include_str!("../templates/steps.html")),
];
pub(crate) const STYLE: &str = include_str!("../templates/style.css");

/// So many letters of the content's hash stand on every page: enough to tell two revisions apart by eye.
const HASH_SHOWN: usize = 16;

/// Lays the page out.
///
/// # Errors
/// A fault of the built-in templates, never of the page's content.
pub fn html(page: &Page) -> Result<String, minijinja::Error> {
    let mut environment = Environment::new();
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    for (name, source) in TEMPLATES {
        environment.add_template(name, source)?;
    }
    environment
        .get_template("page.html")?
        .render(context! { page => Value::from(Serde(page)), style => STYLE, running => running(page) })
}

/// The texts in the margins of every printed page: what it is, its standing, its content, and its number.
fn running(page: &Page) -> String {
    let identity = &page.identity;
    let hash: String = identity.content.chars().take(HASH_SHOWN).collect();
    let what = format!("{}, revision {}", identity.id, identity.revision);
    let on = format!("{}, revision {}", identity.equipment_id, identity.equipment_revision);
    format!(
        "@page {{
  margin: 17mm 13mm 16mm 18mm;
  font: 10pt \"Liberation Sans\", Arial, Helvetica, sans-serif;
  @top-left {{ content: {}; }}
  @top-center {{ content: {}; }}
  @top-right {{ content: {}; }}
  @bottom-left {{ content: {}; }}
  @bottom-right {{ content: \"Page \" counter(page) \" of \" counter(pages); }}
}}",
        quoted(&what),
        quoted(&on),
        quoted(&identity.standing),
        quoted(&format!("Content {hash}")),
    )
}

/// A CSS string. Everything but letters, digits and spaces is written as its number, so that no text can end it.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        if letter.is_ascii_alphanumeric() || letter == ' ' || letter == ',' {
            quoted.push(letter);
        } else {
            // Writing to a string cannot fail.
            let _ = write!(quoted, "\\{:06x}", letter as u32);
        }
    }
    quoted.push('"');
    quoted
}
