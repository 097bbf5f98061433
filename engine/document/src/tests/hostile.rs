//! Bytes that nobody would write: nothing panics, hangs or grows, and every finding can be shown.

use super::{EQUIPMENT, PROCEDURE, lines};
use crate::limits::{MAX_BYTES, MAX_FINDINGS};
use crate::{InputFile, Reading, read};
use std::time::{Duration, Instant};

/// Far more than any document of the permitted size takes, also in a slow build on a busy machine.
const LONG: Duration = Duration::from_secs(20);

/// Reads bytes, in time, with findings that lie inside the text and can be followed.
fn survive(files: &[Vec<u8>]) -> Reading {
    let files: Vec<InputFile> =
        files.iter().map(|bytes| InputFile { name: "h.yaml".to_owned(), bytes: bytes.clone() }).collect();
    #[expect(clippy::disallowed_methods, reason = "the test is about time")]
    let start = Instant::now();
    let reading = read(&files);
    assert!(start.elapsed() < LONG, "took {:?}", start.elapsed());
    assert!(
        reading.findings.len() <= files.len() * (MAX_FINDINGS + 1),
        "{} findings",
        reading.findings.len()
    );
    for finding in &reading.findings {
        for place in finding.notes.iter().map(|(place, _)| place).chain([&finding.place]) {
            let text = &reading.library.sources[place.source.0 as usize].text;
            assert!(
                text.get(place.span.start..place.span.end).is_some(),
                "{:?} of {}",
                place.span,
                finding.message
            );
        }
        assert!(finding.message.len() < 4_000, "a message of {} bytes", finding.message.len());
        assert!(!finding.message.contains('\n'), "{}", finding.message);
    }
    reading
}

#[track_caller]
fn refused(text: impl Into<Vec<u8>>, code: &str, words: &str) {
    let reading = survive(&[text.into()]);
    let found = lines(&reading);
    assert!(
        reading.findings.iter().any(|finding| finding.code == code && finding.message.contains(words)),
        "{:#?}",
        &found[..found.len().min(5)]
    );
}

#[test]
fn too_large() {
    let reading = survive(&[vec![b'a'; 20 << 20]]);
    assert_eq!(lines(&reading), ["R01 h.yaml:1:1 a document may be at most 16 MiB; this one has 20 MiB"]);
    assert_eq!(reading.library.sources[0].text, "", "what is refused for its size is not kept");
    refused(vec![b'a'; MAX_BYTES + 1], "R01", "at most 16 MiB; this one has 16.0 MiB (16777217 bytes)");
}

#[test]
fn too_deep() {
    refused("[".repeat(100_000), "R09", "at most 64 deep");
    refused("{a: ".repeat(100_000), "R09", "at most 64 deep");
    refused("- ".repeat(10_000), "R09", "at most 64 deep");
    refused("? ".repeat(10_000), "R09", "at most 64 deep");
    let lines: String = (0..1_300).map(|depth| format!("{}a:\n", " ".repeat(depth))).collect();
    refused(lines, "R09", "at most 64 deep");
    refused(format!("{}{}{}", "- ".repeat(40), "[".repeat(40), "]".repeat(40)), "R09", "at most 64 deep");
    // Sixty-four are fine for the reader, whatever the schema says of them.
    let fine = format!("{}{}", "[".repeat(64), "]".repeat(64));
    assert!(survive(&[fine.into()]).findings.iter().all(|finding| finding.code == "R10"));
    refused(format!("{}{}", "[".repeat(65), "]".repeat(65)), "R09", "at most 64 deep");
}

#[test]
fn too_many() {
    refused(format!("[{}]", "1,".repeat(4_000_001)), "R09", "at most 4000000 values");
    let keys: String = (0..60_000).map(|key| format!("k{key}: 1\n")).collect();
    refused(format!("procedure: x\n{keys}"), "R11", "unknown");
    refused("a: 1\n".repeat(100_000), "R09", "the others are not listed");
    refused("&a *a ".repeat(50_000), "R04", "");
    refused(format!("[{}]", "*a,".repeat(100_000)), "R09", "the others are not listed");
    refused("\0".repeat(MAX_BYTES), "R03", "NUL");
}

#[test]
fn aliases_do_not_multiply() {
    let mut bomb = "a: &a [x, x, x, x, x, x, x, x, x]\n".to_owned();
    for (name, before) in "bcdefghij".chars().zip("abcdefghi".chars()) {
        bomb.push_str(&format!("{name}: &{name} [{}]\n", vec![format!("*{before}"); 9].join(", ")));
    }
    refused(bomb, "R07", "aliases");
}

