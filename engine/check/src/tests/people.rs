//! People that the equipment asks for are asked for at every step, wherever it stands.

use super::sample::whole;
use crate::{Budget, Report, check};
use document::{InputFile, Severity};

const SHARED: &str = include_str!("../../explained/shared/procedure.yaml");

const EQUIPMENT: &str = "equipment: press\ntitle: Bench press\nvariants: { hose: [4 m, 12 m] }\n\
    conditions: { battery: { values: [shut, open], ask: Is the battery shut? } }\n\
    work:\n  opening-battery: { by: electrician, verified_by: second-person, people: 2 }\n\
    roles: { electrician: Trained on batteries., second-person: Verifies., technician: Trained on this press. }\n";

/// What the step says of people, and how many the procedure counts.
#[derive(Clone, Copy)]
struct Said {
    by: &'static str,
    verified_by: &'static str,
    /// Besides the electrician.
    people: u32,
}

const ALL: Said =
    Said { by: "  by: electrician\n", verified_by: "  verified_by: second-person\n", people: 1 };

fn step(said: Said, further: &str) -> String {
    format!(
        "- id: open-battery\n  work: opening-battery\n{}{}{further}  do: Open the battery box by hand.\n",
        said.by, said.verified_by
    )
}

fn indented(text: &str, by: usize) -> String {
    text.lines().map(|line| format!("{}{line}\n", " ".repeat(by))).collect()
}

/// The steps of a procedure that has the step in each way in which a step can stand.
fn places(said: Said) -> [(&'static str, String); 4] {
    let look = "- id: look\n  do: Look at the battery box.\n";
    let inside = indented(&[look, &step(said, "")].concat(), 4);
    let round = indented(&step(said, ""), 6);
    [
        ("alone", step(said, "")),
        ("in a group", format!("- id: group\n  any_order:\n{inside}")),
        (
            "in a repeat",
            format!(
                "- id: rounds\n  repeat:\n    until: {{ battery: open }}\n    at_most: 2\n    steps:\n{round}  otherwise: stop\n"
            ),
        ),
        ("for a variant", step(said, "  only: { hose: 4 m }\n")),
    ]
}

fn report(procedures: &[(&str, &str, u32)]) -> Report {
    let head = include_str!("../../explained/shared/equipment.yaml");
    let mut files = vec![InputFile { name: "equipment".to_owned(), bytes: whole(head, EQUIPMENT).into() }];
    for (name, steps, people) in procedures {
        let second = if *people > 0 { ", second-person: 1" } else { "" };
        let block = format!(
            "procedure: {name}\nequipment: press\nperformers: {{ electrician: 1{second} }}\nsteps:\n{steps}"
        );
        files.push(InputFile { name: (*name).to_owned(), bytes: whole(SHARED, &block).into() });
    }
    check(document::read(&files), &Budget { boxes: 10_000, go_on: &|| true }).expect("no fault of our own")
}

/// The errors that keep `main` from being issued, each with the document in which it is told.
fn errors(report: &Report) -> Vec<(&'static str, String)> {
    let mut found = report.errors_of("main");
    found.retain(|finding| finding.severity == Severity::Error);
    let name = |source: document::SourceId| report.library.sources[source.0 as usize].name.clone();
    found.iter().map(|finding| (finding.code, name(finding.place.source))).collect()
}

#[test]
fn each_demand_is_refuted_where_it_is_left_out() {
    for (place, steps) in places(ALL) {
        assert_eq!(errors(&report(&[("main", &steps, 1)])), [], "{place}");
    }
    let one = |said: Said| Said { people: 0, ..said };
    let left_out = [
        ("by", Said { by: "", ..ALL }),
        ("by another", Said { by: "  by: technician\n", ..ALL }),
        ("verified_by", Said { verified_by: "", ..ALL }),
        ("people", one(ALL)),
    ];
    for (key, said) in left_out {
        for (place, steps) in places(said) {
            let report = report(&[("main", &steps, said.people)]);
            assert_eq!(errors(&report), [("P13", "main".to_owned())], "{key}, {place}");
            assert!(!report.is_sound("main"), "{key}, {place}");
        }
    }
}

/// A procedure is as sound as what it performs: what is left out there keeps both from being issued, and is told once.
#[test]
fn what_a_performed_procedure_leaves_out_keeps_whoever_performs_it_from_being_issued() {
    let perform = "- id: other\n  perform: inner\n";
    let sound = report(&[("main", perform, 1), ("inner", &step(ALL, ""), 1)]);
    assert_eq!(errors(&sound), []);
    for said in [Said { by: "", ..ALL }, Said { verified_by: "", ..ALL }] {
        for (place, steps) in places(said) {
            let report = report(&[("main", perform, 1), ("inner", &steps, 1)]);
            assert_eq!(errors(&report), [("P13", "inner".to_owned())], "{place}");
            assert!(!report.is_sound("main") && !report.is_sound("inner"), "{place}");
            assert_eq!(report.findings().iter().filter(|one| one.code == "P13").count(), 1, "{place}");
        }
    }
    let few = report(&[("main", perform, 0), ("inner", &step(ALL, ""), 1)]);
    assert_eq!(errors(&few), [("P13", "main".to_owned())]);
}
