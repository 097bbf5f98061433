//! Amounts that rest on a label, and figures in other units.

use super::{PUMP, SERVICE, standing, step};
use crate::page::{Page, build};
use document::{InputFile, read};

fn page(pump: &str, service: &str) -> Page {
    let file = |name: &str, text: &str| InputFile { name: name.into(), bytes: text.as_bytes().to_vec() };
    let files = [file("pump.yaml", pump), file("service.yaml", service), file("adjust.yaml", super::ADJUST)];
    let reading = read(&files);
    assert_eq!(reading.findings, []);
    build(&reading.library, &"service".into(), &standing(), None).unwrap()
}

fn with_mix(pump: &str, mix: &str) -> (String, String) {
    let pump = format!("{}\n  mix: {{ method: dilution-liquid, {mix}, volume: 5 L }}\n", pump.trim_end());
    (pump, SERVICE.replace("note: It is light.", "note: \"Cleaner for 5 L: {{ mix }}.\""))
}

#[test]
fn a_figure_of_the_label_is_a_blank() {
    let (pump, service) = with_mix(PUMP, "stock: label, wanted: 0.1 %");
    let page = page(&pump, &service);
    let note = step(&page, "lift").note.as_ref().unwrap().text();
    assert!(note.contains("the mix (per the product's label, see Figures)"), "{note}");
    let figure = page.figures.iter().find(|figure| figure.name == "mix").unwrap();
    assert!(figure.value.one.as_ref().unwrap().contains("____"), "{figure:?}");
    let working = figure.working.as_ref().unwrap();
    let stock = working.inputs.iter().find(|(name, _)| name == "stock").unwrap();
    assert!(stock.1.contains("____ per the product's label, above 0 mg/L"), "{stock:?}");
    assert!(working.source.contains("Rounding: "), "{}", working.source);
}

#[test]
fn figures_are_shown_in_the_units_the_equipment_asks_for() {
    for (units, shown) in [
        ("", "20 mL"),
        ("units: metric\n", "20 mL"),
        ("units: us\n", "20 mL (0.676 US fl oz)"),
        ("units: both\n", "20 mL (0.676 US fl oz)"),
    ] {
        let (pump, service) = with_mix(PUMP, "stock: 5 %, wanted: 0.02 %");
        let page = page(&pump.replace("revision: 4\n", &format!("revision: 4\n{units}")), &service);
        let note = step(&page, "lift").note.as_ref().unwrap().text();
        assert!(note.contains(&format!("Cleaner for 5 L: {shown}.")), "{units}: {note}");
    }
}
