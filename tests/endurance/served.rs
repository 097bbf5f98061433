//! The server killed five hundred times and more, and two hundred technicians at once.

#[path = "../scenarios/served/crowd.rs"]
mod crowd;
#[path = "../scenarios/served/device.rs"]
#[expect(dead_code, reason = "the ordinary suite uses the rest of it")]
mod device;
#[path = "../scenarios/served/server.rs"]
#[expect(dead_code, reason = "the ordinary suite uses the rest of it")]
mod server;
#[path = "../scenarios/served/sweep.rs"]
mod sweep;
#[path = "../scenarios/served/trail.rs"]
mod trail;
#[path = "../scenarios/served/walker.rs"]
mod walker;

use server::{SMALL, Server};

/// A procedure with second persons, readings, fasteners and waits.
const WAND: [&str; 2] =
    ["procedures/oskerry-22/equipment.yaml", "procedures/oskerry-22/wand-reassembly.yaml"];

/// Every event boundary but those inside one answer, where a wait starts by itself; the instants hit those.
#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn killed_after_every_answer_of_a_long_walk() {
    let kills = sweep::boundaries(&mut Server::start(&WAND), "wand-reassembly");
    println!("killed after every answer: {kills} kills");
    assert!(kills > 60, "only {kills} answers");
}

#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn killed_at_five_hundred_instants_under_load() {
    // A file of its own for each hundred: all of it is read after every kill.
    let (mut kills, mut starts, mut kept, mut lost, mut acknowledged) = (0, 0, 0, 0, 0);
    for seed in 2..7 {
        let tally = sweep::instants(&mut Server::start(&SMALL), "strainer-clean", 100, seed);
        println!("seed {seed}: {tally:?}");
        kills += tally.kills;
        starts += tally.starts;
        kept += tally.unheard.kept;
        lost += tally.unheard.lost;
        acknowledged += tally.acknowledged;
    }
    println!("{kills} kills, {starts} of them while it started; {acknowledged} answers acknowledged");
    println!("not heard of: {kept} on record, {lost} not");
    assert!(kills >= 500 && starts > 50);
    // The kills came in the middle of answers, on either side of the record.
    assert!(kept > 5 && lost > 5);
}

#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn two_hundred_technicians_at_once_lose_and_double_nothing() {
    let server = Server::start(&SMALL);
    let crowd = crowd::crowd(&server, "strainer-clean", 200, 20);
    println!("{} answers in {:?}, at most {:?} kB", crowd.answers.len(), crowd.whole, server.peak_kb());
    assert_eq!(crowd.answers.len(), 4_000);
}
