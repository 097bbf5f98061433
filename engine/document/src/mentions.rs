//! What the texts of a step are, and which amounts they name.

use crate::model::{Kind, Name, Step};

/// The texts of a step, each with its pointer from the step.
#[must_use]
pub fn texts(step: &Step) -> Vec<(&'static str, &str)> {
    let note = [("note", &step.common.note), ("expect", &step.common.expect)];
    let mut texts: Vec<_> =
        note.into_iter().filter_map(|(key, text)| text.as_deref().map(|text| (key, text))).collect();
    match &step.kind {
        Kind::Do(act) => texts.insert(0, ("do", act)),
        Kind::Ask(question) => texts.insert(0, ("ask", &question.text)),
        Kind::Wait(wait) => texts.extend(wait.why.as_deref().map(|why| ("wait/why", why))),
        Kind::Hold(hold) => texts.push(("hold/check", &hold.check)),
        Kind::Measure(measure) => texts.push(("measure/what", &measure.what)),
        Kind::Action(_)
        | Kind::Confirm(_)
        | Kind::Fasten(_)
        | Kind::AnyOrder(_)
        | Kind::Repeat(_)
        | Kind::Perform(_) => {}
    }
    texts
}

/// A text with its figures filled in: `{{ purge_time }}` by what is given for the amount `purge-time`. What is given
/// nothing for stays as it stands.
#[must_use]
pub fn filled(text: &str, figure: impl Fn(&str) -> Option<String>) -> String {
    let mut pieces = text.split("{{");
    let mut filled = pieces.next().unwrap_or_default().to_owned();
    for piece in pieces {
        let named = piece.split_once("}}");
        match named.and_then(|(name, rest)| Some((figure(&name.trim().replace('_', "-"))?, rest))) {
            Some((figure, rest)) => filled.extend([&figure, rest]),
            None => filled.extend(["{{", piece]),
        }
    }
    filled
}

/// Whether a text names the amount, as in `{{ purge_time }}`.
pub(crate) fn names(text: &str, amount: &Name) -> bool {
    let template = amount.replace('-', "_");
    let named = text.split("{{").skip(1).filter_map(|piece| piece.split_once("}}"));
    named.into_iter().any(|(name, _)| name.trim() == template)
}
