//! What stands before an act in a terminal: the warnings, what to wear and take, who does it.

use card::hang;
use records::{Act, ActWarning};

/// Width of the text.
const WIDTH: usize = 78;

/// Adds a text, with a label before its first line.
pub(super) fn push(text: &mut String, label: &str, words: &str) {
    for line in hang(label, words, WIDTH) {
        text.push_str(&line);
        text.push('\n');
    }
}

/// Adds a warning.
pub(super) fn push_warning(text: &mut String, indent: &str, warning: &ActWarning) {
    let ActWarning { word, symbol, hazard, consequence, avoid } = warning;
    let symbol = if *symbol { "(!) " } else { "" };
    push(text, &format!("{indent}{symbol}{word}  "), hazard);
    push(text, &format!("{indent}    "), &format!("{consequence} {avoid}"));
}

/// What is read before an act of the equipment.
pub(super) fn before_act(act: &Act, indent: &str) -> String {
    let mut text = String::new();
    for warning in &act.warnings {
        push_warning(&mut text, indent, warning);
    }
    let people = act.people.join(", ");
    let lines = [("Work: ", act.work.clone().unwrap_or_default()), ("People: ", people)];
    let things = [("Wear: ", act.wear.join(", ")), ("Take: ", act.takes.join(", "))];
    for (label, words) in lines.into_iter().chain(things).filter(|(_, words)| !words.is_empty()) {
        push(&mut text, &format!("{indent}{label}"), &words);
    }
    text
}
