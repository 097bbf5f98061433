//! Documents together.

use super::{EQUIPMENT, PROCEDURE, expect, lines, read_texts, swap};
use crate::SourceId;

fn performing(name: &str, other: &str) -> String {
    let named = swap(PROCEDURE, "procedure: strainer-clean", &format!("procedure: {name}"));
    swap(&named, "    action: isolate", &format!("    perform: {other}"))
}

#[test]
fn everything_a_procedure_relies_on() {
    let (outer, middle) = (performing("outer", "middle"), performing("middle", "strainer-clean"));
    let reading = read_texts(&[&outer, EQUIPMENT, &middle, PROCEDURE]);
    assert_eq!(lines(&reading), Vec::<String>::new());
    let relied =
        |name| reading.library.relies_on(name).into_iter().map(|SourceId(id)| id).collect::<Vec<_>>();
    assert_eq!(relied("outer"), [0, 1, 2, 3]);
    assert_eq!(relied("middle"), [2, 1, 3]);
    assert_eq!(relied("strainer-clean"), [3, 1]);
    assert_eq!(relied("nowhere"), Vec::<u32>::new());
    let names: Vec<&str> = reading.library.procedures.keys().map(|name| &**name).collect();
    assert_eq!(names, ["outer", "middle", "strainer-clean"], "in the order in which they were given");
}

#[test]
fn a_procedure_that_performs_itself() {
    let (a, b) = (performing("a", "b"), performing("b", "a"));
    let reading = read_texts(&[EQUIPMENT, &a, &b]);
    assert_eq!(lines(&reading), ["N08 b.yaml:66:14 the procedure `a` would perform itself: `a` → `b` → `a`"]);
    let itself = performing("a", "«a»");
    expect(&[EQUIPMENT, &itself], &[("N08", "`a` → `a`")]);
    // A procedure on the way to a circle is not in it.
    let entry = performing("entry", "a");
    assert_eq!(read_texts(&[EQUIPMENT, &entry, &a, &b]).findings.len(), 1);
}

#[test]
fn performed_procedures_are_there_and_of_the_same_equipment() {
    expect(
        &[EQUIPMENT, PROCEDURE, &performing("other", "«strainer-claen»")],
        &[("N07", "did you mean `strainer-clean`?")],
    );
    let lesser = "equipment: lesser\ntitle: L\nrevision: 1\nconditions: { a: { values: [b, c] } }\n";
    let on_lesser = "procedure: small\ntitle: S\nequipment: lesser\nrevision: 1\npurpose: p\nscope: s\n\
                     performers: { technician: 1 }\ntime: 1 min\nlevel_of_use: reference\n\
                     tools: none\nsupplies: none\nspares: none\nwear: none\nsteps: [{ id: x, do: X. }]\n";
    let lesser = format!("{lesser}roles: {{ technician: T }}\n");
    expect(
        &[EQUIPMENT, &lesser, on_lesser, &performing("other", "«small»")],
        &[("N07", "works on `lesser`")],
    );
}

#[test]
fn two_documents_of_one_name() {
    expect(
        &[EQUIPMENT, PROCEDURE, &swap(PROCEDURE, "strainer-clean", "«strainer-clean»")],
        &[("R17", "give each document")],
    );
    expect(
        &[EQUIPMENT, &swap(EQUIPMENT, "equipment: oskerry-22", "equipment: «oskerry-22»")],
        &[("R17", "oskerry-22")],
    );
    let faulty = swap(PROCEDURE, "title:", "titel:");
    let reading = read_texts(&[EQUIPMENT, &faulty, PROCEDURE]);
    let codes: Vec<&str> = reading.findings.iter().map(|finding| finding.code).collect();
    assert_eq!(codes, ["R11", "R17"], "a name is taken also by a document with faults");
}

/// Nobody can say which of two is meant: an old copy beside a document decides nothing.
#[test]
fn of_two_documents_of_one_name_that_differ_both_are_faulty() {
    let older = EQUIPMENT.replace("revision: 3", "revision: 2");
    assert_ne!(older, EQUIPMENT);
    let told = |texts: &[&str]| -> Vec<(&str, u32)> {
        let reading = read_texts(texts);
        let errors = reading.findings.iter().filter(|finding| finding.severity == crate::Severity::Error);
        errors.map(|finding| (finding.code, finding.place.source.0)).collect()
    };
    assert_eq!(told(&[&older, EQUIPMENT, PROCEDURE]), [("R17", 0), ("R17", 1)]);
    assert_eq!(told(&[&older, EQUIPMENT, EQUIPMENT, PROCEDURE]), [("R17", 0), ("R17", 1), ("R17", 2)]);
    assert_eq!(told(&[EQUIPMENT, EQUIPMENT, PROCEDURE]), [("R17", 1)], "the same read twice");
    let faulty = EQUIPMENT.replace("title:", "titel:");
    assert_eq!(
        told(&[EQUIPMENT, &faulty, PROCEDURE]),
        [("R17", 0), ("R11", 1)],
        "the faulty one may be meant"
    );
    let reading = read_texts(&[&older, EQUIPMENT, PROCEDURE]);
    let relied_on = reading.library.relies_on("strainer-clean");
    assert!(reading.findings.iter().any(|finding| relied_on.contains(&finding.place.source)));
}

