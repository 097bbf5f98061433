//! The bundled documents written otherwise: by any edit, and by edits that change nothing of what a person reads or may do.

use crate::support::demo;
use document::{InputFile, Library};
use std::collections::BTreeMap;

/// The bundled files with some of them written otherwise.
pub(super) fn library(changes: &BTreeMap<String, String>) -> Library {
    let files: Vec<InputFile> = demo::files()
        .into_iter()
        .map(|file| match changes.get(file.name.trim_end_matches(".yaml")) {
            Some(text) => InputFile { bytes: text.clone().into_bytes(), ..file },
            None => file,
        })
        .collect();
    let reading = document::read(&files);
    let errors: Vec<&str> = reading.findings.iter().map(|finding| finding.message.as_str()).collect();
    assert_eq!(errors, Vec::<&str>::new(), "the edit still reads");
    reading.library
}

/// A way to write a document otherwise, with its name.
type Rewriting = (&'static str, fn(&str) -> String);

/// Ways that change nothing of what it says.
pub(super) fn rewritings() -> Vec<Rewriting> {
    vec![
        ("a remark above", |text| format!("# Checked at the bench.\n{text}")),
        ("a remark at the end", |text| format!("{text}# End.\n")),
        ("a remark on every line of its own", |text| {
            each_line(text, |line| {
                if line.starts_with("  - id:") { format!("  # Next.\n{line}") } else { line.to_owned() }
            })
        }),
        ("no remarks", |text| {
            let kept: Vec<&str> = text.lines().filter(|line| !line.trim_start().starts_with('#')).collect();
            kept.join("\n") + "\n"
        }),
        ("empty lines between steps", |text| {
            each_line(
                text,
                |line| if line.starts_with("  - id:") { format!("\n{line}") } else { line.to_owned() },
            )
        }),
        ("space at line ends", |text| each_line(text, |line| format!("{line}  "))),
        ("a document marker", |text| format!("---\n{text}")),
        ("no line end at the end", |text| text.trim_end().to_owned()),
        ("line ends of another system", |text| text.replace('\n', "\r\n")),
        ("quoted titles", |text| {
            each_line(text, |line| match line.strip_prefix("title: ") {
                Some(title) => format!("title: \"{title}\""),
                None => line.to_owned(),
            })
        }),
        ("quoted acts", |text| {
            each_line(text, |line| match line.strip_prefix("    do: ") {
                Some(act) if !act.contains(['\'', '>']) => format!("    do: '{act}'"),
                _ => line.to_owned(),
            })
        }),
        ("folded expectations", |text| {
            each_line(text, |line| match line.strip_prefix("    expect: ") {
                Some(text) if !text.contains(['\'', '>', '"']) => format!("    expect: >-\n      {text}"),
                _ => line.to_owned(),
            })
        }),
        ("single values as lists", |text| {
            each_line(text, |line| match line.strip_suffix(" }") {
                Some(rest) if line.starts_with("    leaves: {") && !line.contains(['[', ',']) => {
                    let (key, value) = rest.rsplit_once(": ").expect("a value");
                    format!("{key}: [{value}] }}")
                }
                _ => line.to_owned(),
            })
        }),
        ("space inside braces gone", |text| {
            each_line(text, |line| match line.starts_with("    leaves: {") {
                true => line.replace("{ ", "{").replace(" }", "}"),
                false => line.to_owned(),
            })
        }),
        ("keys of the head in another order", |text| {
            let lines: Vec<&str> = text.lines().collect();
            let at = lines.iter().position(|line| line.starts_with("title: ")).expect("a title");
            let mut lines = lines.clone();
            let title = lines.remove(at);
            lines.insert(at + 1, title);
            lines.join("\n") + "\n"
        }),
        ("expectation before the act", |text| {
            let mut lines: Vec<&str> = text.lines().collect();
            for at in 1..lines.len().saturating_sub(1) {
                if lines[at].starts_with("    do: ") && lines[at + 1].starts_with("    expect: ") {
                    lines.swap(at, at + 1);
                }
            }
            lines.join("\n") + "\n"
        }),
        ("an empty map that says nothing", |text| {
            let steps: Vec<&str> = text.split("\n  - id: ").collect();
            let filled = |step: &&str| match step.split_once('\n') {
                Some((name, rest)) if !rest.contains("requires:") => {
                    format!("{name}\n    requires: {{}}\n{rest}")
                }
                _ => (*step).to_owned(),
            };
            let filled: Vec<String> = steps[1..].iter().map(filled).collect();
            [&[steps[0].to_owned()], &filled[..]].concat().join("\n  - id: ")
        }),
    ]
}

fn each_line(text: &str, rewrite: impl Fn(&str) -> String) -> String {
    text.lines().map(rewrite).collect::<Vec<_>>().join("\n") + "\n"
}

/// Every rewriting of every bundled file that it changes at all.
pub(super) fn edits() -> Vec<(String, &'static str, String)> {
    let mut edits = Vec::new();
    for file in demo::PROCEDURES.into_iter().chain(["equipment"]) {
        let text = demo::text(file);
        for (what, rewrite) in rewritings() {
            let rewritten = rewrite(&text);
            if rewritten != text {
                edits.push((file.to_owned(), what, rewritten));
            }
        }
    }
    edits
}
