//! Which walks are wanted, and which cannot be read.

use super::{START_MS, walked};
use document::Day;
use records::Filter;

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