#[test]
fn a_faulty_document_is_no_missing_one() {
    let faulty = swap(EQUIPMENT, "title:", "«titel»:");
    let reading = read_texts(&[PROCEDURE, &super::marked(&faulty).0]);
    assert_eq!(lines(&reading), ["R11 b.yaml:2:1 the key `titel` is unknown in the document"]);
    let faulty = swap(&performing("inner", "strainer-clean"), "title:", "titel:");
    let reading = read_texts(&[EQUIPMENT, &faulty, &performing("outer", "inner"), PROCEDURE]);
    assert_eq!(lines(&reading), ["R11 b.yaml:2:1 the key `titel` is unknown in the document"]);
    assert!(!reading.library.procedures.contains_key("inner"));
    let relied_on = reading.library.relies_on("outer");
    assert!(relied_on.contains(&SourceId(1)), "what is left out is relied on all the same: {relied_on:?}");
    for (from, to) in
        [("title:", "title: a: b #"), ("title:", "title: \u{1}"), ("title:", "revision: 3\ntitle:")]
    {
        let faulty = swap(EQUIPMENT, from, to);
        let reading = read_texts(&[PROCEDURE, &faulty]);
        assert_eq!(reading.findings.len(), 1, "{:?}", lines(&reading));
        assert!(reading.findings[0].code.starts_with('R'));
    }
}

#[test]
fn the_equipment_is_not_there() {
    expect(
        &[&swap(PROCEDURE, "equipment: oskerry-22", "equipment: «oskerry-22»")],
        &[("N01", "give its document")],
    );
    expect(
        &[EQUIPMENT, &swap(PROCEDURE, "equipment: oskerry-22", "equipment: «oskery-22»")],
        &[("N01", "did you mean `oskerry-22`?")],
    );
}

#[test]
fn findings_stand_in_the_order_of_the_documents() {
    let reading = read_texts(&[
        "titel: x\n",
        EQUIPMENT,
        "- 1\n",
        &swap(PROCEDURE, "supply: isolated", "suply: isolated"),
    ]);
    let places: Vec<String> = lines(&reading).iter().map(|line| line[..10].to_owned()).collect();
    assert_eq!(places, ["R10 a.yaml", "R10 c.yaml", "N02 d.yaml"]);
}

#[test]
fn same_input_same_findings() {
    let broken = swap(
        &swap(PROCEDURE, "supply: isolated", "suply: isolated"),
        "otherwise: stop\n  - id: around",
        "otherwise: nowhere\n  - id: around",
    );
    let first = read_texts(&[EQUIPMENT, &broken]).findings;
    assert_eq!(first.len(), 2);
    assert_eq!(first, read_texts(&[EQUIPMENT, &broken]).findings);
}

#[test]
fn a_group_performed_inside_a_group() {
    let lesser = "equipment: lesser\ntitle: L\nrevision: 1\nroles: { technician: T }\n\
                  conditions: { a: { values: [b, c] } }\n";
    let procedure = |name: &str, steps: &str| {
        format!(
            "procedure: {name}\ntitle: S\nequipment: lesser\nrevision: 1\npurpose: p\nscope: s\n\
             performers: {{ technician: 1 }}\ntime: 1 min\nlevel_of_use: reference\n\
             tools: none\nsupplies: none\nspares: none\nwear: none\nsteps: [{steps}]\n"
        )
    };
    let group = |first: &str| format!("{{ id: g, any_order: [{{ id: x, {first} }}, {{ id: y, do: Y. }}] }}");
    let inner = procedure("inner", &group("do: X."));
    let between = procedure("between", "{ id: p, perform: inner }");
    for performed in ["inner", "between"] {
        let outer = procedure("outer", &group(&format!("perform: «{performed}»")));
        expect(&[lesser, &inner, &between, &outer], &[("N13", "in which there is a group as well")]);
    }
    // Beside the group it may stand.
    let beside = procedure("beside", &format!("{}, {{ id: p, perform: inner }}", group("do: X.")));
    expect(&[lesser, &inner, &beside], &[]);
}
