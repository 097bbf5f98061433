//! The server killed (SIGKILL): what was acknowledged is there, once, and nothing else. The long suite kills more often.

use super::crowd::crowd;
use super::server::{SMALL, Server};
use super::sweep::{boundaries, instants};

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
