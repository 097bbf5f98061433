//! `amount`: works one figure out at the terminal.

use super::method;
use crate::arguments::Amount;
use crate::exit::Exit;
use crate::output;
use anyhow::{Result, bail};
use calc::methods::{Method, Worked, method as find, methods};
use calc::quantity::{Dimension, Duration, Quantity};
use card::hang;
use std::collections::BTreeMap;
use std::fmt::Write as _;

pub(crate) fn run(options: &Amount) -> Result<Exit> {
    let Some(name) = &options.method else {
        let mut list = String::new();
        for method in methods() {
            let lines = hang(&format!("{:<20}", method.name), method.purpose, output::WIDTH);
            let _ = writeln!(list, "{}", lines.join("\n"));
        }
        output::say(&list)?;
        return Ok(Exit::Clean);
    };
    let method = find(name)?;
    let (mut inputs, mut told) = (BTreeMap::new(), Vec::new());
    for text in &options.inputs {
        let Some((name, value)) = text.split_once('=') else {
            bail!("`{text}` is no input; write `name=value`, such as `{}`", method::example(method));
        };
        let (name, value) = (name.trim(), value.trim());
        if inputs.insert(name.to_owned(), method.read(name, value)?).is_some() {
            bail!("`{name}` is given twice; give it once");
        }
        told.extend(Quantity::how_read(value));
    }
    let worked = method.work(&inputs)?;
    output::say(&lay_out(method, &worked, &told))?;
    Ok(Exit::Clean)
}

fn lay_out(method: &Method, worked: &Worked, told: &[String]) -> String {
    let mut text = String::new();
    let mut line = |name: &str, said: &str| {
        let _ = writeln!(text, "{}", hang(&format!("{name:<12}"), said, output::WIDTH).join("\n"));
    };
    line("method", method.name);
    for (name, value) in &worked.inputs {
        line("", &format!("{name} = {value}"));
    }
    for one in told {
        line("note", one);
    }
    line("formula", worked.formula);
    for one in &worked.lines {
        line("working", one);
    }
    line("result", &shown(&worked.result));
    for (name, quantity) in &worked.also {
        line("", &format!("{} = {quantity}", name.replace('_', " ")));
    }
    line("rounding", worked.rounding);
    line("source", &worked.source.to_string());
    text
}

/// A time also as a timer shows it.
fn shown(quantity: &Quantity) -> String {
    let timer = Duration::from_quantity(quantity).map(|time| time.to_string());
    match timer {
        Ok(timer) if quantity.dimension() == Dimension::Time && timer != quantity.to_string() => {
            format!("{quantity} ({timer})")
        }
        _ => quantity.to_string(),
    }
}
