//! `cargo bench -p pdf`: the bundled cards on paper beside their HTML, 1,000 procedures of 20 steps beside their reading and
//! their text cards, and ever longer cards, each in the same run. Prints Markdown.

use card::page::{Approval, CardApproval, Page, build};
use document::model::Name;
use document::{InputFile, read};
use pdf::{Options, Paper, Sheet, render};
use std::path::{Path, PathBuf};
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

fn procedure(number: usize, steps: usize) -> String {
    let mut text = format!(
        "procedure: work-{number}\ntitle: Work {number}\nequipment: bench\nrevision: 1\neffective: 2026-11-02\n\
         purpose: Work.\nscope: All.\nperformers: {{ technician: 1 }}\ntime: 5 min\nlevel_of_use: continuous\n\
         tools: [key]\nsupplies: none\nspares: none\nwear: none\nrequires: {{ lid: shut }}\nleaves: {{ lid: shut }}\nsteps:\n"
    );
    for step in 0..steps {
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

fn row(what: &str, time: Duration, cards: usize, base: Duration) {
    let each = time.as_secs_f64() * 1000.0 / cards as f64;
    let ratio = time.as_secs_f64() / cards as f64 / (base.as_secs_f64() / PROCEDURES as f64);
    say(&format!("| {what} | {each:.2} ms | {:.0} | {ratio:.1} |", 1000.0 / each));
}

#[expect(clippy::print_stdout, reason = "the report is what this program is for")]
fn say(line: &str) {
    println!("{line}");
}

/// How often the bundled cards are made; the least time counts.
const ROUNDS: usize = 15;

/// The page models of the bundled procedures.
#[expect(clippy::disallowed_methods, reason = "a benchmark reads what it measures")]
fn bundled() -> Vec<Page> {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../procedures/oskerry-22");
    let mut paths: Vec<PathBuf> =
        std::fs::read_dir(folder).expect("procedures").map(|entry| entry.expect("an entry").path()).collect();
    paths.sort();
    let file = |path: &PathBuf| InputFile {
        name: path.display().to_string(),
        bytes: std::fs::read(path).expect("a document"),
    };
    let library = read(&paths.iter().map(file).collect::<Vec<_>>()).library;
    let page = |name: &Name| {
        let content = library.content_hash(name).expect("a hash");
        build(&library, name, &CardApproval { content, approval: Approval::NotApproved }, None)
            .expect("a page")
    };
    library.procedures.keys().map(page).collect()
}

/// The bundled cards as PDF and as HTML, warm; then as many PDFs on every core at the same time.
fn bundled_cards() {
    type Form<'a> = (&'a str, &'a dyn Fn(&Page) -> usize);
    let pages = bundled();
    let paper = |page: &Page| render(page, &Options { paper: Paper::A4 }).map_or(0, |bytes| bytes.len());
    say(&format!("| {} bundled cards | kB each | a card | cards a second | times the HTML |", pages.len()));
    say("| --- | --- | --- | --- | --- |");
    let forms: [Form<'_>; 2] =
        [("HTML", &|page| card::html::html(page).map_or(0, |text| text.len())), ("PDF, A4", &paper)];
    let mut base = None;
    let mut row = |name: &str, bytes: usize, each: Duration| {
        let base = *base.get_or_insert(each);
        let (each, ratio) = (each.as_secs_f64() * 1000.0, each.as_secs_f64() / base.as_secs_f64());
        let size = bytes / 1000 / pages.len();
        say(&format!("| {name} | {size} | {each:.2} ms | {:.0} | {ratio:.1} |", 1000.0 / each));
    };
    let cards = pages.len() as u32;
    let mut bytes = 0;
    for (name, size) in forms {
        // Fonts, templates and the like are read at the first.
        bytes = pages.iter().map(size).sum();
        let all = || pages.iter().map(size).sum::<usize>();
        row(name, bytes, (0..ROUNDS).map(|_| timed(all).0).min().unwrap_or_default() / cards);
    }
    // Each core has its own warm letters, as each has while many cards are written.
    let cores = std::thread::available_parallelism().map_or(1, usize::from);
    let work = || {
        pages.iter().map(paper).sum::<usize>();
        (0..ROUNDS).for_each(|_| {
            pages.iter().map(paper).sum::<usize>();
        });
    };
    let (took, ()) = timed(|| {
        std::thread::scope(|scope| (0..cores).for_each(|_| drop(scope.spawn(work))));
    });
    let made = cards * (ROUNDS as u32 + 1) * cores as u32;
    row(&format!("PDF, A4, {cores} cores, the first round with it"), bytes, took / made);
}

/// Cards of ever more steps: the time for a page stays what it is.
fn long_cards() {
    say("\n| a card of | pages | time | a page | times the page of the first |");
    say("| --- | --- | --- | --- | --- |");
    let mut base = None;
    for steps in [200, 2_000, 20_000] {
        let library = read(&[
            InputFile { name: "bench.yaml".to_owned(), bytes: EQUIPMENT.into() },
            InputFile { name: "work.yaml".to_owned(), bytes: procedure(0, steps).into() },
        ])
        .library;
        let standing = CardApproval { content: "00ff".repeat(16), approval: Approval::NotApproved };
        let page = build(&library, &"work-0".into(), &standing, None).expect("a page");
        let (took, bytes) = timed(|| render(&page, &Options { paper: Paper::A4 }).expect("a file"));
        let count = bytes.windows(11).filter(|word| word == b"/Type/Page/").count();
        let each = took.as_secs_f64() * 1000.0 / count as f64;
        let base = *base.get_or_insert(each);
        let time = took.as_secs_f64();
        say(&format!("| {steps} steps | {count} | {time:.2} s | {each:.2} ms | {:.1} |", each / base));
    }
}

/// `cargo bench -p pdf -- bundled` prints the first table alone.
#[expect(clippy::disallowed_methods, reason = "a benchmark has arguments")]
fn main() {
    bundled_cards();
    if std::env::args().any(|argument| argument == "bundled") {
        return;
    }
    many_cards();
    long_cards();
}

fn many_cards() {
    let file = |name: String, text: String| InputFile { name, bytes: text.into_bytes() };
    let mut files = vec![file("bench.yaml".to_owned(), EQUIPMENT.to_owned())];
    files.extend((0..PROCEDURES).map(|number| file(format!("w{number}.yaml"), procedure(number, STEPS))));
    let (reading, pages): (Duration, Vec<Page>) = timed(|| {
        let library = read(&files).library;
        let standing = CardApproval { content: "00ff".repeat(16), approval: Approval::NotApproved };
        let page = |name| build(&library, name, &standing, None).ok();
        library.procedures.keys().filter_map(page).collect()
    });
    say(&format!(
        "\n| {} procedures of {STEPS} steps | a card | cards a second | times the reading |",
        pages.len()
    ));
    say("| --- | --- | --- | --- |");
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
