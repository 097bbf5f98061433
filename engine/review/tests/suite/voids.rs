//! What voids an approval, and what does not: each change with exactly the approvals it takes away.

use crate::harmless::library;
use crate::support::demo;
use crate::support::edit::swap;
use document::Library;
use document::model::Name;
use review::{Approval, ApprovalStatus, Day, Evidence, People, Request, Subject};
use std::collections::{BTreeMap, BTreeSet};

const OUTER: &str = "\
procedure: outer
title: Clean the strainer before the round
equipment: oskerry-22
revision: 1
author: Ilse Marrow
purpose: Start the round with a clean strainer.
scope: The strainer alone.
performers: { technician: 1 }
time: 30 min
level_of_use: continuous
tools: none
supplies: none
spares: none
wear: none
requires: { supply: isolated, charger: detached, tank: rinse, line: rinse, outlet-valve: open }
leaves: { tank: rinse, line: rinse }
steps:
  - { id: clean, perform: strainer-clean }
";

fn people() -> People {
    People::parse(&demo::text("people")).expect("people")
}

fn day(text: &str) -> Day {
    Day::parse(text).expect("a day")
}

/// The bundled documents, changed, and one procedure that performs another.
fn with_outer(changes: &BTreeMap<String, String>) -> Library {
    let mut files = demo::files();
    for file in &mut files {
        if let Some(text) = changes.get(file.name.trim_end_matches(".yaml")) {
            file.bytes = text.clone().into_bytes();
        }
    }
    files.push(document::InputFile { name: "outer.yaml".to_owned(), bytes: OUTER.as_bytes().to_vec() });
    let reading = document::read(&files);
    assert_eq!(reading.findings, Vec::new());
    reading.library
}

fn approvals(library: &Library) -> BTreeMap<Name, String> {
    let approve = |name: &Name| {
        let content = library.content_hash(name).expect("a hash");
        let subject = Subject::of(&library.procedures[name], &content);
        let request = Request {
            by: "Gwen Adeyi".to_owned(),
            role: Name::from("safety-officer"),
            date: day("2026-11-09"),
            until: day("2027-11-08"),
            walkthrough: None,
            accepted: Vec::new(),
        };
        review::approve(&subject, &people(), &request).expect("approved").text()
    };
    library.procedures.keys().map(|name| (name.clone(), approve(name))).collect()
}

fn statuses(
    library: &Library,
    approvals: &BTreeMap<Name, String>,
    people: &People,
) -> BTreeMap<Name, ApprovalStatus> {
    let of = |(name, text): (&Name, &String)| {
        let content = library.content_hash(name).expect("a hash");
        let subject = Subject::of(&library.procedures[name], &content);
        let evidence = Evidence { approval: Some(text), people: Some(people), ..Evidence::default() };
        (name.clone(), review::approval_status(&subject, &evidence, &day("2026-11-25")))
    };
    approvals.iter().map(of).collect()
}

fn lost(statuses: &BTreeMap<Name, ApprovalStatus>) -> BTreeSet<&str> {
    statuses.iter().filter(|(_, status)| !status.is_approved()).map(|(name, _)| &**name).collect()
}

#[test]
fn changed_documents_void_exactly_the_approvals_that_rest_on_them() {
    let before = with_outer(&BTreeMap::new());
    let approvals = approvals(&before);
    assert_eq!(lost(&statuses(&before, &approvals, &people())), BTreeSet::new());
    let cases: [(&str, &str, &str, &[&str]); 5] = [
        ("tip-swap", "time: 15 min", "time: 16 min", &["tip-swap"]),
        ("strainer-clean", "wait: { for: 30 s,", "wait: { for: 35 s,", &["outer", "strainer-clean"]),
        (
            "equipment",
            "when: { negative-lead: bare, positive-lead: bare }",
            "when: { negative-lead: bare, positive-lead: bare, battery: loose }",
            &["battery-replacement"],
        ),
        (
            "equipment",
            "  bowl-open-flow:\n    when: { outlet-valve: open, bowl: open, tank: [rinse, product] }",
            "  bowl-open-flow:\n    when: { outlet-valve: open, bowl: open, tank: [rinse, product], castors: locked }",
            &["outer", "strainer-clean"],
        ),
        ("equipment", "revision: 1", "revision: 2", &[]),
    ];
    for (file, from, to, expected) in cases {
        let text = swap(&demo::text(file), from, to);
        let after = with_outer(&BTreeMap::from([(file.to_owned(), text)]));
        let statuses = statuses(&after, &approvals, &people());
        assert_eq!(lost(&statuses), expected.iter().copied().collect(), "{file}: {to}");
        for name in expected {
            assert_eq!(statuses[*name].word(), "changed since approved");
        }
    }
}

