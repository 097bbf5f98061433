//! Restricted templates: the names of amounts in double braces, and nothing else.

use std::collections::BTreeMap;

/// What may stand in double braces, with what is printed for it.
pub(crate) type Values = BTreeMap<String, String>;

/// How an amount is written in a text: `purge-time` as `purge_time`.
pub(crate) fn key(amount: &str) -> String {
    amount.replace('-', "_")
}

/// Fills the figures in.
pub(super) fn fill(text: &str, values: &Values) -> Result<String, String> {
    names_only(text, values)?;
    Ok(document::filled(text, |amount| values.get(&key(amount)).cloned()))
}

/// Refuses everything that the template language offers beyond names, so that no text can compute, loop or grow.
fn names_only(text: &str, values: &Values) -> Result<(), String> {
    for mark in ["{%", "{#"] {
        if text.contains(mark) {
            return Err(format!("`{mark}` has no meaning here: only `{{{{ amount }}}}` is filled in"));
        }
    }
    for piece in text.split("{{").skip(1) {
        let Some((name, _)) = piece.split_once("}}") else {
            return Err("`{{` is not followed by `}}`".to_owned());
        };
        let name = name.trim();
        if values.contains_key(name) {
            continue;
        }
        if values.contains_key(&key(name)) {
            return Err(format!("write `{}` in double braces, not `{name}`", key(name)));
        }
        if name.is_empty()
            || !name.chars().all(|letter| letter.is_ascii_alphanumeric() || "_-".contains(letter))
        {
            return Err("only the name of an amount may stand in double braces".to_owned());
        }
        let known: Vec<&str> = values.keys().map(String::as_str).collect();
        let hint = match calc::nearest(name, known.iter().copied()) {
            Some(near) => format!("; did you mean `{near}`?"),
            None if known.is_empty() => "; no amounts are declared".to_owned(),
            None => format!("; known here: `{}`", known.join("`, `")),
        };
        return Err(format!("no amount is named `{name}`{hint}"));
    }
    Ok(())
}
