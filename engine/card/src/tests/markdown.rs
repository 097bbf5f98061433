//! Markdown, read back with a reader of CommonMark.

use super::{SERVICE, all_steps, page, try_page};
use crate::markdown::markdown;
use comrak::nodes::{AstNode, NodeValue};
use comrak::{Arena, Options, parse_document};

/// All text of a node as a reader sees it, and what kinds of nodes there are.
fn read(source: &str) -> (String, Vec<String>) {
    fn visit<'a>(node: &'a AstNode<'a>, text: &mut String, kinds: &mut Vec<String>) {
        match &node.data.borrow().value {
            NodeValue::Text(part) => text.push_str(part),
            NodeValue::SoftBreak | NodeValue::LineBreak => text.push(' '),
            NodeValue::Paragraph | NodeValue::TableCell | NodeValue::Heading(_) => text.push('\n'),
            NodeValue::HtmlBlock(_) | NodeValue::HtmlInline(_) => kinds.push("html".into()),
            NodeValue::Link(_) | NodeValue::Image(_) => kinds.push("link".into()),
            NodeValue::CodeBlock(_) | NodeValue::Code(_) => kinds.push("code".into()),
            NodeValue::Table(_) => kinds.push("table".into()),
            _ => {}
        }
        for child in node.children() {
            visit(child, text, kinds);
        }
    }
    let mut options = Options::default();
    options.extension.table = true;
    options.extension.autolink = true;
    let arena = Arena::new();
    let (mut text, mut kinds) = (String::new(), Vec::new());
    visit(parse_document(&arena, source, &options), &mut text, &mut kinds);
    (text, kinds)
}

#[test]
fn every_step_warning_and_blank_reads_back() {
    let page = page();
    let (text, kinds) = read(&markdown(&page));
    let mut from = 0;
    for step in all_steps(&page.steps) {
        let head = format!("\nStep {}\n", step.number);
        from += text[from..].find(&head).unwrap_or_else(|| panic!("{head}\n{text}"));
        let kind = step.kind.map(|kind| format!("{kind}: ")).unwrap_or_default();
        let text_of = step.text.text();
        let first = text_of.lines().next().unwrap_or_default();
        let wanted = format!("[ ] {kind}{first}");
        let warned: Vec<usize> = step
            .warnings
            .iter()
            .map(|one| text[from..].find(&*one.warning.hazard).expect("the warning is there"))
            .collect();
        let at = text[from..]
            .find(&wanted)
            .unwrap_or_else(|| panic!("`{wanted}` is missing or out of order\n{text}"));
        assert!(warned.iter().all(|&warning| warning < at), "{}: a warning after its act", step.number);
        from += at + wanted.len();
    }
    for part in
        ["Reading ________ ohm", "Retest 1 ________", "Start ___:___ Due ___:___", "Released by the officer"]
    {
        assert!(text.contains(part), "{part}\n{text}");
    }
    for part in ["yes go to step 6", "NOT APPROVED", "Mark\ngatewright-card 1 service 2 sha256:00ff"] {
        assert!(text.contains(part), "{part}\n{text}");
    }
    assert!(kinds.iter().all(|kind| kind == "table"), "{kinds:?}");
}

#[test]
fn nothing_authored_becomes_markup() {
    let hostile = SERVICE
        .replace(
            "title: Service & test the pump",
            "title: \"</title><script>alert(2)</script> [x](javascript:a)\"",
        )
        .replace("unsure: stop", "\"| a | b | https://example.invalid\": stop")
        .replace("the resistance of the strip", "\"the ![x](http://example.invalid/x.png) <b>strip</b>\"")
        .replace("It is light.", "\"```\\n<script>alert(3)</script>\\n```\"");
    let (text, kinds) = read(&markdown(&try_page(&hostile).unwrap()));
    assert!(kinds.iter().all(|kind| kind == "table"), "{kinds:?}");
    for shown in [
        "</title><script>alert(2)</script> [x](javascript:a)",
        "| a | b | https://example.invalid",
        "<b>strip</b>",
    ] {
        assert!(text.contains(shown), "{shown}\n{text}");
    }
    assert!(text.contains("<script>alert(3)</script>"), "{text}");
}
