//! C04: the emergency text names no help.

use crate::writing::text::Role;
use crate::writing::{Found, Writing};

pub(crate) const CODE: &str = "C04";

pub(crate) fn findings(writing: &Writing<'_>) -> Vec<Found> {
    let help = [
        "call",
        "tell",
        "help",
        "doctor",
        "ambulance",
        "phone",
        "alarm",
        "medical",
        "notify",
        "ring",
        "inform",
        "report",
    ];
    let mut texts = writing.texts.iter().filter(|text| text.role == Role::Emergency);
    let Some(text) = texts.find(|text| !text.words().any(|word| help.contains(&&*word.lower))) else {
        return Vec::new();
    };
    vec![
        writing
            .advice(CODE, &text.at, "the emergency text names no help")
            .help("say whom to call, and where"),
    ]
}