#[test]
fn an_altered_approval_voids_itself_alone() {
    let library = library(&BTreeMap::new());
    let given = approvals(&library);
    let name = "tip-swap";
    let hash = library.content_hash(name).expect("a hash");
    let other = library.content_hash("unboxing").expect("a hash");
    let cases: [(&str, &str, &str); 9] = [
        ("revision: 1", "revision: 2", "it was altered"),
        (&hash, &other, "it was altered"),
        ("\"Gwen Adeyi\"", "\"Anneke Voss\"", "it was altered"),
        ("date: 2026-11-09", "date: 2026-11-10", "it was altered"),
        ("until: 2027-11-08", "until: 2037-11-08", "it was altered"),
        ("role: safety-officer", "role: trainer", "it was altered"),
        ("approval: tip-swap", "approval: unboxing", "it is for `unboxing`"),
        ("until: 2027-11-08\n", "until: 2027-11-08\nfor: ever\n", "no approval file"),
        ("until: 2027-11-08\n", "", "no approval file"),
    ];
    for (from, to, why) in cases {
        let mut altered = given.clone();
        let text = altered.get_mut(name).expect("an approval");
        *text = swap(text, from, to);
        let statuses = statuses(&library, &altered, &people());
        assert_eq!(lost(&statuses), BTreeSet::from([name]), "{to}");
        assert!(statuses[name].sentence().contains(why), "{}", statuses[name].sentence());
    }
    // Remarks and layout are not the approval.
    let mut rewritten = given.clone();
    let text = rewritten.get_mut(name).expect("an approval");
    *text = format!("# Filed.\n{}", text.replace("\"Gwen Adeyi\"", "Gwen Adeyi"));
    assert_eq!(lost(&statuses(&library, &rewritten, &people())), BTreeSet::new());
}

#[test]
fn a_resealed_approval_by_someone_who_may_not_counts_for_nothing() {
    let library = library(&BTreeMap::new());
    let given = approvals(&library);
    for (by, role, why) in [
        ("Ilse Marrow", "safety-officer", "wrote the procedure"),
        ("Tomas Reeve", "safety-officer", "does not hold the role"),
        ("Tomas Reeve", "technician", "does not approve"),
    ] {
        let mut forged = given.clone();
        let mut approval = Approval::parse(&given["tip-swap"]).expect("an approval");
        approval.by = by.to_owned();
        approval.role = Name::from(role);
        forged.insert(Name::from("tip-swap"), approval.sealed().text());
        let statuses = statuses(&library, &forged, &people());
        assert_eq!(lost(&statuses), BTreeSet::from(["tip-swap"]));
        assert!(statuses["tip-swap"].sentence().contains(why), "{}", statuses["tip-swap"].sentence());
    }
    // The people change: whoever was no officer that day approved nothing.
    let text = swap(
        &demo::text("people"),
        "safety-officer: { from: 2025-01-06",
        "safety-officer: { from: 2026-11-10",
    );
    let late = People::parse(&text).expect("people");
    assert_eq!(lost(&statuses(&library, &given, &late)).len(), demo::PROCEDURES.len());
}

/// An approval of the first meaning names none, as every file did that was written then; its seal was made without it.
#[test]
fn an_approval_under_an_earlier_meaning_is_told_in_its_own_words() {
    let library = library(&BTreeMap::new());
    let given = approvals(&library);
    let under = |meaning: u32| {
        let mut approval = Approval::parse(&given["tip-swap"]).expect("an approval");
        assert_eq!(approval.meaning, document::MEANING, "it is given under the meaning of today");
        approval.meaning = meaning;
        let text = approval.sealed().text();
        let read = Approval::parse(&text).expect("it reads back");
        assert!(read.is_sealed() && read.meaning == meaning, "{text}");
        let status = statuses(&library, &BTreeMap::from([(Name::from("tip-swap"), text.clone())]), &people());
        (text, status["tip-swap"].clone())
    };
    // Though the very same content is named.
    let (text, first) = under(1);
    assert!(!text.contains("meaning"), "{text}");
    assert!(!first.is_approved());
    assert_eq!(first.word(), "approved under an earlier meaning of the rules: review again");
    assert!(first.sentence().contains("Review it again"), "{}", first.sentence());
    let (_, later) = under(document::MEANING + 1);
    assert_eq!(later.word(), "approval void");
    assert!(later.sentence().contains("does not know"), "{}", later.sentence());
    // Taken out by hand it breaks the seal.
    let (text, _) = under(document::MEANING);
    let bare = swap(&text, &format!("meaning: {}\n", document::MEANING), "");
    let status = statuses(&library, &BTreeMap::from([(Name::from("tip-swap"), bare)]), &people());
    assert!(status["tip-swap"].sentence().contains("altered"), "{}", status["tip-swap"].sentence());
}

/// Both days that an approval names are within it.
#[test]
fn an_approval_holds_from_its_first_day_to_its_last() {
    let library = library(&BTreeMap::new());
    let given = approvals(&library);
    let content = library.content_hash("tip-swap").expect("a hash");
    let subject = Subject::of(&library.procedures["tip-swap"], &content);
    let people = people();
    let evidence =
        Evidence { approval: Some(&given["tip-swap"]), people: Some(&people), ..Evidence::default() };
    let words = ["2026-11-08", "2026-11-09", "2027-11-08", "2027-11-09"]
        .map(|on| review::approval_status(&subject, &evidence, &day(on)).word());
    assert_eq!(words, ["approval void", "approved", "approved", "expired"]);
}
