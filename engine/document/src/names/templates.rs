//! What stands in double braces in a text is an amount, and the text is one that is filled in.

use super::scope::Scope;
use crate::codes::A08;
use crate::diagnostic::Diagnostic;
use crate::mentions::{Shown, TemplateFault, Text, template, template_fault};

/// Every text of a document, in its order.
pub(super) fn check<'a>(scope: &mut Scope<'_>, texts: impl IntoIterator<Item = Text<'a>>) {
    let own = scope.procedure.map(|procedure| &procedure.amounts);
    let amounts = own.into_iter().chain([&scope.equipment.model.amounts]).flat_map(|amounts| amounts.keys());
    let known: Vec<String> = amounts.map(|name| template(name)).collect();
    for text in texts {
        // Most texts have no braces at all.
        if !text.text.contains('{') {
            continue;
        }
        let fault = match text.shown {
            Shown::Filled => template_fault(text.text, known.iter().map(String::as_str)),
            Shown::AsWritten => text.text.contains("{{").then(|| TemplateFault {
                message: "`{{` is shown as it stands: nothing is filled in here".to_owned(),
                help: Some("write the figure out, or name the amount in a text of a step".to_owned()),
            }),
        };
        let Some(TemplateFault { message, help }) = fault else { continue };
        let place = if text.key { scope.at_key(&text.at) } else { scope.at(&text.at) };
        scope.tell_with(Diagnostic::error(A08, place, message), || help);
    }
}
