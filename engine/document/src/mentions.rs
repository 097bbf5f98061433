//! What the texts of a step are, and which amounts they name.

use crate::model::{Kind, Name, Step};

/// The texts of a step, each with its pointer from the step.
#[must_use]
pub fn texts(step: &Step) -> Vec<(&'static str, &str)> {
    let of_kind = match step.kind() {
        Some(Kind::Wait(wait)) => wait.why.as_deref().map(|why| ("wait/why", why)),
        Some(Kind::Hold(hold)) => Some(("hold/check", hold.check.as_str())),
        Some(Kind::Measure(measure)) => Some(("measure/what", measure.what.as_str())),
        _ => None,
    };
    let common = [("do", &step.act), ("ask", &step.ask), ("note", &step.note), ("expect", &step.expect)];
    let common = common.into_iter().filter_map(|(key, text)| text.as_deref().map(|text| (key, text)));
    common.chain(of_kind).collect()
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
