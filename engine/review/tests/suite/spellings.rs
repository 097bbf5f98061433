//! A name spelled otherwise, in case or in spaces alone, is the same person: for who wrote a procedure, who is qualified,
//! who walked it through, and as whom somebody signs.

use crate::harmless::library;
use crate::support::demo;
use crate::support::edit::swap;
use document::model::Name;
use review::{Approval, Day, Evidence, People, Refused, Request, Subject, Walkthrough};
use std::collections::BTreeMap;

const OFFICER: &str = "Gwen Adeyi";
const AUTHOR: &str = "Ilse Marrow";

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

/// The same name as people type it: in capitals, with spaces around it, with two or a no-break space inside.
fn spellings(name: &str) -> [String; 4] {
    let inner = |space: &str| name.replace(' ', space);
    [name.to_uppercase(), format!(" {name}  "), inner("  ").to_lowercase(), inner("\u{a0}")]
}

/// The bundled people, with the author as an officer too, so that only who wrote it can stand against the author, and with
/// the name under which the officer signs.
fn people() -> People {
    let named = "  Gwen Adeyi:\n    signs_as: adeyi@larkmoor.example\n";
    let text = swap(&demo::text("people"), "  Gwen Adeyi:\n", named);
    let officer = "    roles:\n      safety-officer: { from: 2025-01-06, until: 2027-01-05 }\n";
    let start = text.find(AUTHOR).expect("the author is among the people");
    let (before, author) = text.split_at(start);
    let author = author.replacen("    roles:\n", officer, 1);
    People::parse(&format!("{before}{author}")).expect("people")
}

fn approve(by: &str, walkthrough: Option<&str>) -> Result<Approval, Refused> {
    let library = library(&BTreeMap::new());
    let content = library.content_hash("tip-swap").expect("a hash");
    let subject = Subject::of(&library.procedures["tip-swap"], &content);
    let walkthrough = walkthrough.map(|by| Walkthrough {
        by: by.to_owned(),
        date: day("2026-11-08"),
        place: "workshop".to_owned(),
    });
    let (role, date, until) = (Name::from("safety-officer"), day("2026-11-09"), day("2027-11-08"));
    let request = Request { by: by.to_owned(), role, date, until, walkthrough, accepted: Vec::new() };
    review::approve(&subject, &people(), &request)
}

#[test]
fn the_author_does_not_approve_under_another_spelling() {
    for by in spellings(AUTHOR) {
        let Refused(against) = approve(&by, None).expect_err(&by);
        assert_eq!(against, [format!("{by} wrote the procedure and cannot approve it")]);
        let Refused(against) = approve(OFFICER, Some(&by)).expect_err(&by);
        assert_eq!(against, [format!("{by} wrote the procedure: somebody else walks it through")]);
    }
}

#[test]
fn whoever_is_qualified_is_so_under_every_spelling() {
    for by in spellings(OFFICER) {
        assert_eq!(approve(&by, Some(&by)).err(), None, "{by}");
        assert_eq!(people().may_not_sign(&by, "safety-officer", &day("2026-11-09")), None, "{by}");
    }
    let Refused(against) = approve("Gwen Adey", None).expect_err("nobody");
    assert_eq!(against, ["`Gwen Adey` is not among the people of this site; did you mean `Gwen Adeyi`?"]);
}

/// Otherwise the order in the file would decide which of the two counts.
#[test]
fn a_people_file_names_each_person_once() {
    let text = demo::text("people");
    let twice = swap(&text, "people:\n", "people:\n  gwen  adeyi: { roles: {} }\n");
    let error = People::parse(&twice).expect_err("twice").to_string();
    assert!(error.contains("`Gwen Adeyi`") && error.contains("`gwen  adeyi`"), "{error}");
}

/// The signature is looked for under the name that the people file gives to that person, whatever the spelling.
#[test]
fn a_signature_is_looked_for_under_the_persons_name() {
    let library = library(&BTreeMap::new());
    let content = library.content_hash("tip-swap").expect("a hash");
    let subject = Subject::of(&library.procedures["tip-swap"], &content);
    let people = people();
    let signers = review::Signers::parse("").expect("no signers");
    for by in spellings(OFFICER) {
        let text = Approval { by, ..approve(OFFICER, None).expect("approved") }.sealed().text();
        let evidence = Evidence {
            approval: Some(&text),
            people: Some(&people),
            signature: Some("none"),
            signers: Some(&signers),
        };
        let sentence = review::approval_status(&subject, &evidence, &day("2026-11-25")).sentence();
        assert!(sentence.contains("its signature cannot be read"), "{sentence}");
    }
}