#[test]
fn long_texts() {
    let long = "x".repeat(MAX_BYTES - 20_000);
    refused(format!("procedure: {long}\n"), "R13", "at most 64 characters");
    refused(format!("procedure: {long}!\n"), "R14", "is not a name");
    refused(format!("title: {long}\n"), "R10", "neither");
    refused(format!("\"{long}\": 1\n"), "R04", "");
    refused(format!("? {long}\n: 1\n"), "R06", "at most 200 bytes");
    refused(PROCEDURE.replace("technician: 1", &format!("technician: '{long}'")), "R13", "whole number");
    for text in [long, format!("a\\nb{}", "\\n".repeat(1_000))] {
        let equipment = EQUIPMENT.replace("6 mm", &format!("\"{text}\""));
        assert_eq!(survive(&[equipment.into()]).findings[0].code, "A02");
        let procedure = PROCEDURE.replace("supply: isolated", &format!("supply: \"{text}\""));
        assert_eq!(survive(&[EQUIPMENT.into(), procedure.into()]).findings[0].code, "N03");
    }
    let zeros = "0".repeat(MAX_BYTES - 20_000);
    refused(format!("? 0.{zeros}\n: 1\n"), "R06", "is not");
    let spaces = " ".repeat(MAX_BYTES - 100);
    refused(format!("a:{spaces}b: c"), "R04", "");
    refused(format!("a: |\n {}", "b\n ".repeat(300_000)), "R10", "");
}

/// Many faults of names, each with many names to choose from.
#[test]
fn many_names_to_choose_from() {
    let conditions: String = (0..12_000).map(|n| format!("  c{n}: {{ values: [a, b] }}\n")).collect();
    let equipment = EQUIPMENT.replace("conditions:\n", &format!("conditions:\n{conditions}"));
    let wrong: String = (0..12_000).map(|n| format!("d{n}: a, ")).collect();
    let procedure = PROCEDURE.replace("requires: {", &format!("requires: {{ {wrong}"));
    let reading = survive(&[equipment.into(), procedure.into()]);
    let found = lines(&reading);
    assert_eq!(reading.findings.len(), MAX_FINDINGS + 1, "{:?}", &found[..3]);
    assert!(found.iter().any(|line| line.contains("the others are not listed")));
}

/// Many steps, each with a target; the last of them wrong.
#[test]
fn many_steps() {
    let steps: String =
        (0..12_000).map(|n| format!("  - {{ id: s{n}, do: X., then: s{} }}\n", n + 1)).collect();
    let reading =
        survive(&[EQUIPMENT.into(), PROCEDURE.replace("\nsteps:\n", &format!("\nsteps:\n{steps}")).into()]);
    assert_eq!(reading.findings.len(), 1, "{:?}", lines(&reading));
    assert!(reading.findings[0].message.contains("`s12000`"), "{:?}", lines(&reading));
}

/// A small generator of numbers that look random (Knuth, The Art of Computer Programming 2, 3.3.4; memory).
struct Numbers(u64);

impl Numbers {
    fn below(&mut self, limit: usize) -> usize {
        self.0 = self.0.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (self.0 >> 33) as usize % limit.max(1)
    }
}

/// Spoils a document in one to four places.
fn spoil(text: &str, numbers: &mut Numbers) -> Vec<u8> {
    const PIECES: [&str; 24] = [
        ":", "- ", "\n", " ", "\t", "[", "]", "{", "}", "\"", "'", "&a ", "*a", "!x ", "|", ">", "#", "~",
        "0", "\u{0}", "é", "%", "? ", "---\n",
    ];
    let mut bytes = text.as_bytes().to_vec();
    for _ in 0..=numbers.below(4) {
        let at = numbers.below(bytes.len());
        match numbers.below(5) {
            0 => {
                bytes.remove(at);
            }
            1 => bytes[at] = numbers.below(256) as u8,
            2 => {
                let end = (at + numbers.below(40)).min(bytes.len());
                bytes.drain(at..end);
            }
            3 => {
                let end = (at + numbers.below(40)).min(bytes.len());
                let piece = bytes[at..end].to_vec();
                let to = numbers.below(bytes.len());
                bytes.splice(to..to, piece);
            }
            _ => {
                bytes.splice(at..at, PIECES[numbers.below(PIECES.len())].bytes());
            }
        }
    }
    bytes
}

fn spoilt(text: &str, other: &str, seed: u64) {
    let other: Vec<u8> = other.into();
    for round in 0..10_000 {
        let spoilt = spoil(text, &mut Numbers(seed + round));
        let told = std::panic::catch_unwind(|| survive(&[spoilt.clone(), other.clone()]));
        assert!(told.is_ok(), "seed {} on: {}", seed + round, String::from_utf8_lossy(&spoilt));
    }
}

#[test]
fn spoilt_procedures() {
    spoilt(PROCEDURE, "", 1);
}

#[test]
fn spoilt_equipment() {
    spoilt(EQUIPMENT, "", 1_000_000);
}
