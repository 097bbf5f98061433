//! Restricted templates: the names of amounts in double braces, and nothing else.

use document::TemplateFault;
use std::collections::BTreeMap;

/// What may stand in double braces, with what is printed for it.
pub(crate) type Values = BTreeMap<String, String>;

/// Fills the figures in.
pub(super) fn fill(text: &str, values: &Values) -> Result<String, String> {
    match document::template_fault(text, values.keys().map(String::as_str)) {
        Some(TemplateFault { message, help: Some(help) }) => Err(format!("{message}; {help}")),
        Some(TemplateFault { message, help: None }) => Err(message),
        None => Ok(document::filled(text, |amount| values.get(&document::template(amount)).cloned())),
    }
}
