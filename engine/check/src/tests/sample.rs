//! A sample of an explanation: its blocks made into whole documents, and the marks of the findings that are expected.

use super::odd_inputs::odd_input;
use crate::registry::Explanation;
use document::InputFile;

/// Read together with every sample that brings no equipment of its own.
pub(super) const EQUIPMENT: [(&str, &str); 2] = [
    ("shared", include_str!("../../explained/shared/oskerry-22.yaml")),
    ("shared too", include_str!("../../explained/shared/ram-press.yaml")),
];

/// What a block says where it does not say otherwise.
const OF_PROCEDURES: &str = include_str!("../../explained/shared/procedure.yaml");
const OF_EQUIPMENT: &str = include_str!("../../explained/shared/equipment.yaml");

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
    let blocks = blocks(section_of(explanation.body, section));
    assert!(!blocks.is_empty(), "{code}: no sample under `{section}`");
    let mut sample = Sample { files: Vec::new(), expected: Vec::new() };
    if !blocks.iter().any(|(info, _)| *info == "yaml equipment") {
        for (name, text) in EQUIPMENT {
            sample.add(name, text.as_bytes().to_vec());
        }
    }
    for (number, (info, text)) in blocks.into_iter().enumerate() {
        let name = format!("{info} {}", number + 1);
        match info {
            "yaml procedure" => sample.add_marked(&name, whole(OF_PROCEDURES, &text)),
            "yaml equipment" => sample.add_marked(&name, whole(OF_EQUIPMENT, &text)),
            "yaml whole" => sample.add_marked(&name, text),
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

    fn add_marked(&mut self, name: &str, text: String) {
        self.expected.extend(marks(name, &text));
        self.add(name, text.into_bytes());
    }
}

/// The whole document that a block stands for: its keys take the place of the same keys of the shared document, a line
/// `# without KEY` takes one out, and what the shared document does not have comes after it.
pub(super) fn whole(shared: &str, block: &str) -> String {
    let own = keys(block);
    let without: Vec<&str> = block.lines().filter_map(|line| line.strip_prefix("# without ")).collect();
    let mut text = String::new();
    for (key, lines) in keys(shared) {
        let mut instead = own.iter().filter(|(other, _)| *other == key).peekable();
        if instead.peek().is_some() {
            text.extend(instead.map(|(_, lines)| lines.as_str()));
        } else if !without.contains(&key) {
            text.push_str(&lines);
        }
    }
    let shared = keys(shared);
    assert!(without.iter().all(|key| shared.iter().any(|(shared, _)| shared == key)), "{block}");
    let further = own.iter().filter(|(key, _)| !shared.iter().any(|(shared, _)| shared == key));
    text.extend(further.map(|(_, lines)| lines.as_str()));
    text
}

/// The keys of a document, each with its lines; what stands before the first is left out.
fn keys(text: &str) -> Vec<(&str, String)> {
    let mut keys: Vec<(&str, String)> = Vec::new();
    for line in text.lines() {
        let key =
            line.split(':').next().filter(|key| key.starts_with(|first: char| first.is_ascii_lowercase()));
        if let Some(key) = key {
            keys.push((key, String::new()));
        }
        if let Some((_, lines)) = keys.last_mut() {
            lines.push_str(line);
            lines.push('\n');
        }
    }
    keys
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
