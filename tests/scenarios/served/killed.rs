//! The server killed (SIGKILL): what was acknowledged is there, once, and nothing else. The long suite kills more often.

use super::crowd::crowd;
use super::server::{SMALL, Server};
use super::sweep::{boundaries, instants, said};
use super::trail::{Trail, Unheard, intact};
use super::walker::{Walker, willing};
use std::panic::{AssertUnwindSafe, catch_unwind};

#[test]
fn killed_after_every_answer_of_a_walk() {
    let kills = boundaries(&mut Server::start(&SMALL), "strainer-clean");
    assert!(kills > 20, "only {kills} answers");
}

#[test]
fn killed_at_thirty_instants_under_load() {
    let tally = instants(&mut Server::start(&SMALL), "strainer-clean", 30, 1);
    assert!(tally.kills >= 30 && tally.acknowledged > 200, "{tally:?}");
}

#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn twenty_technicians_at_once_lose_and_double_nothing() {
    let server = Server::start(&SMALL);
    let crowd = crowd(&server, "strainer-clean", 20, 12);
    println!("{} answers in {:?}, at most {:?} kB", crowd.answers.len(), crowd.whole, server.peak_kb());
    assert_eq!(crowd.answers.len(), 240);
}

/// What looks at the records must be able to find each fault.
#[test]
fn a_lost_a_doubled_an_invented_and_a_changed_answer_are_each_found() {
    let server = Server::start(&SMALL);
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    let (_, mut walk) = walker.begin("strainer-clean").expect("an answer");
    let mut trail = Trail::new(walk["id"].as_str().expect("a name"));
    for _ in 0..5 {
        let (below, body) = willing(&walk).expect("it has not ended");
        walk = said(&mut walker, &mut trail, below, body).expect("an answer");
    }
    let journal = intact(&server.journal(), std::slice::from_ref(&trail), 0);
    assert_eq!(trail.clone().check(&journal), Unheard::default());
    let lost = |trail: &mut Trail| {
        let mut said = trail.sent[4].clone();
        said.body["key"] = "never-taken".into();
        trail.sent.push(said);
    };
    let invented = |trail: &mut Trail| drop(trail.sent.remove(2));
    let out_of_order = |trail: &mut Trail| trail.sent.swap(1, 3);
    let changed = |trail: &mut Trail| trail.sent[0].body["value"] = "another".into();
    let faults: [&dyn Fn(&mut Trail); 4] = [&lost, &invented, &out_of_order, &changed];
    for (number, fault) in faults.into_iter().enumerate() {
        let mut trail = trail.clone();
        fault(&mut trail);
        let checked = catch_unwind(AssertUnwindSafe(|| trail.check(&journal)));
        assert!(checked.is_err(), "fault {number} is not found");
    }
}
