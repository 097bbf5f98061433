//! What every method has to keep, and helpers for each method's own tests.

use super::{Kind, MethodError, Presence, Worked, method, methods};
use crate::quantity::Quantity;
use std::collections::{BTreeMap, BTreeSet};

pub(crate) fn inputs(pairs: &[(&str, &str)]) -> BTreeMap<String, Quantity> {
    let read = |text: &str| Quantity::parse(text).or_else(|_| Quantity::number(text)).unwrap();
    pairs.iter().map(|(name, text)| ((*name).into(), read(text))).collect()
}

pub(crate) fn work(name: &str, pairs: &[(&str, &str)]) -> Worked {
    method(name).unwrap().work(&inputs(pairs)).unwrap_or_else(|error| panic!("{pairs:?}: {error}"))
}

pub(crate) fn refusal(name: &str, inputs: &BTreeMap<String, Quantity>) -> MethodError {
    method(name).unwrap().work(inputs).unwrap_err()
}

#[test]
fn every_method_says_what_it_is() {
    let mut names = BTreeSet::new();
    for method in methods() {
        assert!(names.insert(method.name), "`{}` is listed twice", method.name);
        for text in [method.purpose, method.formula, method.rounding, method.source] {
            assert!(!text.trim().is_empty(), "`{}` leaves something unsaid", method.name);
        }
        let marks = ["read", "2nd hand", "memory", "derived", "common practice, no source"];
        assert!(
            marks.iter().any(|mark| method.source.contains(mark)),
            "`{}`: how well is it known?",
            method.name
        );
        for input in method.inputs {
            let unit = input.unit().unwrap();
            if let Presence::Default(text) = input.presence {
                let default = Quantity::parse(text).unwrap();
                assert_eq!(default.dimension(), unit.dimension(), "{}", input.name);
                assert!(input.allows(input.value_of(&default).unwrap()), "{}", input.name);
            }
        }
    }
}

#[test]
fn every_input_of_a_formula_is_declared() {
    for method in methods() {
        for input in method.inputs.iter().filter(|input| input.presence == Presence::Required) {
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
    assert_eq!(error, MethodError::Missing { method: "line-purge", input: "length" });
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
