//! Methods and units explained at the terminal.

use crate::output;
use calc::methods::{Kind, Method, Presence};
use calc::quantity::{RULE, Unit};
use card::hang;
use std::fmt::Write as _;

/// How a method is asked for.
pub(super) fn example(method: &Method) -> String {
    let inputs = method.example.iter().map(|(name, value)| match value.contains(' ') {
        true => format!("\"{name}={value}\""),
        false => format!("{name}={value}"),
    });
    format!("gatewright amount {} {}", method.name, inputs.collect::<Vec<_>>().join(" "))
}

/// What a method does, takes and rests on.
pub(super) fn explained(method: &Method) -> String {
    let mut text = format!("# {}\n\n{}\n\n", method.name, wide("", method.purpose));
    let _ = writeln!(text, "{}\n\nInputs:", wide("Formula: ", method.formula));
    for input in method.inputs {
        let presence = match input.presence {
            Presence::Required => String::new(),
            Presence::Default(value) => format!("; `{value}` without it"),
            Presence::Optional => "; may be left out".to_owned(),
        };
        let said = format!("{}: {}{presence}", input.meaning, input.range());
        let _ = writeln!(text, "{}", wide(&format!("- {:<13} ", input.name), &said));
    }
    for (name, said) in [("Rounding", method.rounding.to_owned()), ("Source", method.source.to_string())] {
        let _ = writeln!(text, "\n{}", wide(&format!("{name}: "), &said));
    }
    let _ = writeln!(text, "\nFor example:\n\n    {}", example(method));
    if method.inputs.iter().any(|input| !matches!(input.kind, Kind::Word(_) | Kind::Number)) {
        text.push_str("\n`gatewright explain units` lists the units.\n");
    }
    text
}

fn wide(first: &str, text: &str) -> String {
    hang(first, text, output::WIDTH).join("\n")
}

/// Every unit, and how words with more than one meaning are read.
pub(super) fn units() -> String {
    let mut text = String::from("# Units\n\n");
    let mut before = None;
    for unit in Unit::all() {
        let dimension = unit.dimension();
        let comma = if before == Some(dimension) { ", " } else { "" };
        if before != Some(dimension) {
            let end = if before.is_some() { "\n" } else { "" };
            let _ = write!(text, "{end}{:<24}", format!("{dimension}:"));
            before = Some(dimension);
        }
        let _ = write!(text, "{comma}{}", unit.symbol());
    }
    let _ = writeln!(text, "\n\n{}", wide("", RULE));
    text.push_str("Factors are exact: NIST SP 811 (2008), appendix B.8. Upper and lower case differ.\n");
    text
}
