//! Every text of the page stands in the HTML: a template is no code that the compiler could hold to it.

use super::page;
use crate::html::html;
use serde_json::Value;

/// What is in the page for other uses, or drawn: by its key.
const ELSEWHERE: [&str; 5] = ["map", "code", "is", "leaves", "id"];

/// All texts of a value, in small letters, with where they stand.
fn texts(at: &str, value: &Value, found: &mut Vec<(String, String)>) {
    match value {
        Value::String(text) => found.push((at.to_owned(), text.to_lowercase())),
        Value::Array(all) => all.iter().for_each(|one| texts(at, one, found)),
        Value::Object(fields) => {
            for (key, one) in fields.iter().filter(|(key, _)| !ELSEWHERE.contains(&key.as_str())) {
                texts(&format!("{at}/{key}"), one, found);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) => {}
    }
}

#[test]
fn every_text_of_the_page_stands_in_the_html() {
    let mut found = Vec::new();
    texts("", &serde_json::to_value(page()).unwrap(), &mut found);
    assert!(found.len() > 150, "only {} texts are looked for", found.len());
    let mut shown = html(&page()).unwrap().to_lowercase();
    for (written, letter) in [
        ("&lt;", "<"),
        ("&gt;", ">"),
        ("&quot;", "\""),
        ("&#39;", "'"),
        ("&#x27;", "'"),
        ("&#x2f;", "/"),
        ("&amp;", "&"),
    ] {
        shown = shown.replace(written, letter);
    }
    for (at, text) in &found {
        assert!(shown.contains(text), "`{text}` of {at} is not in the card");
    }
}
