//! Figures for every variant.

use super::{EQUIPMENT, PROCEDURE, read_texts};
use crate::model::Figure;
use crate::{FigureError, Library, figure_cases};

fn library() -> Library {
    read_texts(&[EQUIPMENT, PROCEDURE]).library
}

fn cases(figure: &str) -> Result<Vec<String>, FigureError> {
    let library = library();
    let (equipment, procedure) =
        (&library.equipment["oskerry-22"].model, &library.procedures["strainer-clean"].model);
    let cases = figure_cases(equipment, Some(procedure), &Figure::from(figure.to_owned()))?;
    let shown = |case: &crate::Case| {
        let variants: Vec<String> =
            case.variants.iter().map(|(name, value)| format!("{name} {value}")).collect();
        assert_eq!(case.worked.is_some(), figure.starts_with('$'));
        format!("{}: {}", variants.join(", "), case.quantity)
    };
    Ok(cases.iter().map(shown).collect())
}

#[test]
fn a_plain_figure_is_one_case() {
    assert_eq!(cases("3.00 mm"), Ok(vec![": 3.00 mm".to_owned()]));
}

/// Three fillings of a full cylinder, rounded up to 5 s; recomputed by hand: 4 m and 0.30 L/min take 67.9 s,
/// 20 m and 0.55 L/min take 185.1 s (derived).
#[test]
fn an_amount_has_a_case_for_every_combination() {
    let cases = cases("$purge-time").expect("the amount can be worked out");
    assert_eq!(cases.len(), 6);
    assert_eq!(cases[0], "hose 4 m, tip fine: 70 s");
    assert_eq!(cases[1], "hose 4 m, tip medium: 40 s");
    assert_eq!(cases[5], "hose 20 m, tip medium: 190 s");
}

#[test]
fn an_amount_of_the_procedure_depends_on_no_variant() {
    assert_eq!(cases("$soak-time").map(|cases| cases.len()), Ok(1));
    let library = library();
    let equipment = &library.equipment["oskerry-22"].model;
    let without = figure_cases(equipment, None, &Figure::from("$soak-time".to_owned()));
    assert_eq!(without, Err(FigureError::Unknown { name: "soak-time".to_owned(), nearest: None }));
}

#[test]
fn what_cannot_be_worked_out_says_why() {
    assert!(matches!(cases("45"), Err(FigureError::Unreadable(_))));
    let nearest = Some("purge-time".to_owned());
    assert_eq!(cases("$purge-tim"), Err(FigureError::Unknown { name: "purge-tim".to_owned(), nearest }));
    let library = read_texts(&[&super::swap(EQUIPMENT, "bore: 6 mm", "bore: 6 m")]).library;
    let error =
        figure_cases(&library.equipment["oskerry-22"].model, None, &Figure::from("$purge-time".to_owned()))
            .expect_err("the bore is out of range");
    assert!(error.to_string().contains("the amount `purge-time` cannot be worked out: `bore`"), "{error}");
}

#[test]
fn more_combinations_than_anyone_checks() {
    let values: Vec<String> = (1..=64).map(|n| format!("{n} m")).collect();
    let many = super::swap(EQUIPMENT, "[4 m, 12 m, 20 m]", &format!("[{}]", values.join(", ")));
    super::expect(
        &[&super::swap(&many, "method: line-purge", "method: «line-purge»")],
        &[("A03", "more than 100 combinations")],
    );
}

/// What is stated is read once, and shown as it was written.
#[test]
fn figures_keep_their_writing() {
    for text in ["3.00 mm", "72 °F", "45", "two minutes", "$purge-time", "$"] {
        assert_eq!(Figure::from(text.to_owned()).to_string(), text);
    }
    let plain = |text: &str| Figure::from(text.to_owned()).plain().map(ToString::to_string);
    assert_eq!(["3.00 mm", "45", "$purge-time"].map(plain), [Some("3.00 mm".to_owned()), None, None]);
}
