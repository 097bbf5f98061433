//! What every method has to keep, and helpers for each method's own tests.

use super::{Basis, Input, Kind, MethodError, Presence, Source, Value, Worked, method, methods};
use crate::quantity::Quantity;
use std::collections::{BTreeMap, BTreeSet};

pub(crate) fn inputs(pairs: &[(&str, &str)]) -> BTreeMap<String, Value> {
    let read = |text: &str| {
        let figure = Quantity::parse(text).or_else(|_| Quantity::number(text));
        figure.map_or_else(|_| Value::Word(text.into()), Value::Quantity)
    };
    pairs.iter().map(|(name, text)| ((*name).into(), read(text))).collect()
}

pub(crate) fn work(name: &str, pairs: &[(&str, &str)]) -> Worked {
    method(name).unwrap().work(&inputs(pairs)).unwrap_or_else(|error| panic!("{pairs:?}: {error}"))
}

pub(crate) fn refusal(name: &str, inputs: &BTreeMap<String, Value>) -> MethodError {
    method(name).unwrap().work(inputs).unwrap_err()
}

#[test]
fn every_method_says_what_it_is() {
    let mut names = BTreeSet::new();
    for method in methods() {
        assert!(names.insert(method.name), "`{}` is listed twice", method.name);
        for text in [method.purpose, method.formula, method.rounding] {
            assert!(!text.trim().is_empty(), "`{}` leaves something unsaid", method.name);
        }
        let worked = work(method.name, method.example);
        assert!(!worked.lines.is_empty(), "`{}` shows no working", method.name);
        for input in method.inputs {
            assert!(!input.range().is_empty() && !input.meaning.is_empty(), "{}", input.name);
            input.unit().unwrap();
        }
    }
}

/// What a card prints as a source is a text with a title, or says itself that nobody published it.
#[test]
fn every_method_rests_on_something_published() {
    for method in methods() {
        let Basis { sources, holds } = method.source;
        assert!(sources.iter().any(|source| source.kind.mark().is_some()), "`{}`", method.name);
        for Source { says, .. } in sources {
            assert!(says.len() > 10 && !says.ends_with('.'), "`{}`: {says}", method.name);
            assert!(!names_an_address(says), "`{}`: {says}", method.name);
        }
        assert!(holds.is_empty() || holds.ends_with('.'), "`{}`: {holds}", method.name);
    }
    let shown = method("line-purge").unwrap().source.to_string();
    assert!(
        shown.starts_with("Geometry of a full cylinder and plug flow at a constant rate (derived). "),
        "{shown}"
    );
    assert!(
        shown.contains(". Volumes of hoses: NWCG, Firefighter Math, table 3.1 (read). Plug flow is"),
        "{shown}"
    );
}

/// Whether a text points to a place on a net rather than naming a title: a word with a dot between two letters.
pub(crate) fn names_an_address(text: &str) -> bool {
    let letters: Vec<char> = text.chars().collect();
    letters.windows(3).any(|three| {
        three[1] == '.' && three[0].is_alphabetic() && three[2].is_lowercase() || three == [':', '/', '/']
    })
}

#[test]
fn every_input_of_a_formula_is_declared() {
    for method in methods() {
        let figures =
            |input: &&Input| !matches!(input.kind, Kind::Word(_)) && input.presence == Presence::Required;
        for input in method.inputs.iter().filter(figures) {
            assert!(method.formula.contains(input.name), "`{}` of `{}`", input.name, method.name);
        }
    }
}

#[test]
fn misspelt_names_get_a_hint() {
    assert_eq!(
        method("line-purg").unwrap_err(),
        MethodError::UnknownMethod { name: "line-purg".into(), nearest: Some("line-purge") }
    );
    let error = refusal("line-purge", &inputs(&[("boer", "6 mm")]));
    assert_eq!(error.to_string(), "the method `line-purge` has no input `boer`; did you mean `bore`?");
}

#[test]
fn what_is_missing_or_of_another_kind_is_named() {
    let error = refusal("line-purge", &inputs(&[("bore", "6 mm")]));
    assert!(matches!(error, MethodError::Missing { method: "line-purge", input: "length", .. }), "{error}");
    assert_eq!(
        error.to_string(),
        "the method `line-purge` needs `length`; give it, the length of the hose: 0.1 m to 200 m"
    );
    let error = refusal("line-purge", &inputs(&[("bore", "6 s")]));
    assert_eq!(
        error.to_string(),
        "`bore` of the method `line-purge` is given as `6 s`, a time; it has to be a length"
    );
    let good = [("bore", "6 mm"), ("length", "4 m"), ("flow", "0.3 L/min"), ("volumes", "3 tablets")];
    assert!(matches!(
        refusal("line-purge", &inputs(&good)),
        MethodError::WrongKind { input: "volumes", wanted: Kind::Number, .. }
    ));
    let error = refusal("line-purge", &inputs(&[("bore", "6 mm"), ("length", "201 m")]));
    assert_eq!(
        error.to_string(),
        "`length` of the method `line-purge` is `201 m`; the method holds for 0.1 m to 200 m only"
    );
}
