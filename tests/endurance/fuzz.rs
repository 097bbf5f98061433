//! Changed documents by the ten thousand: no panic, no hang, no growth, and no fault of our own.

use crate::support::demo;
use oracle::Random;
use std::time::{Duration, Instant};

/// No single input may take longer, even on a busy machine.
const EACH_MAX: Duration = Duration::from_secs(20);
/// How much the process may grow once it is warm, in kilobytes.
const GROWTH_MAX_KB: u64 = 100_000;

/// Resident memory in kilobytes, where the system tells it.
fn resident_kb() -> Option<u64> {
    let status = std::fs::read_to_string("/proc/self/status").ok()?;
    let line = status.lines().find(|line| line.starts_with("VmRSS:"))?;
    line.split_whitespace().nth(1)?.parse().ok()
}

/// Changes bytes: flips, cuts, doubles.
fn bytes(text: &mut Vec<u8>, numbers: &mut Random) {
    for _ in 0..=numbers.below(6) {
        let at = numbers.below(text.len());
        match numbers.below(5) {
            0 => text[at] = u8::try_from(numbers.below(256)).expect("a byte"),
            1 => text.truncate(at.max(1)),
            2 => {
                let end = (at + numbers.below(200)).min(text.len());
                let part = text[at..end].to_vec();
                let to = numbers.below(text.len());
                text.splice(to..to, part);
            }
            3 => {
                text.remove(at);
                text.push(b' ');
            }
            _ => text.insert(at, b"[]{}:,-\"'#&*!|>\t\n \0"[numbers.below(19)]),
        }
    }
}

/// Changes lines and words, so that most documents keep their shape and reach the proof.
fn lines(text: &mut Vec<u8>, numbers: &mut Random) {
    let whole = String::from_utf8_lossy(text).into_owned();
    let mut lines: Vec<String> = whole.lines().map(str::to_owned).collect();
    for _ in 0..=numbers.below(3) {
        let (at, other) = (numbers.below(lines.len()), numbers.below(lines.len()));
        match numbers.below(4) {
            0 => lines.swap(at, other),
            1 => {
                lines.remove(at);
                lines.push(String::new());
            }
            2 => {
                // A value of another line in place of this one's.
                let value = lines[other].split_once(": ").map(|(_, value)| value.to_owned());
                if let (Some(value), Some((key, _))) = (value, lines[at].clone().split_once(": ")) {
                    lines[at] = format!("{key}: {value}");
                }
            }
            _ => {
                let line = lines[at].clone();
                lines.insert(other, line);
            }
        }
    }
    *text = lines.join("\n").into_bytes();
}

/// A procedure that performs another, and one that performs both that one and the other.
fn performing(other: &str) -> [document::InputFile; 2] {
    let step = |name: &str| format!("  - id: do-{name}\n    perform: {name}\n");
    let whole = |name: &str, steps: String| document::InputFile {
        name: format!("{name}.yaml"),
        bytes: format!("{}steps:\n{steps}", HEAD.replace("NAME", name)).into_bytes(),
    };
    [whole("around", step(other)), whole("outermost", step("around") + &step(other))]
}

const HEAD: &str = "procedure: NAME\ntitle: Do it all\nequipment: oskerry-22\nrevision: 1\npurpose: It is done.\n\
    scope: All of it.\nperformers: { technician: 1 }\ntime: 2 h\nlevel_of_use: continuous\ntools: none\n\
    supplies: none\nspares: none\nwear: none\n";

#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn fuzz(rounds: usize, seed: u64, change: impl Fn(&mut Vec<u8>, &mut Random), proved_min: usize) {
    let demo = demo::files();
    let mut numbers = Random::new(seed);
    let (mut warm, mut proved, mut on_faulty) = (None, 0, 0);
    let budget = check::Budget { boxes: 50_000, go_on: &|| true };
    for round in 0..rounds {
        let mut files = vec![demo[numbers.below(demo.len())].clone()];
        change(&mut files[0].bytes, &mut numbers);
        if files[0].name != "equipment.yaml" {
            files
                .push(demo.iter().find(|file| file.name == "equipment.yaml").expect("the equipment").clone());
        } else {
            let procedures: Vec<_> = demo.iter().filter(|file| file.name != "equipment.yaml").collect();
            files.push(procedures[numbers.below(procedures.len())].clone());
        }
        let other = files.iter().find(|file| file.name != "equipment.yaml").expect("a procedure");
        let mut around = performing(other.name.trim_end_matches(".yaml"));
        if numbers.below(4) == 0 {
            change(&mut around[numbers.below(2)].bytes, &mut numbers);
        }
        files.extend(around);
        let began = Instant::now();
        let report = check::check(document::read(&files), &budget)
            .unwrap_or_else(|fault| panic!("seed {seed}, round {round}: {fault}"));
        assert!(began.elapsed() < EACH_MAX, "seed {seed}, round {round} took {:?}", began.elapsed());
        let faulty = |name: &str| report.errors_of(name).iter().any(|finding| finding.place.source.0 == 0);
        on_faulty += usize::from(faulty("outermost"));
        for finding in report.findings() {
            let source = &report.library.sources[finding.place.source.0 as usize];
            assert!(finding.place.span.end <= source.text.len(), "seed {seed}, round {round}: {finding:?}");
        }
        proved += report.procedures.iter().filter(|checked| checked.proof.is_some()).count();
        if round == rounds / 10 {
            warm = resident_kb();
        }
    }
    assert!(proved >= proved_min, "only {proved} of {rounds} reached the proof");
    // Most changed documents have errors, and what performs them has to take that too.
    assert!(on_faulty > rounds / 10, "only {on_faulty} of {rounds} rested on one with errors");
    println!("seed {seed}: {rounds} rounds, {proved} proofs, {on_faulty} rested on one with errors");
    if let (Some(warm), Some(end)) = (warm, resident_kb()) {
        assert!(end < warm + GROWTH_MAX_KB, "grew from {warm} kB to {end} kB");
    }
}

#[test]
fn reading_takes_anything() {
    fuzz(20_000, 1, bytes, 0);
}

#[test]
fn machine_and_proof_take_anything_that_reads() {
    fuzz(15_000, 2, lines, 2_000);
}
