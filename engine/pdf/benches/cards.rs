//! `cargo bench -p pdf`: 1,000 procedures of 20 steps on paper, beside their reading and their text cards in the same
//! run. Prints Markdown.

use card::page::{Approval, CardApproval, Page, build};
use document::{InputFile, read};
use pdf::{Options, Paper, Sheet, render};
use std::time::{Duration, Instant};

const PROCEDURES: usize = 1_000;
const STEPS: usize = 20;

const EQUIPMENT: &str = "
equipment: bench
title: Bench
revision: 1
defer: The maker's instructions come first.
conditions:
  lid: { values: [shut, open], ask: \"Is the lid shut?\", normal: shut }
hazards:
  shock: { worst: death, certainty: could, hazard: Bare terminals., consequence: Contact can kill., avoid: Keep off. }
safe_state: { lid: shut }
roles: { technician: Holds the qualification. }
tools: { key: Key }
";

fn procedure(number: usize) -> String {
    let mut text = format!(
        "procedure: work-{number}\ntitle: Work {number}\nequipment: bench\nrevision: 1\neffective: 2026-11-02\n\
         purpose: Work.\nscope: All.\nperformers: {{ technician: 1 }}\ntime: 5 min\nlevel_of_use: continuous\n\
         tools: [key]\nsupplies: none\nspares: none\nwear: none\nrequires: {{ lid: shut }}\nleaves: {{ lid: shut }}\nsteps:\n"
    );
    for step in 0..STEPS {
        text.push_str(&match step % 4 {
            0 => format!("  - {{ id: s{step}, do: \"Turn key {number} to the right.\", warn: [shock], tools: [key] }}\n"),
            1 => format!("  - {{ id: s{step}, confirm: {{ lid: shut }}, otherwise: stop }}\n"),
            2 => format!("  - {{ id: s{step}, wait: {{ for: 30 s, why: It settles. }} }}\n"),
            _ => format!("  - {{ id: s{step}, do: Look at the lid., expect: The lid is shut. }}\n"),
        });
    }
    text
}

#[expect(clippy::disallowed_methods, reason = "a benchmark measures time")]
fn timed<T>(work: impl FnOnce() -> T) -> (Duration, T) {
    let start = Instant::now();
    let result = work();
    (start.elapsed(), result)
}

#[expect(clippy::print_stdout, reason = "the report is what this program is for")]
fn row(what: &str, time: Duration, cards: usize, base: Duration) {
    let each = time.as_secs_f64() * 1000.0 / cards as f64;
    let ratio = time.as_secs_f64() / cards as f64 / (base.as_secs_f64() / PROCEDURES as f64);
    println!("| {what} | {each:.2} ms | {:.0} | {ratio:.1} |", 1000.0 / each);
}

#[expect(clippy::print_stdout, reason = "the report is what this program is for")]
fn main() {
    let file = |name: String, text: String| InputFile { name, bytes: text.into_bytes() };
    let mut files = vec![file("bench.yaml".to_owned(), EQUIPMENT.to_owned())];
    files.extend((0..PROCEDURES).map(|number| file(format!("w{number}.yaml"), procedure(number))));
    let (reading, pages): (Duration, Vec<Page>) = timed(|| {
        let library = read(&files).library;
        let standing = CardApproval { content: "00ff".repeat(16), approval: Approval::NotApproved };
        let page = |name| build(&library, name, &standing, None).ok();
        library.procedures.keys().filter_map(page).collect()
    });
    println!("| {} procedures of {STEPS} steps | a card | cards a second | times the reading |", pages.len());
    println!("| --- | --- | --- | --- |");
    row("read, and page models made", reading, PROCEDURES, reading);
    let (text, _) = timed(|| pages.iter().map(|page| card::text::text(page).len()).sum::<usize>());
    row("text", text, pages.len(), reading);
    let (cold, _) = timed(|| pages.first().map(|page| render(page, &Options { paper: Paper::A4 })));
    row("PDF, A4, the first with the fonts", cold, 1, reading);
    for (name, paper) in [("A4", Paper::A4), ("pocket, four on A4", Paper::PocketOn(Sheet::A4))] {
        let (warm, bytes) = timed(|| {
            let size = |page| render(page, &Options { paper }).map_or(0, |bytes| bytes.len());
            pages.iter().map(size).sum::<usize>()
        });
        row(
            &format!("PDF, {name}, {} kB each", bytes / 1000 / pages.len().max(1)),
            warm,
            pages.len(),
            reading,
        );
    }
}
