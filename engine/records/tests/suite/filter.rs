//! Which walks are wanted, and which cannot be read.

use super::{DAY_MS, START_MS, walked};
use document::Day;
use journal::Journal;
use records::{Filter, readable};

#[test]
fn every_field_that_is_given_must_fit() {
    let walk = walked("wash", "A-1", START_MS);
    let day = |text: &str| Some(Day::parse(text).expect("a day"));
    let fits = |filter: Filter| filter.fits(&walk);
    assert!(fits(Filter::default()));
    assert!(fits(Filter {
        serial: "b-7, a-1".to_owned(),
        person: "anneke voss".to_owned(),
        ..Filter::default()
    }));
    assert!(!fits(Filter { serial: "A-".to_owned(), ..Filter::default() }));
    assert!(!fits(Filter { procedure: "refit".to_owned(), ..Filter::default() }));
    assert!(!fits(Filter { standing: "stopped".to_owned(), ..Filter::default() }));
    assert!(fits(Filter { from: day("2026-10-20"), to: day("2026-10-20"), ..Filter::default() }));
    assert!(!fits(Filter { from: day("2026-10-21"), ..Filter::default() }));
    assert!(!fits(Filter { to: day("2026-10-19"), ..Filter::default() }));
}

#[test]
fn one_walk_that_cannot_be_read_is_named_beside_the_others() {
    let mut journal = Journal::in_memory().expect("a journal");
    for walk in ["one", "bad", "two"] {
        journal.begin(walk, "{}", START_MS + DAY_MS).expect("written");
    }
    let chains = journal.chains().expect("chains");
    let read = |chain: &journal::ChainSummary| match chain.id.as_str() {
        "bad" => Err(walk::Error::Record { seq: 3, what: "no record".to_owned() }),
        id => Ok(id.to_owned()),
    };
    let (walks, damaged) = readable(&journal, &chains, read).expect("the journal itself is whole");
    assert_eq!(walks, ["one", "two"]);
    assert_eq!((damaged.len(), &*damaged[0].walk), (1, "bad"));
    assert!(damaged[0].why.contains("record 3"));
}
