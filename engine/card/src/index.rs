//! The page at which a reviewer of many cards begins: every procedure with its standing and its files.

use crate::html::{STYLE, environment};
use minijinja::context;
use minijinja::value::{Serde, Value};
use serde::Serialize;

/// One procedure in the list.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Entry {
    /// What people call it.
    pub title: String,
    /// Its name, and that of its folder beside the list.
    pub id: String,
    /// Its revision.
    pub revision: u32,
    /// What people call the equipment.
    pub equipment: String,
    /// "NOT APPROVED", or who approved it and when.
    pub standing: String,
    /// Whether `standing` is an approval.
    pub approved: bool,
    /// The names of its files.
    pub files: Vec<String>,
}

/// Lays the list out.
///
/// # Errors
/// A fault of the built-in templates, never of the entries.
pub fn html(entries: &[Entry]) -> Result<String, minijinja::Error> {
    let entries: Vec<Value> = entries.iter().map(|entry| Value::from(Serde(entry))).collect();
    environment()?.get_template("index.html")?.render(context! { entries => entries, style => STYLE })
}

#[cfg(test)]
mod tests {
    use super::{Entry, html};

    #[test]
    fn every_file_is_a_link_and_nothing_else_acts() {
        let entry = Entry {
            title: "Look <b> at it".into(),
            id: "look".into(),
            revision: 2,
            equipment: "Pump".into(),
            standing: "NOT APPROVED".into(),
            approved: false,
            files: vec!["card.html".into(), "map.svg".into()],
        };
        let shown = html(&[entry]).expect("laid out");
        assert!(shown.contains("<a href=\"look/card.html\">card.html</a>"), "{shown}");
        assert!(shown.contains("Look &lt;b&gt; at it") && shown.contains("NOT APPROVED"));
        assert_eq!(shown.matches("href=").count(), 2);
    }
}
