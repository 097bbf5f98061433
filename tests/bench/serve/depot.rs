//! Lists, first page and exports where many walks are on record, beside a bare scan of what they are told by.

use crate::device::Device;
use crate::rows::{ratio, row, table, time};
use crate::server::{PEOPLE, SMALL, Server};
use crate::sweep::said;
use crate::trail::Trail;
use crate::walker::{Walker, willing};
use journal::{Journal, Record, Told};
use rusqlite::{Connection, types::ValueRef};
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::{Duration, Instant};

/// Walks on record: finished, and open.
const SIZES: [(usize, usize); 2] = [(10_000, 1_000), (100_000, 10_000)];

pub(crate) fn run() {
    let columns = ["finished", "open", "file", "what", "time", "a bare scan", "ratio", "VmHWM"];
    table("Many walks on record", &columns);
    for (finished, open) in SIZES {
        one(finished, open);
    }
}

/// A walk by a willing technician, so many answers of it at most: its records, and what lists tell of it.
fn walked(server: &Server, most: usize) -> String {
    let mut walker = Walker::signed_in(server, PEOPLE[0].0);
    let (_, mut walk) = walker.begin("strainer-clean").expect("an answer");
    let mut trail = Trail::new(walk["id"].as_str().expect("a name"));
    for _ in 0..most {
        let Some((below, body)) = willing(&walk) else { break };
        walk = said(&mut walker, &mut trail, below, body).expect("an answer");
    }
    walk["id"].as_str().expect("a name").to_owned()
}

fn one(finished: usize, open: usize) {
    let mut server = Server::start(&SMALL);
    let (whole, half) = (walked(&server, usize::MAX), walked(&server, 8));
    server.kill();
    let mut journal = Journal::open(server.journal()).expect("the records");
    let like: Vec<(Vec<Record>, Told)> = [whole, half]
        .iter()
        .map(|id| {
            let told = journal.told_of(id).expect("it reads").expect("it is told");
            (journal.records(id).expect("it reads"), told)
        })
        .collect();
    let all: Vec<usize> = [vec![0; finished], vec![1; open]].concat();
    for (at, many) in all.chunks(1_000).enumerate() {
        let write = |journal: &mut Journal| {
            many.iter().enumerate().for_each(|(number, kind)| {
                copied(
                    journal,
                    &format!("strainer-clean-2026-10-20-{}", at * 1_000 + number + 1),
                    &like[*kind],
                );
            });
        };
        journal.together(write).expect("on disk");
    }
    drop(journal);
    // All of it into the file itself.
    let checkpoint = |file: Connection| file.execute_batch("PRAGMA wal_checkpoint(TRUNCATE)");
    Connection::open(server.journal()).and_then(checkpoint).expect("it is done");
    let bytes = std::fs::metadata(server.journal()).map_or(0, |file| file.len());
    let size = format!("{:.1} GB", bytes as f64 / 1e9);
    let bare = scanned(&server.journal());
    let told = |what: &str, took: Duration, memory: String| {
        let (finished, open) = (finished.to_string(), open.to_string());
        row(&[
            finished,
            open,
            size.clone(),
            what.to_owned(),
            time(took),
            time(bare),
            ratio(took, bare),
            memory,
        ]);
    };
    for arguments in
        [&["record", "list"][..], &["list"], &["list", "--due"], &["record", "export", "--form", "json"]]
    {
        told(&format!("`{}`", arguments.join(" ")), listed(&server.journal(), arguments), "-".to_owned());
    }
    let began = Instant::now();
    server.start_again();
    let started = began.elapsed();
    let mut device = Device::signed_in(&server, PEOPLE[0].0);
    let page = |device: &mut Device, path: &str| {
        let began = Instant::now();
        assert_eq!(device.get(path).status, 200);
        began.elapsed()
    };
    let memory = || server.peak_kb().map_or_else(|| "-".to_owned(), |kb| format!("{} MB", kb / 1024));
    told("until it listens", started, memory());
    told("first page after that", page(&mut device, "/"), memory());
    for path in ["/", "/machines", "/records", "/records?serial=OSK-0117"] {
        told(path, page(&mut device, path), memory());
    }
    let began = Instant::now();
    device.begin("strainer-clean");
    told("a walk is begun", began.elapsed(), memory());
}

fn copied(journal: &mut Journal, id: &str, (records, told): &(Vec<Record>, Told)) {
    for record in records {
        let written = match record.seq {
            0 => journal.begin(id, &record.payload, record.at_ms),
            seq => journal.append(id, seq, &record.payload, record.at_ms),
        };
        written.expect("it is written");
    }
    let (line, notes) = (told.line.clone(), told.notes.clone());
    journal.tell(id, &journal::Summary { token: None, line, notes }).expect("it is told");
}

/// Every column of what lists are told by, read and nothing made of it.
fn scanned(file: &Path) -> Duration {
    let file = Connection::open(file).expect("the records");
    let began = Instant::now();
    let mut statement = file.prepare("SELECT * FROM summary").expect("a table");
    let columns = statement.column_count();
    let mut rows = statement.query([]).expect("rows");
    let mut bytes = 0;
    while let Some(row) = rows.next().expect("a row") {
        for column in 0..columns {
            bytes += match row.get_ref(column).expect("a column") {
                ValueRef::Text(text) | ValueRef::Blob(text) => text.len(),
                _ => 8,
            };
        }
    }
    assert!(bytes > 0);
    began.elapsed()
}

fn listed(file: &Path, arguments: &[&str]) -> Duration {
    let folder = file.parent().expect("a folder");
    let began = Instant::now();
    let mut command = Command::new(env!("CARGO_BIN_EXE_gatewright"));
    command.args(arguments).arg("--journal").arg(file).current_dir(folder);
    let output = command.stdout(Stdio::null()).output().expect("it runs");
    let told = String::from_utf8_lossy(&output.stderr);
    assert!(output.status.code().is_some_and(|code| code < 2), "{arguments:?}: {told}");
    began.elapsed()
}
