//! Pages of texts that no one would write on purpose: long, in other scripts, or hostile.

use super::faults;
use card::checklist::Checklist;
use card::page::{Approval, CardApproval, build};
use document::{InputFile, Library};

/// A machine with little to it.
const MACHINE: &str = "
equipment: press
title: Press
revision: 1
variants: { size: [small, large] }
conditions:
  supply: { values: [isolated, live], ask: \"Is the switch at 0?\", normal: isolated }
hazards:
  shock: { worst: death, certainty: could, hazard: Bare terminals, consequence: Contact can kill., avoid: Keep the supply isolated. }
work:
  open: { requires: { supply: isolated }, hazard: shock }
instruments: { meter: { unit: ohm, resolution: 0.1 ohm } }
roles: { technician: Trained., officer: Releases. }
";

pub(crate) fn procedure(name: &str, title: &str, count: usize, text: &str) -> String {
    let quoted = |text: &str| serde_json::Value::from(text).to_string();
    let mut yaml = format!(
        "procedure: {name}\ntitle: {}\nequipment: press\nrevision: 1\npurpose: {}\nscope: One.\n\
         performers: {{ technician: 1 }}\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
         spares: none\nwear: none\nsteps:\n",
        quoted(title),
        quoted(text)
    );
    for step in 1..=count {
        let act = match step % 6 {
            1 => format!("work: open, do: {}", quoted(text)),
            2 => "confirm: { supply: isolated }, otherwise: stop".to_owned(),
            3 => format!(
                "measure: {{ what: {}, instrument: meter, at_most: 2 ohm }}, otherwise: step-1",
                quoted(text.lines().next().unwrap_or("it"))
            ),
            4 => format!("ask: {}, answers: {{ \"yes\": step-{count}, \"no\": stop }}", quoted(text)),
            5 => "hold: { released_by: officer, check: Look at it. }".to_owned(),
            _ => format!("wait: {{ for: 45 s, why: {} }}", quoted(text)),
        };
        yaml.push_str(&format!("  - {{ id: step-{step}, {act} }}\n"));
    }
    yaml
}

pub(crate) fn library(procedures: &[String]) -> Library {
    let file = |name: String, text: &str| InputFile { name, bytes: text.as_bytes().to_vec() };
    let mut files = vec![file("press.yaml".to_owned(), MACHINE)];
    files.extend(procedures.iter().enumerate().map(|(at, text)| file(format!("p{at}.yaml"), text)));
    document::read(&files).library
}

#[test]
fn odd_texts_are_neither_cut_nor_laid_on_each_other() {
    let words = "turn the large brass lever beside the second pump ".repeat(25);
    let texts = [
        ("short", 3, "Turn it.".to_owned()),
        ("long", 7, format!("{}now.", words)),
        ("unbroken", 6, "x".repeat(300)),
        ("right-to-left", 6, "סובבו את הידית האדומה עד שהיא נעצרת. أدر المقبض الأحمر حتى يتوقف.".to_owned()),
        ("wide", 6, "赤いレバーを止まるまで回してください。然后把盖子拧紧。".repeat(4)),
        (
            "hostile",
            6,
            "<script>alert(1)</script> &lt;b&gt; <img src=x onerror=alert(1)> {% if %}"
                .replace("{% if %}", "}}"),
        ),
        ("many", 120, "Turn the lever.".to_owned()),
    ];
    let yaml: Vec<String> = texts
        .iter()
        .map(|(name, count, text)| procedure(name, &text.chars().take(60).collect::<String>(), *count, text))
        .collect();
    let library = library(&yaml);
    let folder = tempfile::tempdir().expect("a folder");
    let mut files = Vec::new();
    for (name, count, _) in &texts {
        let standing = CardApproval { content: "0".repeat(64), approval: Approval::NotApproved };
        let page = build(&library, &(*name).into(), &standing, None)
            .unwrap_or_else(|error| panic!("{name}: {error}"));
        assert_eq!(page.steps.len(), *count, "{name}");
        let forms = [
            ("card", card::html::html(&page).expect("a card")),
            ("checklist", card::checklist::html(&Checklist::from_page(&page)).expect("a checklist")),
        ];
        for (form, html) in forms {
            assert!(!html.contains("<script") && !html.contains("<img"), "{name}: markup acts");
            let path = folder.path().join(format!("{name}-{form}.html"));
            std::fs::write(&path, html).expect("written");
            files.push(path);
        }
    }
    let found = faults(folder.path(), &files);
    assert!(found.is_empty(), "{found:#?}");
}

/// A text of a megabyte is refused by the reader; what it lets pass is laid out in every form.
#[test]
fn a_text_without_end_is_refused_or_laid_out() {
    let most = document::limits::MAX_BYTES;
    let read = library(&[procedure("endless", "Endless", 3, &"x".repeat(most))]);
    assert!(read.procedures.is_empty(), "a document of more than {most} bytes is refused");
    let library = library(&[procedure("large", "Large", 1, &"word ".repeat(20_000))]);
    let standing = CardApproval { content: "0".repeat(64), approval: Approval::NotApproved };
    let page = build(&library, &"large".into(), &standing, None).expect("a page");
    for text in
        [card::text::text(&page), card::markdown::markdown(&page), card::html::html(&page).expect("a card")]
    {
        assert!(text.matches("word").count() >= 20_000);
    }
}
