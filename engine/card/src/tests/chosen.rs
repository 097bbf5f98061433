//! A card for one machine: what the choice settles is left out of its figures.

use super::{SERVICE, library, standing, step};
use crate::page::{Chosen, Detail, Page, Table, build_for};

fn made_for(chosen: &[(&str, &str)]) -> Page {
    let chosen: Chosen = chosen.iter().map(|(name, value)| ((*name).into(), (*value).to_owned())).collect();
    build_for(&library(SERVICE), &"service".into(), &standing(), None, &chosen).unwrap()
}

/// The figures are those of the whole table (derived there).
#[test]
fn a_table_of_figures_keeps_the_open_variants_alone() {
    let page = made_for(&[("hose", "12 m")]);
    let Table { rows_by, columns_by, columns, rows } = page.figures[0].value.table.as_ref().unwrap();
    assert_eq!((rows_by.as_str(), columns_by, columns.len()), ("tip", &None, 1), "the hose is settled");
    let rows: Vec<(&str, &str)> = rows.iter().map(|row| (row.name.as_str(), row.cells[0].as_str())).collect();
    assert_eq!(rows, [("fine", "295 s (4 min 55 s)"), ("medium", "165 s (2 min 45 s)")]);
    let working = page.figures[0].working.as_ref().unwrap();
    assert_eq!(working.example_for.as_deref(), Some("tip fine"));
    let Detail::Wait { time: Some(time), .. } = &step(&page, "purge").detail else { panic!() };
    assert_eq!(time.table, page.figures[0].value.table, "at its step as well");
    assert_eq!(page.identity.machine.as_deref(), Some("hose 12 m"));
}

#[test]
fn a_figure_that_the_choice_settles_stands_alone() {
    let page = made_for(&[("hose", "12 m"), ("tip", "fine")]);
    let figure = &page.figures[0];
    assert_eq!(figure.value.one.as_deref(), Some("295 s (4 min 55 s)"));
    assert_eq!((&figure.value.table, &figure.working.as_ref().unwrap().example_for), (&None, &None));
    assert_eq!(step(&page, "rinse").only, None, "the step is for this machine");
    let page = made_for(&[("hose", "4 m")]);
    assert!(step(&page, "rinse").is_passed_over(), "the step is for another");
}
