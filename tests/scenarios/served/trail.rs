//! What was said to one walk and what was heard of it, held against the records.

use journal::{Hash, Journal, Record, Verification};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::Path;

/// An answer as it was sent.
#[derive(Clone, Debug)]
pub(crate) struct Sent {
    pub(crate) path: String,
    pub(crate) body: Value,
    /// Whether the server said that it was taken.
    pub(crate) acknowledged: bool,
}

impl Sent {
    pub(crate) fn key(&self) -> &str {
        self.body["key"].as_str().expect("a key")
    }

    /// Whether a record may be what became of this answer.
    fn fits(&self, record: &Value) -> bool {
        let event = record["event"].as_str().expect("an event");
        let same = |field: &str| record[field] == self.body["value"];
        if self.path.ends_with("/signatures") {
            return ["verified", "released"].contains(&event) && record["person"] == self.body["person"];
        }
        match self.body["say"].as_str().expect("what is said") {
            "variant" => event == "variant" && same("value"),
            "look" => {
                let answered = record["answer"] == looked(&self.body["value"]);
                (event == "seen" && answered) || ["act-begun", "ticks-looked"].contains(&event)
            }
            "done" => event == "done",
            "fasten" => event == "fastened" && same("fastener"),
            "answer" => event == "answered" && same("answer"),
            "item" => event == "chosen",
            "timer" => event == "wait-over",
            "reading" => ["reading", "label"].contains(&event),
            "note" => event == "noted" && record["text"] == self.body["value"],
            "photo" => event == "photographed" && record["caption"] == self.body["caption"],
            "resume" => event == "resumed",
            other => panic!("{other} is not sent here"),
        }
    }
}

/// What a look is on record as; a truth value is sent for yes and no too.
fn looked(value: &Value) -> Value {
    value.as_bool().map_or_else(|| value.clone(), |yes| if yes { "yes" } else { "no" }.into())
}

/// One walk: what was sent to it in order, and the hashes of its records as they were last seen.
#[derive(Clone, Debug, Default)]
pub(crate) struct Trail {
    pub(crate) id: String,
    pub(crate) sent: Vec<Sent>,
    known: Vec<Hash>,
    pub(crate) ended: bool,
}

/// What the records say of the answers whose senders heard nothing.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub(crate) struct Unheard {
    pub(crate) kept: usize,
    pub(crate) lost: usize,
}

impl Trail {
    pub(crate) fn new(id: &str) -> Self {
        Self { id: id.to_owned(), ..Self::default() }
    }

    /// Holds the records against what was said: every acknowledged answer is there, once, in order, as it was said; at
    /// most the last answer more; nothing else; and what was there before has not changed.
    pub(crate) fn check(&mut self, journal: &Journal) -> Unheard {
        let id = self.id.clone();
        let records = journal.records(&id).expect("the walk's records");
        let hashes: Vec<Hash> = records.iter().map(|record| record.hash).collect();
        assert!(hashes.starts_with(&self.known), "{id}: records that were there have changed or are gone");
        self.known = hashes;
        let events: Vec<Value> = records.iter().map(payload).collect();
        assert_eq!(events[0]["event"], "begin", "{id}");
        let mut sent = self.sent.iter();
        let mut unheard = Unheard::default();
        for event in &events[1..] {
            let Some(key) = event["key"].as_str() else {
                assert_eq!(event["event"], "wait-started", "{id}: nobody said this: {event}");
                continue;
            };
            // Answers come in the order in which they were sent; one that was passed over is not there.
            let mut passed = Vec::new();
            let said = sent.by_ref().find(|said| {
                let found = said.key() == key;
                passed.extend((!found).then(|| (*said).clone()));
                found
            });
            let said = said.unwrap_or_else(|| panic!("{id}: invented, doubled or out of order: {event}"));
            assert!(said.fits(event), "{id}: {said:?} became {event}");
            unheard.lost += gone(&id, &passed);
            unheard.kept += usize::from(!said.acknowledged);
        }
        unheard.lost += gone(&id, &sent.cloned().collect::<Vec<_>>());
        unheard
    }

    /// Whether an answer is on record.
    pub(crate) fn has(&self, journal: &Journal, key: &str) -> bool {
        journal.records(&self.id).expect("records").iter().any(|record| payload(record)["key"] == key)
    }
}

fn payload(record: &Record) -> Value {
    serde_json::from_str(&record.payload).expect("a record is JSON")
}

fn gone(id: &str, passed: &[Sent]) -> usize {
    for said in passed {
        assert!(!said.acknowledged, "{id}: acknowledged and not on record: {said:?}");
    }
    passed.len()
}

/// Opens the records as the next start of the program will find them; the chains hold, and no walk is there that
/// nobody began.
pub(crate) fn intact(file: &Path, trails: &[Trail], unheard_begins: usize) -> Journal {
    let journal = Journal::open_existing(file).expect("the records can be read");
    assert!(matches!(journal.verify().expect("read"), Verification::Intact { .. }));
    let known: BTreeSet<&str> = trails.iter().map(|trail| trail.id.as_str()).collect();
    let chains = journal.chains().expect("read");
    let strange = chains.iter().filter(|chain| !known.contains(chain.id.as_str())).count();
    assert!(strange <= unheard_begins, "{strange} walks that nobody began");
    journal
}
