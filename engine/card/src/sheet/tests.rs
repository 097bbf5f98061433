//! Sheets in HTML and text.

use super::{Block, Cell, Line, Part, Sheet, Table, Tone, fragment, html, text};

fn sheet() -> Sheet {
    let row = |name: &str, cell: Cell| vec![Cell::from(name), cell];
    let cell =
        Cell { trace: vec!["1. start".to_owned()], ..Cell::from(Line::from("a < b").toned(Tone::Against)) };
    Sheet {
        title: "Review: Look <b>".to_owned(),
        running: "look, revision 1".to_owned(),
        verdict: Some(Line::from("Nobody has approved it.").toned(Tone::Against)),
        facts: vec![("Author".to_owned(), "Ilse Marrow".to_owned())],
        parts: vec![Part::new(
            "found",
            "Findings",
            vec![
                Block::line("Two:"),
                Block::Table(Table {
                    headers: vec!["Step".to_owned(), "What".to_owned()],
                    shares: vec![20, 80],
                    rows: vec![row("drain", cell), row("shut", Line::led("W12", "long").to("#x").into())],
                }),
            ],
        )],
        ..Sheet::default()
    }
}

#[test]
fn text_has_every_word_once_and_in_order() {
    let expected = "Review: Look <b>\nNobody has approved it.\nAuthor: Ilse Marrow\n\nFindings\n  Two:\n  drain: a < b\n      \
        1. start\n  shut: W12: long\n";
    assert_eq!(text(&sheet()), expected);
}

#[test]
fn html_escapes_what_it_shows_and_names_the_columns_twice() {
    let shown = html(&sheet(), None).expect("laid out");
    assert!(shown.contains("<title>Review: Look &lt;b&gt;</title>") && shown.contains("a &lt; b"), "{shown}");
    assert!(shown.contains("<p class=\"verdict against\">Nobody has approved it.</p>"), "{shown}");
    assert!(
        shown.contains("<th scope=\"col\">What</th>") && shown.contains("<td><p class=\"against\">a &lt; b")
    );
    assert!(shown.contains("<strong>W12:</strong> <a href=\"#x\">long</a>"), "{shown}");
    assert!(shown.contains("<summary>The way there, 1 line</summary>"), "{shown}");
    let inner = fragment(&sheet()).expect("laid out");
    assert!(shown.contains(inner.trim()) && !inner.contains("<html"), "the same without a frame");
}
