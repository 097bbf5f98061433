//! A text that states a figure agrees with the amount that its step uses.
//!
//! A step *uses* an amount that its texts name (`{{ purge_time }}`) or that its wait or limits refer to
//! (`$purge-time`). In the texts of such a step every figure of the amount's dimension counts. It agrees if, for each
//! variant in which the step is done, it is the amount itself or one of the figures that belong to it: what it is
//! worked out from, and what is worked out along with it. Other texts and other dimensions do not count.

use super::scope::Scope;
use crate::codes::A05;
use crate::diagnostic::Diagnostic;
use crate::figures::Case;
use crate::mentions::{Shown, Text, names, template, texts_of_step};
use crate::model::{Cube, Figure, Name, Step};
use crate::places::pointer;
use calc::quantity::{Quantity, Unit};
use std::cmp::Ordering;
use std::rc::Rc;

/// Every step of a list, and of the lists inside it. `only` holds what limits the lists around them.
pub(super) fn check<'a>(scope: &mut Scope<'_>, at: &str, steps: &'a [Step], only: &mut Vec<&'a Cube>) {
    for (index, step) in steps.iter().enumerate() {
        let at = pointer(at, index);
        only.push(&step.common.only);
        of_step(scope, &at, step, only);
        if let Some((segment, inner)) = step.inner() {
            check(scope, &format!("{at}{segment}"), inner, only);
        }
        only.pop();
    }
}

fn of_step(scope: &mut Scope<'_>, at: &str, step: &Step, only: &[&Cube]) {
    let texts: Vec<Text<'_>> = texts_of_step(step);
    let texts: Vec<(&str, &str)> =
        texts.iter().filter(|text| text.shown == Shown::Filled).map(|text| (&*text.at, text.text)).collect();
    let amounts: Vec<(Name, Vec<Case>)> = used(scope, step, &texts)
        .into_iter()
        .filter_map(|name| {
            let cases = scope.quiet_cases(&name)?;
            let admitted = cases.iter().filter(|case| admits(only, case)).cloned().collect();
            Some((name, admitted))
        })
        .collect();
    if amounts.is_empty() {
        return;
    }
    for (key, text) in &texts {
        for figure in figures(text) {
            let mut alike = amounts
                .iter()
                .filter(|(_, cases)| cases.iter().any(|case| case.quantity.dimension() == figure.dimension()))
                .peekable();
            let Some((name, cases)) = alike.peek().copied() else { continue };
            if alike.any(|(_, cases)| cases.iter().all(|case| agrees(&figure, case))) {
                continue;
            }
            let place = scope.at(&format!("{at}/{key}"));
            let message =
                format!("the text says `{figure}`, where the amount `{name}` is {}", figures_of(cases));
            let template = template(name);
            let help = format!("write `{{{{ {template} }}}}` instead, which is filled in for each machine");
            scope.tell(Diagnostic::error(A05, place, message).help(help));
        }
    }
}

fn used(scope: &Scope<'_>, step: &Step, texts: &[(&str, &str)]) -> Vec<Name> {
    let figures = step.kind.figures();
    let own = scope.procedure.map(|procedure| &procedure.amounts);
    let known = own.into_iter().chain([&scope.equipment.model.amounts]).flat_map(|amounts| amounts.keys());
    let is_used = |name: &&Name| {
        figures.iter().any(|figure| figure.reference() == Some(*name))
            || texts.iter().any(|(_, text)| names(text, name))
    };
    known.filter(is_used).cloned().collect()
}

fn admits(only: &[&Cube], case: &Case) -> bool {
    case.variants.iter().all(|(variant, value)| {
        only.iter().filter_map(|cube| cube.get(variant)).all(|values| values.0.contains(value))
    })
}

fn agrees(figure: &Quantity, case: &Case) -> bool {
    let is = |other: &Quantity| figure.compare(other) == Ok(Ordering::Equal);
    let worked = case.worked.iter();
    is(&case.quantity)
        || worked.clone().any(|worked| worked.also.iter().any(|(_, other)| is(other)))
        || worked.flat_map(|worked| &worked.inputs).any(|(_, value)| value.quantity().is_some_and(is))
}

