//! The proof against the judge (`oracle::judge`), an interpreter that keeps every path apart and was written from the page
//! alone: labelled cases, every short sequence of steps, random procedures. Every obligation, both ways, and the places reached.

#[path = "../suite/compare.rs"]
mod compare;

use compare::Compared;
use document::Library;
use oracle::{ALPHABET, cases, enumerated, library, smaller, varied_documents};
use serde_json::{Value, json};

#[test]
fn the_labelled_cases_have_the_faults_that_the_page_says() {
    let mut wrong = Vec::new();
    for case in cases() {
        let library = case.library().unwrap_or_else(|error| panic!("{}: {error}", case.name));
        let mut found: Vec<String> =
            compare::refuted(&library, "main").expect("a proof").iter().map(ToString::to_string).collect();
        let mut expected: Vec<String> = case.expected.iter().map(|&fault| fault.to_owned()).collect();
        found.sort();
        expected.sort();
        found.dedup();
        expected.dedup();
        if found != expected {
            wrong.push(format!("{}:\n  page  {expected:?}\n  proof {found:?}", case.name));
        }
    }
    assert!(wrong.is_empty(), "{} wrong\n{}", wrong.len(), wrong.join("\n"));
}

#[test]
fn every_short_sequence_of_steps_is_judged_alike() {
    let mut compared = Compared::default();
    for documents in enumerated(3) {
        let all: Vec<_> = documents.iter().collect();
        let library = library(&all).expect("documents that the reader takes");
        compared.one(&library, "main").unwrap_or_else(|error| panic!("{error}\n{}", oracle::shown(&all)));
    }
    assert_eq!(compared.given_up, 0);
    assert!(compared.cases >= ALPHABET.pow(3));
    assert!(compared.faulty > 100 && compared.faulty < compared.cases);
}

/// A run goes on from a need that is not surely met as if it were, so that an item tells the others something of what is
/// relied on: met once among some hundred thousand random procedures.
#[test]
fn what_one_item_needs_tells_another_what_is_so() {
    let step = |id: &str| json!({ "id": id, "hold": { "released_by": "technician", "check": "Check it." } });
    let procedure = |name: &str, rest: Value| {
        let mut whole = json!({
            "procedure": name, "title": "A procedure", "equipment": "rig", "revision": 1, "purpose": "Work.", "scope": "The rig.",
            "performers": { "technician": 1 }, "time": "5 min", "level_of_use": "continuous", "tools": "none",
            "supplies": "none", "spares": "none", "wear": "none",
        });
        let fields = rest.as_object().expect("a map").clone();
        whole.as_object_mut().expect("a map").extend(fields);
        whole
    };
    let rig = json!({
        "equipment": "rig", "title": "A rig", "revision": 1, "conditions": { "c1": { "values": ["v0", "v1"] } },
        "roles": { "technician": "Works on the rig." }, "work": { "far": { "requires": { "c1": "v1" } } },
    });
    let mut far = step("s1");
    far["work"] = json!("far");
    let inner = procedure("inner", json!({ "steps": [far] }));
    let block = json!([step("s5"), { "id": "s6", "perform": "inner" }]);
    let main =
        procedure("main", json!({ "leaves": { "c1": "v0" }, "steps": [{ "id": "s2", "any_order": block }] }));
    let library = library(&[&rig, &inner, &main]).expect("documents that the reader takes");
    let mut compared = Compared::default();
    compared.one(&library, "main").unwrap_or_else(|error| panic!("{error}"));
    assert_eq!(compared.faulty, 1);
}

#[expect(clippy::disallowed_methods, reason = "whoever runs it says how many")]
fn number(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}

/// Random procedures in which every construct meets every other; `FROM` and `SEEDS` say which.
#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn random_procedures_are_judged_alike() {
    let (from, seeds) = (number("FROM", 0), number("SEEDS", 10_000));
    let mut compared = Compared::default();
    let mut wrong = Vec::new();
    for seed in from..from + seeds {
        let documents = varied_documents(seed);
        let all: Vec<_> = documents.iter().collect();
        let library = library(&all).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        if let Err(error) = compared.one(&library, "main") {
            let shown = if wrong.len() < 6 { shrunk(documents) } else { String::new() };
            wrong.push(format!("seed {seed}:\n{error}\n{shown}"));
        }
    }
    println!("{compared:?}");
    assert!(wrong.is_empty(), "{} of {seeds} wrong\n{}", wrong.len(), wrong.join("\n"));
    assert!(compared.given_up * 20 < compared.cases, "{compared:?}");
    assert!(compared.faulty * 5 > compared.cases && compared.faulty < compared.cases);
}

/// The documents without whatever can be taken out of them while both still differ.
fn shrunk(documents: Vec<Value>) -> String {
    let still = |library: &Library| {
        library.procedures.contains_key("main") && Compared::default().one(library, "main").is_err()
    };
    let fewer = smaller(documents, still);
    let all: Vec<_> = fewer.iter().collect();
    let error = library(&all).ok().map(|library| Compared::default().one(&library, "main"));
    let told = error.and_then(Result::err).unwrap_or_default();
    format!("shrunk:\n{told}\n{}", fewer.iter().map(Value::to_string).collect::<Vec<_>>().join("\n"))
}
