//! `cargo bench --bench serve`: how long an answer takes, alone and among two hundred, beside bare commits to SQLite with
//! the same durability in the same run. Prints Markdown. `-- answers` and `-- depot` print a part.

#[path = "../../scenarios/served/crowd.rs"]
mod crowd;
mod depot;
#[path = "../../scenarios/served/device.rs"]
#[expect(dead_code, reason = "the tests use the rest of it")]
mod device;
#[path = "../rows.rs"]
#[expect(dead_code, reason = "the other bench uses the rest of it")]
mod rows;
#[path = "../../scenarios/served/server.rs"]
#[expect(dead_code, reason = "the tests use the rest of it")]
mod server;
#[path = "../../scenarios/served/sweep.rs"]
#[expect(dead_code, reason = "the tests use the rest of it")]
mod sweep;
#[path = "../../scenarios/served/trail.rs"]
mod trail;
#[path = "../../scenarios/served/walker.rs"]
mod walker;

#[path = "../../support/mod.rs"]
#[expect(dead_code, unused_imports, reason = "the tests use the rest of it")]
mod support;

use rusqlite::Connection;
use server::{SMALL, Server};
use std::path::Path;
use std::sync::mpsc::{Sender, SyncSender, channel, sync_channel};
use std::time::{Duration, Instant};

/// Answers, or commits, of each who takes part.
const EACH: usize = 30;
/// About as long as the record of an answer.
const PAYLOAD_BYTES: usize = 160;

/// Bare commits of one row each, as the journal sets SQLite: write-ahead log, synced at every commit. So many threads wait
/// in one line for one connection, as answers do.
fn bare(file: &Path, threads: usize, each: usize) -> Vec<Duration> {
    let connection = Connection::open(file).expect("a database");
    connection.pragma_update(None, "journal_mode", "WAL").expect("a log");
    connection.pragma_update(None, "synchronous", "FULL").expect("synced");
    connection
        .execute_batch("CREATE TABLE IF NOT EXISTS row (number INTEGER PRIMARY KEY, text TEXT)")
        .expect("made");
    let payload = "x".repeat(PAYLOAD_BYTES);
    let (line, waiting) = channel::<SyncSender<()>>();
    std::thread::scope(|scope| {
        scope.spawn(move || {
            for done in waiting {
                connection.execute("INSERT INTO row (text) VALUES (?1)", [&payload]).expect("a commit");
                done.send(()).expect("somebody waits");
            }
        });
        let commits = move |line: Sender<SyncSender<()>>| {
            let (done, hears) = sync_channel(1);
            let commit = |_| {
                let began = Instant::now();
                line.send(done.clone()).expect("it is taken");
                hears.recv().expect("a commit");
                began.elapsed()
            };
            (0..each).map(commit).collect::<Vec<_>>()
        };
        let all: Vec<_> = (0..threads)
            .map(|_| {
                let line = line.clone();
                scope.spawn(move || commits(line))
            })
            .collect();
        drop(line);
        all.into_iter().flat_map(|one| one.join().expect("no panic")).collect()
    })
}

/// The time within which so many of a hundred were done.
fn within(times: &mut [Duration], percent: usize) -> Duration {
    times.sort_unstable();
    times[(times.len() * percent / 100).min(times.len() - 1)]
}

fn main() {
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    rows::say(&format!("{cores} cores; technicians and server share them.\n"));
    let is_asked = |what: &str| std::env::args().any(|argument| argument == what);
    if is_asked("depot") {
        depot::run();
        return;
    }
    answers();
    if !is_asked("answers") {
        depot::run();
    }
}

fn answers() {
    rows::table(
        "Answers",
        &[
            "at once",
            "answers",
            "p50",
            "p99",
            "bare p50",
            "bare p99",
            "p50 ratio",
            "p99 ratio",
            "answers/s",
            "VmHWM",
        ],
    );
    let folder = tempfile::tempdir().expect("a folder");
    for walkers in [1, 20, 200, 1_000] {
        let server = Server::start(&SMALL);
        let mut crowd = crowd::crowd(&server, "strainer-clean", walkers, EACH);
        let mut bare = bare(&folder.path().join("bare.sqlite"), walkers, EACH);
        let ours = [50, 99].map(|percent| within(&mut crowd.answers, percent));
        let theirs = [50, 99].map(|percent| within(&mut bare, percent));
        let [half, most] = [0, 1].map(|at| rows::ratio(ours[at], theirs[at]));
        let rate = crowd.answers.len() as f64 / crowd.whole.as_secs_f64();
        let memory = server.peak_kb().map_or_else(|| "-".to_owned(), |kb| format!("{} MB", kb / 1024));
        rows::row(&[
            walkers.to_string(),
            crowd.answers.len().to_string(),
            rows::time(ours[0]),
            rows::time(ours[1]),
            rows::time(theirs[0]),
            rows::time(theirs[1]),
            half,
            most,
            format!("{rate:.0}"),
            memory,
        ]);
    }
}
