//! Whether the documents in force are still those that a walk goes by.

use super::documents::{PROCEDURE, library};
use records::{Basis, Change, change};

const CONTENT: &str = "0123";

fn basis(training: bool) -> Basis {
    Basis { procedure: "wash".to_owned(), revision: 3, content: CONTENT.to_owned(), training }
}

fn told(basis: &Basis, text: &str, content: &str, unapproved: Option<&str>) -> Option<Change> {
    let asked = || Ok::<_, ()>(unapproved.map(str::to_owned));
    change(basis, &library(text), Some(content), asked).expect("nothing fails")
}

#[test]
fn what_is_in_force_is_told_where_it_is_not_what_the_walk_goes_by() {
    let real = basis(false);
    assert_eq!(told(&real, PROCEDURE, CONTENT, None), None);
    assert_eq!(told(&real, PROCEDURE, "4567", None), Some(Change::Altered { revision: 3 }));
    let revised = PROCEDURE.replace("revision: 3", "revision: 4");
    assert_eq!(told(&real, &revised, "4567", None), Some(Change::Revised { now: 4, walked: 3 }));
    let other = PROCEDURE.replace("procedure: wash", "procedure: rinse");
    assert_eq!(told(&real, &other, CONTENT, None), Some(Change::Recalled { procedure: "wash".to_owned() }));
}

#[test]
fn an_approval_that_ended_is_told_of_real_work_alone() {
    let ended = Some("Withdrawn by Gwen Adeyi on 2026-11-20");
    let sentence = ended.map(|sentence| Change::Unapproved(sentence.to_owned()));
    assert_eq!(told(&basis(false), PROCEDURE, CONTENT, ended), sentence);
    assert_eq!(told(&basis(true), PROCEDURE, CONTENT, ended), None);
    let failed = change(&basis(false), &library(PROCEDURE), Some(CONTENT), || Err("cannot be read"));
    assert_eq!(failed, Err("cannot be read"), "what cannot be told is not taken for approved");
}
