//! Every method, by the registry alone, refuses what is outside its ranges. A new method is covered at once.

use super::tests::{inputs, refusal};
use super::{Input, Kind, Lowest, Method, MethodError, Presence, Value, method, methods};
use crate::quantity::{Quantity, Rounding, Unit};

/// The method's example with one input given otherwise.
fn with(method: &Method, input: &Input, value: Value) -> MethodError {
    let mut asked = inputs(method.example);
    asked.insert(input.name.into(), value);
    refusal(method.name, &asked)
}

fn is_out_of_range(error: &MethodError, named: &Input) -> bool {
    matches!(error, MethodError::OutOfRange { input, .. } if *input == named.name)
}

fn figure(value: f64, unit: Unit) -> Value {
    let decimals = if value.abs() < 1000.0 { 12 } else { 0 };
    Quantity::worked(value, unit, decimals, Rounding::Nearest).unwrap().trimmed().into()
}

/// The unit of an input's range, or of its figure in the example.
fn unit_of(method: &Method, input: &Input) -> Option<Unit> {
    let like = match input.kind {
        Kind::Word(_) => return None,
        Kind::Like(other) | Kind::Uncertainty(other) => other,
        _ => input.name,
    };
    let given = inputs(method.example).get(like).and_then(|value| value.quantity().map(Quantity::unit));
    input.unit().unwrap().or(given)
}

#[test]
fn each_bound_of_each_range() {
    let mut refused = 0;
    for method in methods() {
        for input in method.inputs {
            let Some(unit) = unit_of(method, input) else { continue };
            let beyond = match input.from {
                Lowest::Above(least) => least,
                Lowest::At(least) if least > 0.0 => least * 0.999,
                Lowest::At(least) if least < 0.0 => least * 1.001,
                Lowest::At(least) => least - 0.001,
            };
            for value in [beyond, input.to * 1.001, -1e13] {
                let error = with(method, input, figure(value, unit));
                assert!(is_out_of_range(&error, input), "`{}` {} {value}: {error}", method.name, input.name);
                assert!(!input.range().is_empty() && error.to_string().contains(&input.range()), "{error}");
                refused += 1;
            }
            let edge = match input.from {
                Lowest::At(least) => least,
                Lowest::Above(least) => least + 1e-9,
            };
            assert!(input.allows(edge) && input.allows(input.to), "`{}` {}", method.name, input.name);
        }
    }
    assert!(refused > 200, "only {refused} bounds were tried");
}

#[test]
fn negative_figures_unless_the_dimension_is_open() {
    for method in methods() {
        for input in method.inputs {
            if matches!(input.kind, Kind::Any | Kind::Like(_) | Kind::Word(_)) {
                continue;
            }
            let Some(unit) = unit_of(method, input) else { continue };
            let error = with(method, input, figure(-1.0, unit));
            assert!(is_out_of_range(&error, input), "`{}` {}: {error}", method.name, input.name);
        }
    }
}

#[test]
fn what_is_no_figure() {
    for one in methods() {
        for input in one.inputs {
            let unit = unit_of(one, input).map_or("", Unit::symbol);
            for text in ["NaN", "nan", "inf", "-inf", "infinity", "1e3", "", "  ", "--1", "1,5", "five"] {
                let text = format!("{text} {unit}");
                let error = one.read(input.name, &text).unwrap_err();
                assert!(error.to_string().contains(input.name), "`{}` {text}: {error}", one.name);
                assert!(error.to_string().contains(&input.range()), "`{}` {text}: {error}", one.name);
            }
        }
    }
}

#[test]
fn what_is_absent() {
    for method in methods() {
        for input in method.inputs {
            let mut asked = inputs(method.example);
            asked.remove(input.name);
            match input.presence {
                Presence::Required => {
                    let wanted = format!("{}: {}", input.meaning, input.range());
                    let missing = MethodError::Missing { method: method.name, input: input.name, wanted };
                    assert_eq!(refusal(method.name, &asked), missing);
                }
                Presence::Default(text) => {
                    method.read(input.name, text).unwrap();
                    method.work(&asked).unwrap();
                }
                // A method that needs one of several says so.
                Presence::Optional => {
                    if let Err(error) = method.work(&asked) {
                        assert!(matches!(error, MethodError::Refused { .. }), "{error}");
                    }
                }
            }
        }
        assert!(method.work(&inputs(&[])).is_err(), "`{}` works from nothing", method.name);
    }
}

#[test]
fn another_dimension_or_word() {
    for method in methods() {
        for input in method.inputs {
            let Some(unit) = unit_of(method, input) else {
                assert!(is_out_of_range(&with(method, input, Value::Word("whatever".into())), input));
                assert!(is_out_of_range(&with(method, input, Quantity::parse("3 s").unwrap().into()), input));
                continue;
            };
            let error = with(method, input, Value::Word("none".into()));
            assert!(matches!(error, MethodError::Quantity(_)), "{error}");
            if input.kind == Kind::Any {
                continue;
            }
            let other = if unit == Unit::parse("s").unwrap() { "3 mm" } else { "3 °" };
            let other = if unit.symbol() == "°" { "3 mm" } else { other };
            let other =
                if unit.dimension() == Unit::parse("s").unwrap().dimension() { "3 mm" } else { other };
            let error = with(method, input, Quantity::parse(other).unwrap().into());
            assert!(
                matches!(error, MethodError::WrongKind { .. }),
                "`{}` {}: {error}",
                method.name,
                input.name
            );
        }
    }
}

#[test]
fn either_of_two_volumes_but_not_both() {
    for name in ["dilution-liquid", "dilution-ratio", "mix-strength"] {
        let method = method(name).unwrap();
        let mut asked = inputs(method.example);
        asked.extend(inputs(&[("water", "5 L")]));
        assert!(refusal(name, &asked).to_string().contains("exactly one"), "{name}");
        asked.remove("volume");
        method.work(&asked).unwrap();
        asked.remove("water");
        assert!(refusal(name, &asked).to_string().contains("exactly one"), "{name}");
    }
}
