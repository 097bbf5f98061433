//! Texts against amounts, and amounts that rest on a product's label.

use super::{EQUIPMENT, PROCEDURE, expect, read_texts, swap};
use crate::model::{Figure, Name};
use crate::{FigureError, LabelFigure, figure_cases, label_figures, work_amount};

const WAIT: &str = "wait: { for: $purge-time, why: The line runs empty. }";

fn with_text(why: &str) -> String {
    swap(PROCEDURE, WAIT, &format!("wait: {{ for: $purge-time, why: {why} }}"))
}

#[test]
fn a_figure_that_is_not_the_amounts_is_found() {
    for (why, words) in [
        (
            "«The line takes 30 s to run empty.»",
            "the text says `30 s`, where the amount `purge-time` is `70 s` for hose 4 m",
        ),
        // Right for one machine, wrong for the others.
        ("«The line takes 70 s to run empty.»", "`70 s`"),
        ("«The line takes 1 min to run empty.»", "`1 min`"),
    ] {
        expect(&[EQUIPMENT, &with_text(why)], &[("A05", words)]);
    }
}

#[test]
fn other_figures_of_a_step_are_left_alone() {
    for why in [
        "The line takes {{ purge_time }} to run empty.",
        "Three volumes of 4 m of hose pass at 2 L/min.",
        "The time is rounded up to 5 s.",
        "Take 7 screws and 2 people.",
    ] {
        expect(&[EQUIPMENT, &with_text(&format!("\"{why}\""))], &[]);
    }
    // Another step, which does not use the amount.
    expect(&[EQUIPMENT, &swap(PROCEDURE, "do: Wipe the bowl.", "do: Wipe the bowl for 30 s.")], &[]);
}

/// The right figure for the machines for which the step is done.
#[test]
fn only_the_variants_of_the_step_count() {
    let text = swap(
        PROCEDURE,
        "do: Wipe the right side.",
        "do: Wipe the right side for 70 s, not {{ purge_time }}.",
    );
    let one = "only: { hose: [4 m], tip: [fine] }";
    expect(&[EQUIPMENT, &swap(&text, "only: { hose: [4 m, 12 m] }", one)], &[]);
    let both = swap(&text, "do: Wipe the right side for 70 s", "do: «Wipe the right side for 70 s");
    expect(&[EQUIPMENT, &swap(&both, "{{ purge_time }}.", "{{ purge_time }}.»")], &[("A05", "`70 s`")]);
}

fn of_label() -> String {
    let amount = "soak-time: { method: line-purge, bore: 6 mm, length: label, flow: 1 L/min, volumes: 2 }";
    let text = swap(
        PROCEDURE,
        "soak-time: { method: line-purge, bore: 6 mm, length: 1 m, flow: 1 L/min, volumes: 2 }",
        amount,
    );
    let text = swap(&text, "wait: { for: $soak-time }", "wait: { for: 60 s }");
    swap(&text, "do: Wipe the bowl.", "do: Wipe the bowl for {{ soak_time }}.")
}

#[test]
fn a_figure_of_the_label_is_asked_for_and_never_invented() {
    let text = of_label();
    expect(&[EQUIPMENT, &text], &[]);
    let mut library = read_texts(&[EQUIPMENT, &text]).library;
    let name = Name::from("strainer-clean");
    let due = LabelFigure {
        procedure: Some(name.clone()),
        amount: Name::from("soak-time"),
        input: Name::from("length"),
    };
    assert_eq!(label_figures(&library, &name), std::slice::from_ref(&due));
    let soak = Figure::from("$soak-time".to_owned());
    let cases = |library: &crate::Library| {
        figure_cases(
            &library.equipment["oskerry-22"].model,
            Some(&library.procedures["strainer-clean"].model),
            &soak,
        )
    };
    assert_eq!(
        cases(&library),
        Err(FigureError::Label { name: "soak-time".to_owned(), inputs: vec!["length"] })
    );
    let equipment = Name::from("oskerry-22");
    let amount = due.amount(&library, &equipment).expect("it is there").clone();
    for text in ["201 m", "1 s", "one", ""] {
        assert!(due.filled(&amount, text).is_err(), "{text}");
    }
    let filled = due.filled(&amount, "1 m").expect("in range");
    let worked = work_amount(&library.equipment["oskerry-22"].model, &filled).expect("it works out");
    due.fill(&mut library, &equipment, "1 m");
    assert_eq!(cases(&library), Ok(worked));
    assert_eq!(label_figures(&library, &name), []);
}

#[test]
fn a_wait_on_a_figure_of_the_label_proves_nothing() {
    let text = swap(&of_label(), "wait: { for: 60 s }", "wait: { for: «$soak-time» }");
    expect(&[EQUIPMENT, &text], &[("A06", "nobody knows before the walk")]);
    let bad = swap(&of_label(), "bore: 6 mm, length: label", "bore: «6 s», length: label");
    expect(&[EQUIPMENT, &bad], &[("A02", "it has to be a length")]);
}
