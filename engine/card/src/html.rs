//! The page as one self-contained HTML file, for a screen and for paper: no scripts, nothing fetched from elsewhere.

use crate::diagram::svg_inline;
use crate::page::{Diagram, Identity, NOT_BY_HAND, Page, Stop};
use crate::prose::Prose;
use minijinja::value::{Serde, Value};
use minijinja::{AutoEscape, Environment, context};
use std::fmt::Write;

const TEMPLATES: [(&str, &str); 10] = [
    ("card.html", include_str!("../templates/card.html")),
    ("hazards.html", include_str!("../templates/hazards.html")),
    ("index.html", include_str!("../templates/index.html")),
    ("checklist.html", include_str!("../templates/checklist.html")),
    ("matrix.html", include_str!("../templates/matrix.html")),
    ("page.html", include_str!("../templates/page.html")),
    ("parts.html", include_str!("../templates/parts.html")),
    ("sheet.html", include_str!("../templates/sheet.html")),
    ("sheet-parts.html", include_str!("../templates/sheet-parts.html")),
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
    environment()?.get_template("page.html")?.render(context! {
        style => STYLE,
        running => running(&page.identity),
        ..card_values(page)
    })
}

/// What the body of a card is filled with.
pub(crate) fn card_values(page: &Page) -> Value {
    let looks_head = page.stop.as_ref().map(Stop::looks_head);
    context! { page => Value::from(Serde(page)), map => map(page), looks_head, not_by_hand => NOT_BY_HAND }
}

/// The built-in templates, which escape everything that is not marked as HTML.
pub(crate) fn environment() -> Result<Environment<'static>, minijinja::Error> {
    let mut environment = Environment::new();
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.add_function("drawing", |drawing: Serde<Diagram>, key: &str| svg_inline(&drawing, key));
    environment.add_filter("prose", |prose: Serde<Prose>| Value::from_safe_string(prose.html()));
    for (name, source) in TEMPLATES {
        environment.add_template(name, source)?;
    }
    Ok(environment)
}

/// The map's drawings, its legend and its words.
fn map(page: &Page) -> Value {
    let columns = page.map.columns.len();
    let drawing = |(at, column)| crate::map::column_svg(column, &format!("Map, column {at} of {columns}"));
    let drawings: Vec<String> = (1..).zip(&page.map.columns).map(drawing).collect();
    let legend: Vec<(String, &str)> =
        page.map.legend.iter().map(|(shape, word)| (crate::map::sample(*shape), *word)).collect();
    context! { columns => drawings, legend => legend, lines => crate::map::lines(&page.map) }
}

/// The texts in the margins of every printed page: what it is, its standing, its content, and its number.
pub(crate) fn running(identity: &Identity) -> String {
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
