//! A sample of an explanation: its blocks as files, and the marks of the findings that are expected.

use super::odd_inputs::odd_input;
use crate::registry::Explanation;
use document::InputFile;

/// Read together with every sample that brings no equipment of its own.
pub(super) const EQUIPMENT: &str = include_str!("../rules/sample-equipment.yaml");

/// A finding as code, file and line.
pub(super) type Found = (String, String, usize);

/// The documents of one section.
pub(super) struct Sample {
    pub(super) files: Vec<InputFile>,
    /// The marks `# <- P01`, sorted.
    pub(super) expected: Vec<Found>,
}

/// The sample under `## Bad` or `## Good`.
pub(super) fn sample(explanation: &Explanation, section: &str) -> Sample {
    let code = explanation.code;
    let blocks = blocks(section_of(explanation.text, section));
    assert!(!blocks.is_empty(), "{code}: no sample under `{section}`");
    let mut sample = Sample { files: Vec::new(), expected: Vec::new() };
    if !blocks.iter().any(|(info, _)| *info == "yaml equipment") {
        sample.add("shared", EQUIPMENT.as_bytes().to_vec());
    }
    for (number, (info, text)) in blocks.into_iter().enumerate() {
        let name = format!("{info} {}", number + 1);
        match info {
            "yaml equipment" | "yaml procedure" => {
                sample.expected.extend(marks(&name, &text));
                sample.add(&name, text.into_bytes());
            }
            "bytes" => {
                let (bytes, line) = odd_input(code).unwrap_or_else(|| panic!("{code}: no such odd input"));
                sample.expected.push((code.to_owned(), name.clone(), line));
                sample.add(&name, bytes);
            }
            other => panic!("{code}: no sample is of the kind `{other}`"),
        }
    }
    sample.expected.sort();
    sample
}

impl Sample {
    fn add(&mut self, name: &str, bytes: Vec<u8>) {
        self.files.push(InputFile { name: name.to_owned(), bytes });
    }
}

fn section_of<'a>(text: &'a str, section: &str) -> &'a str {
    let heading = format!("\n## {section}\n");
    let (_, rest) = text.split_once(&heading).unwrap_or_else(|| panic!("no `{section}` in {text}"));
    rest.split("\n## ").next().unwrap_or_default()
}

/// The fenced blocks, each with its info string.
fn blocks(section: &str) -> Vec<(&str, String)> {
    let mut blocks = Vec::new();
    let mut open: Option<(&str, String)> = None;
    for line in section.lines() {
        match (line.strip_prefix("```"), &mut open) {
            (Some(info), None) => open = Some((info, String::new())),
            (Some(_), Some(_)) => blocks.extend(open.take()),
            (None, Some((_, text))) => {
                text.push_str(line);
                text.push('\n');
            }
            (None, None) => {}
        }
    }
    assert!(open.is_none(), "a block is not closed in {section}");
    blocks
}

fn marks(name: &str, text: &str) -> Vec<Found> {
    let mut marks = Vec::new();
    for (number, line) in (1..).zip(text.lines()) {
        if let Some((_, codes)) = line.split_once("# <- ") {
            marks.extend(codes.split_whitespace().map(|code| (code.to_owned(), name.to_owned(), number)));
        }
    }
    marks
}
