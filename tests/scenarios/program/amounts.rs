//! `amount` and `explain` for methods.

use super::{gatewright, stderr, stdout};
use std::path::Path;

fn amount(arguments: &[&str]) -> std::process::Output {
    gatewright(Path::new("."), &[&["amount"], arguments].concat())
}

#[test]
fn a_figure_is_worked_out_with_its_working_rounding_and_source() {
    let output = amount(&[
        "line-purge",
        "bore=6mm",
        "length=12 m",
        "manifold=0.15L",
        "flow=0.30 L/min",
        "volumes=3",
        "round_up=5 s",
    ]);
    let text = stdout(&output);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    for wanted in [
        "length = 12 m",
        "working     hose volume = π/4 × (6 mm)² × 12 m = 0.339 L",
        "result      295 s (4 min 55 s)",
        "volume = 1.47 L",
        "rounding    The time is rounded up",
        "source      Geometry of a full cylinder",
    ] {
        assert!(text.contains(wanted), "`{wanted}` is not in: {text}");
    }
}

#[test]
fn a_word_with_two_meanings_is_told() {
    let output = amount(&["dilution-liquid", "stock=4%", "wanted=500 mg/L", "water=2 gal"]);
    assert!(stdout(&output).contains("note        `gal` is read as `US gal`"), "{}", stdout(&output));
}

#[test]
fn what_is_wrong_is_told_with_the_range() {
    for (arguments, wanted) in [
        (&["line-purg"][..], "did you mean `line-purge`?"),
        (
            &["line-purge"],
            "needs `bore`; give it, the inner diameter of the hose; the largest within its tolerance: 1 mm to 200 mm",
        ),
        (
            &["line-purge", "bore=300 mm"],
            "`bore` of the method `line-purge` is `300 mm`; the method holds for 1 mm to 200 mm only",
        ),
        (&["line-purge", "bore=wide"], "it takes 1 mm to 200 mm"),
        (&["line-purge", "bore=6"], "has no unit"),
        (&["line-purge", "boer=6 mm"], "did you mean `bore`?"),
        (&["line-purge", "6 mm"], "write `name=value`"),
        (&["line-purge", "bore=6 mm", "bore=7 mm"], "given twice"),
        (&["lifting", "coupling=fine"], "the method holds for `good`, `fair` or `poor` only"),
    ] {
        let output = amount(arguments);
        assert_eq!(output.status.code(), Some(2), "{arguments:?}");
        assert!(stderr(&output).contains(wanted), "`{wanted}` is not in: {}", stderr(&output));
    }
}

/// Each method is listed and explained, and its example works as printed.
#[test]
fn every_method_is_listed_and_explained_and_its_example_works() {
    let list = stdout(&amount(&[]));
    for method in calc::methods::methods() {
        assert!(list.lines().any(|line| line.starts_with(method.name)), "{} is not listed", method.name);
        let text = stdout(&gatewright(Path::new("."), &["explain", method.name]));
        for input in method.inputs {
            assert!(text.contains(&format!("- {} ", input.name)), "{}: {}", method.name, input.name);
        }
        assert!(
            text.contains("Formula: ") && text.contains("Rounding: ") && text.contains("Source: "),
            "{text}"
        );
        let inputs: Vec<String> =
            method.example.iter().map(|(name, value)| format!("{name}={value}")).collect();
        let arguments: Vec<&str> =
            std::iter::once(method.name).chain(inputs.iter().map(String::as_str)).collect();
        assert_eq!(amount(&arguments).status.code(), Some(0), "{arguments:?}");
    }
    let units = stdout(&gatewright(Path::new("."), &["explain", "units"]));
    assert!(units.contains("`gal` is the US gallon") && units.contains("N·m"), "{units}");
}
