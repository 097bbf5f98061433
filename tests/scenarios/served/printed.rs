//! The record of a walk on paper, read back with poppler and pikepdf.

use super::device::Device;
use super::server::{SMALL, Server};
use crate::walks::root;
use std::process::{Command, Output};

/// What the terminal says of a record.
fn record(server: &Server, arguments: &[&str]) -> Output {
    Command::new(env!("CARGO_BIN_EXE_gatewright"))
        .arg("record")
        .args(arguments)
        .arg("--journal")
        .arg(server.journal())
        .output()
        .expect("the program runs")
}

fn outside(program: &str, arguments: &[&str]) -> String {
    let output = Command::new(program).args(arguments).output().expect("a program that tests/run installs");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(output.status.success(), "{program}: {said}{}", String::from_utf8_lossy(&output.stderr));
    said
}

/// Without white, which lines and columns decide.
fn close(text: &str) -> String {
    text.split_whitespace().collect()
}

fn note(device: &mut Device, walk: &str, key: &str, text: &str) {
    let page = device.get(&format!("/walks/{walk}"));
    let (csrf, position) = (page.field("", "csrf"), page.field("", "position"));
    let fields =
        [("csrf", csrf.as_str()), ("say", "note"), ("value", text), ("position", &position), ("key", key)];
    assert_eq!(device.post(&format!("/walks/{walk}"), &fields).status, 303);
}

#[test]
fn every_event_of_a_record_is_on_paper_in_order_whatever_was_typed() {
    let server = Server::start(&SMALL);
    let mut device = Device::signed_in(&server, "Tomas Reeve");
    let walk = device.begin("strainer-clean");
    note(&mut device, &walk, "n-1", "Bowl \u{202e}\u{1b}\u{4e2d} and \u{1f527}, \u{5d0}\u{5d1}, Ω");
    note(&mut device, &walk, "n-2", &"The bowl is dirtier than usual. ".repeat(120));
    device.walk(&walk, 400);
    let output = record(&server, &["export", &walk, "--form", "pdf"]);
    assert!(output.stdout.starts_with(b"%PDF"), "{}", String::from_utf8_lossy(&output.stderr));
    assert_eq!(record(&server, &["export", &walk, "--form", "pdf"]).stdout, output.stdout, "the same bytes");
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("record.pdf");
    std::fs::write(&path, &output.stdout).expect("written");
    let path = path.to_str().expect("UTF-8");

    // Each event as the terminal tells it, one after the other.
    let text = outside("pdftotext", &["-raw", path, "-"]);
    let pages: Vec<&str> = text.split('\u{c}').filter(|page| !page.trim().is_empty()).collect();
    assert!(pages.len() > 2, "{} pages", pages.len());
    let heads = |line: &&str| !line.contains("revision 1") && !line.starts_with("As of ");
    let body: String = pages.iter().flat_map(|page| page.lines()).filter(heads).collect::<Vec<_>>().join(" ");
    let mut rest = close(&body);
    let shown = String::from_utf8(record(&server, &["show", &walk]).stdout).expect("UTF-8");
    let events = shown.split_once("\n\n").expect("events after the head").1;
    assert!(events.lines().count() > 30);
    for event in events.lines() {
        let (number, event) = event.trim_start().split_once("  ").expect("number and event");
        let (time, words) = event.split_once("  ").expect("time and words");
        // On a terminal it neither turns the line round nor colours it.
        assert!(!words.contains(['\u{202e}', '\u{1b}']), "{words}");
        let words = words
            .replacen('\u{fffd}', "[U+202E]", 1)
            .replacen('\u{fffd}', "[U+001B]", 1)
            .replace('\u{4e2d}', "[U+4E2D]")
            .replace('\u{1f527}', "[U+1F527]");
        let words: String = words.chars().filter(|letter| !('\u{590}'..'\u{5ff}').contains(letter)).collect();
        let time = close(&time.replace(['T', 'Z'], " "));
        let first = close(&words).split(',').next().unwrap_or_default().to_owned();
        let sought = format!("{number}{time}{}", first.chars().take(24).collect::<String>());
        let at = rest.find(&sought).unwrap_or_else(|| panic!("`{sought}` is not next in {rest}"));
        rest.drain(..at + sought.len());
    }
    // A rehearsal says so on every page, and so does training.
    for page in &pages {
        assert!(page.contains("REHEARSAL"), "{page}");
    }
    let day = time_of_last(events);
    let title = format!("Record: Clean the tank strainer ({walk}, strainer-clean revision 1)");
    let python = root().join("target/outside/python/bin/python");
    let script = root().join("tests/scenarios/paper/structure.py");
    let script = script.to_str().expect("UTF-8");
    let said = outside(python.to_str().expect("UTF-8"), &[script, path, &title, &day]);
    assert_eq!(said, "", "structure");

    let page = device.get(&format!("/records/{walk}"));
    let link = format!("/records/{walk}/record.pdf");
    assert!(page.body.contains(&link), "{}", page.body);
    let reply = device.get(&link);
    assert_eq!((reply.status, reply.header("content-type")), (200, Some("application/pdf")));
    assert!(reply.body.starts_with("%PDF"));
    assert_eq!(device.get("/records/no-such-walk/record.pdf").status, 404);
    let none = record(&server, &["export", "--form", "pdf"]);
    let told = String::from_utf8_lossy(&none.stderr).into_owned();
    assert!(told.contains("a PDF holds one record: name the walk"), "{told}");
}

/// The day of the last event of those that `record show` lists.
fn time_of_last(events: &str) -> String {
    let last = events.lines().last().and_then(|line| line.trim_start().split_once("  ")).expect("an event");
    last.1[..10].to_owned()
}
