//! The approvals of the bundled procedures: four stand, one was withdrawn, one was never given.

use super::approving::{OFFICER, approve, folder};
use crate::support::demo;
use document::model::Name;
use jsonschema::Validator;
use review::{Approval, Day, People, Request, Subject, Walkthrough, Withdrawal};
use std::collections::BTreeMap;
use std::path::Path;

/// Each procedure that was walked through on a machine: who, and which machine.
const WALKED: [(&str, &str, &str); 5] = [
    ("battery-replacement", "Anneke Voss", "Larkmoor depot, workshop, OSK-0118"),
    ("first-flush", "Tomas Reeve", "Larkmoor depot, wash bay, OSK-0131"),
    ("strainer-clean", "Tomas Reeve", "Larkmoor depot, wash bay, OSK-0117"),
    ("tip-swap", "Anneke Voss", "Larkmoor depot, wash bay, OSK-0117"),
    ("wand-reassembly", "Tomas Reeve", "Larkmoor depot, workshop, OSK-0118"),
];
const WITHDRAWN: &str = "first-flush";

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

/// The approvals as the program gives them.
fn given() -> BTreeMap<&'static str, Approval> {
    let budget = check::Budget { boxes: 2_000_000, go_on: &|| true };
    let report = check::check(document::read(&demo::files()), &budget).expect("no fault of ours");
    let people = People::parse(&demo::text("people")).expect("people");
    let give = |(name, by, place): (&'static str, &str, &str)| {
        let (findings, content) =
            (report.findings_of(name), report.library.content_hash(name).expect("a hash"));
        let procedure = &report.library.procedures[name];
        let certificate = report.certificate_hash(name);
        let certificate = certificate.as_deref();
        assert!(certificate.is_some(), "`{name}` is checked by a second program");
        let subject = Subject { procedure, content: &content, findings: &findings, certificate };
        let request = Request {
            by: "Gwen Adeyi".to_owned(),
            role: Name::from("safety-officer"),
            date: day("2026-11-09"),
            until: day("2027-11-08"),
            walkthrough: Some(Walkthrough {
                by: by.to_owned(),
                date: day("2026-11-05"),
                place: place.to_owned(),
            }),
            accepted: Vec::new(),
        };
        let mut approval = review::approve(&subject, &people, &request).expect("nothing stands against it");
        if name == WITHDRAWN {
            approval.withdrawn = Some(Withdrawal {
                by: "Gwen Adeyi".to_owned(),
                date: day("2026-11-20"),
                reason: "The drum for preservative waste is to be replaced by another.".to_owned(),
            });
        }
        (name, approval.sealed())
    };
    WALKED.into_iter().map(give).collect()
}

/// The committed files are what the program gives; `UPDATE_APPROVALS=1` writes them anew after a change of a bundled
/// document. The cards in `out/` print them: `card --all` afterwards.
#[test]
fn committed_approvals_fit_the_bundled_documents() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("procedures/oskerry-22");
    let given = given();
    for name in demo::PROCEDURES {
        let path = folder.join(format!("{name}.approval.yaml"));
        let due = given.get(name).map(Approval::text);
        if let Some(text) = due.as_ref().filter(|_| std::env::var_os("UPDATE_APPROVALS").is_some()) {
            std::fs::write(&path, text).expect("the approval is written");
        }
        let committed = std::fs::read_to_string(&path).ok();
        assert!(
            committed == due,
            "the approval of `{name}` does not fit: run this test again with UPDATE_APPROVALS=1, then `card --all`"
        );
    }
}

fn schema(name: &str) -> Validator {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join(format!("schemas/{name}.schema.json"));
    let text = std::fs::read_to_string(path).expect("a schema");
    let json = serde_json::from_str(&text).expect("JSON");
    jsonschema::draft202012::new(&json).expect("a schema")
}

#[test]
fn the_small_files_are_what_their_schemas_say() {
    let folder = folder();
    let back = ["--return", "No.", "--remark", "decay=Why?"];
    approve(folder.path(), "tip-swap", &[&OFFICER[..], &back].concat());
    let returned = std::fs::read_to_string(folder.path().join("tip-swap.returned.yaml")).expect("remarks");
    type Reads = fn(&str) -> bool;
    let mut files: Vec<(&str, String, Reads)> = vec![
        ("people", demo::text("people"), |text| People::parse(text).is_ok()),
        ("register", demo::text("register"), |text| records::Register::parse(text).is_ok()),
        ("returned", returned, |text| review::Returned::parse(text).is_ok()),
    ];
    for approval in given().into_values() {
        files.push(("approval", approval.text(), |text| Approval::parse(text).is_ok()));
    }
    for (name, text, reads) in files {
        let schema = schema(name);
        let valid = |text: &str| schema.is_valid(&serde_yaml::from_str(text).expect("YAML"));
        assert!(valid(&text) && reads(&text), "{name}: {text}");
        // One key more, and each key of the top level less.
        let more = format!("{text}more: 1\n");
        assert!(!valid(&more) && !reads(&more), "{name} takes what it does not know");
        let keys = text.lines().filter(|line| !line.starts_with(['#', ' ']));
        for key in keys.filter_map(|line| line.split_once(':')).map(|(key, _)| key) {
            let less = text.replacen(&format!("\n{key}:"), &format!("\nx-{key}:"), 1);
            assert!(!valid(&less) && !reads(&less), "{name} takes `x-{key}`");
        }
    }
}