/// The figures of an amount, each with the variants it is for.
fn figures_of(cases: &[Case]) -> String {
    let mut told: Vec<String> = Vec::new();
    for case in cases {
        let variants: Vec<String> =
            case.variants.iter().map(|(name, value)| format!("{} {value}", name.words())).collect();
        let for_variants =
            if variants.is_empty() { String::new() } else { format!(" for {}", variants.join(", ")) };
        told.push(format!("`{}`{for_variants}", case.quantity));
    }
    const SHOWN: usize = 3;
    let more = told.len().saturating_sub(SHOWN);
    told.truncate(SHOWN);
    let rest = if more > 0 { format!(" and {more} more") } else { String::new() };
    format!("{}{rest}", told.join(", "))
}

/// The figures with a unit in a text, outside its templates.
fn figures(text: &str) -> Vec<Quantity> {
    let mut found = Vec::new();
    for piece in text.split("{{").enumerate().map(|(at, piece)| match at {
        0 => piece,
        _ => piece.split_once("}}").map_or("", |(_, after)| after),
    }) {
        let mut rest = piece;
        let mut before = ' ';
        while let Some(first) = rest.chars().next() {
            let starts = first.is_ascii_digit() && !before.is_alphanumeric() && before != '.';
            let (length, figure) = if starts { read(rest) } else { (first.len_utf8(), None) };
            found.extend(figure);
            before = rest[..length].chars().next_back().unwrap_or(' ');
            rest = &rest[length..];
        }
    }
    found
}

/// The figure at the beginning of a text, and how much of the text its digits take.
fn read(text: &str) -> (usize, Option<Quantity>) {
    let digits = text.find(|letter: char| !(letter.is_ascii_digit() || letter == '.')).unwrap_or(text.len());
    let (figure, rest) = text.split_at(digits);
    let words: Vec<&str> = rest.split_whitespace().take(3).collect();
    let quantity = (1..=words.len()).rev().find_map(|count| {
        let unit = words[..count].join(" ");
        let unit = unit.trim_end_matches(['.', ',', ';', ':', ')', '!', '?', '*', '_', '"', '\'']);
        // "Lay 4 in the tray" is no length.
        let is_word =
            unit == "in" && words.get(count).is_some_and(|next| next.starts_with(char::is_alphabetic));
        if is_word || Unit::parse(unit).is_err() {
            return None;
        }
        Quantity::parse(&format!("{} {unit}", figure.trim_end_matches('.'))).ok()
    });
    (digits, quantity)
}

impl Scope<'_> {
    /// The cases of an amount; none if it has none, which is told elsewhere.
    fn quiet_cases(&mut self, name: &Name) -> Option<Rc<[Case]>> {
        if let Some(cases) = self.worked.get(name) {
            return Some(cases.clone());
        }
        let figure = Figure::Amount(name.clone());
        let cases: Rc<[Case]> =
            crate::figures::figure_cases(&self.equipment.model, self.procedure, &figure).ok()?.into();
        self.worked.insert(name.clone(), cases.clone());
        Some(cases)
    }
}

#[cfg(test)]
mod tests {
    use super::figures;

    fn shown(text: &str) -> Vec<String> {
        figures(text).iter().map(ToString::to_string).collect()
    }

    #[test]
    fn figures_are_found_where_people_write_them() {
        assert_eq!(shown("Hold it for 45 s, then 2 min 30 s."), ["45 s", "2 min", "30 s"]);
        assert_eq!(shown("Pour 2.5 L of water (0.66 US gal)."), ["2.5 L", "0.66 US gal"]);
        assert_eq!(shown("**1.2 N·m** with 4mm bits"), ["1.2 N·m", "4 mm"]);
        assert_eq!(shown("The gauge reads 0 kPa."), ["0 kPa"]);
        assert_eq!(shown("a floor of 3 m by 3 m"), ["3 m", "3 m"]);
    }

    #[test]
    fn other_figures_are_left_alone() {
        for text in [
            "Lay 4 in the tray.",
            "Take all 7 screws.",
            "Tighten M6 and R2.5 as in 3.",
            "Step 12",
            "{{ purge_time }} and {{ 45 s }}",
            "version 1.2.3 s",
        ] {
            assert_eq!(shown(text), Vec::<String>::new(), "{text}");
        }
    }
}
