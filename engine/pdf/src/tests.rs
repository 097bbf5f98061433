//! Cards of made-up procedures: long ones, long steps, text that means mischief.

mod flowing;
mod hostile;
mod same;

use crate::{Error, Options, Paper, Sheet, render};
use card::page::{Approval, CardApproval, Page, build};
use document::{InputFile, read};

pub(crate) const PAPERS: [Paper; 7] = [
    Paper::A4,
    Paper::Letter,
    Paper::Pocket,
    Paper::PocketOn(Sheet::A4),
    Paper::PocketOn(Sheet::Letter),
    Paper::Booklet(Sheet::A4),
    Paper::Booklet(Sheet::Letter),
];

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
supplies: {}
spares: {}
wear: {}
";

/// A procedure whose steps do what these texts say; each is YAML, one step in block style.
pub(crate) fn page(steps: &[String]) -> Page {
    let mut text = "procedure: work\ntitle: Work\nequipment: bench\nrevision: 1\neffective: 2026-11-02\n\
                    purpose: Work.\nscope: All.\nperformers: { technician: 1 }\ntime: 5 min\nlevel_of_use: continuous\n\
                    tools: [key]\nsupplies: none\nspares: none\nwear: none\n\
                    requires: { lid: shut }\nleaves: { lid: shut }\nsteps:\n"
        .to_owned();
    for (at, step) in steps.iter().enumerate() {
        text.push_str(&format!("  - id: step-{at}\n"));
        for line in step.lines() {
            text.push_str(&format!("    {line}\n"));
        }
    }
    let file = |name: &str, text: &str| InputFile { name: name.into(), bytes: text.as_bytes().to_vec() };
    let reading = read(&[file("bench.yaml", EQUIPMENT), file("work.yaml", &text)]);
    assert_eq!(reading.findings, [], "the fixture reads without a finding");
    let standing = CardApproval { content: "00ff".repeat(16), approval: Approval::NotApproved };
    build(&reading.library, &"work".into(), &standing, None).unwrap()
}

/// A step that does what a text says.
pub(crate) fn act(text: &str) -> String {
    format!("do: {}", quoted(text))
}

/// A text as a YAML scalar; JSON's way of writing it is one.
fn quoted(text: &str) -> String {
    let mut quoted = String::from("\"");
    for letter in text.chars() {
        match letter {
            '"' | '\\' => quoted.extend(['\\', letter]),
            '\n' => quoted.push_str("\\n"),
            other => quoted.push(other),
        }
    }
    quoted + "\""
}

pub(crate) fn on(page: &Page, paper: Paper) -> Result<Vec<u8>, Error> {
    render(page, &Options { paper })
}
