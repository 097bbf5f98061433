//! Text as it is read, and as HTML and lines write it.

use super::{Block, List, Prose, Span, Values};

fn prose(text: &str) -> Prose {
    Prose::authored(text, &Values::new()).unwrap()
}

/// Whatever the author writes, no markup of theirs reaches the page. The vectors are common ones (no source).
#[test]
fn markup_is_shown_and_never_acts() {
    for hostile in [
        "<script>alert(1)</script>",
        "a <img src=x onerror=alert(1)> b",
        "<b onclick='x'>bold</b>",
        "```\n<script>alert(1)</script>\n```",
        "`<script>`",
        "&lt;script&gt;",
        "[x](javascript:alert(1))",
        "![x](http://example.invalid/x.png)",
        "<http://example.invalid>",
        "<!-- hidden -->",
        "<![CDATA[ x ]]>",
        "\"quoted\" 'text'",
    ] {
        let html = prose(hostile).html();
        let mut rest = html.as_str();
        while let Some(at) = rest.find('<') {
            rest = &rest[at + 1..];
            let tag: String = rest.chars().take_while(|&letter| letter != '>').collect();
            let known = ["p", "/p", "code", "/code", "pre", "/pre"].contains(&tag.as_str());
            assert!(known, "{hostile:?} gives <{tag}> in {html}");
        }
    }
    assert_eq!(prose("<script>").html(), "<p>&lt;script&gt;</p>");
    assert_eq!(prose("<script>").text(), "<script>");
    assert_eq!(prose("[the label](http://example.invalid)").text(), "the label (http://example.invalid)");
    assert_eq!(prose("![a pump](x.png)").html(), "<p>a pump</p>");
    assert_eq!(prose("a\u{1b}[31m").text(), "a\u{fffd}[31m");
}

#[test]
fn markdown_has_two_forms() {
    let text = prose("Turn it **off**, `now`.\n\n1. one\n2. two\n   - deep\n\n> quoted\n\n# Big");
    assert_eq!(
        text.html(),
        "<p>Turn it <strong>off</strong>, <code>now</code>.</p><ol><li>one</li><li>two<ul><li>deep</li></ul></li>\
         </ol><blockquote><p>quoted</p></blockquote><p><strong>Big</strong></p>"
    );
    assert_eq!(text.text(), "Turn it off, now.\n\n1. one\n2. two\n   - deep\n\nquoted\n\nBig");
    assert_eq!(prose("a\nb\\\nc").text(), "a b\nc");
}

/// The data behind it: blocks and spans as CommonMark 0.31.2 has them (2nd), the address of a link printed once.
#[test]
fn text_is_read_as_blocks_and_spans() {
    let text = |text: &str| Span::Text(text.to_owned());
    assert_eq!(
        prose("a *b **c***  \n<i>&amp;\n[x](y)").blocks,
        [Block::Paragraph(vec![
            text("a "),
            Span::Emphasis(vec![text("b "), Span::Strong(vec![text("c")])]),
            Span::Break,
            text("<i>& "),
            Span::Link { text: vec![text("x")], address: "y".to_owned() },
        ])]
    );
    let line = |words: &str| vec![Block::Line(vec![text(words)])];
    let apart = |words: &str| vec![Block::Paragraph(vec![text(words)])];
    assert_eq!(
        prose("- a\n- b\n\n3. c\n\n4. d\n\n> e\n\n---\n\n    f\n      g\n").blocks,
        [
            Block::List(List { first: None, items: vec![line("a"), line("b")] }),
            Block::List(List { first: Some(3), items: vec![apart("c"), apart("d")] }),
            Block::Quote(apart("e")),
            Block::Rule,
            Block::Code("f\n  g".to_owned()),
        ]
    );
    assert_eq!(prose("<http://a.invalid>").text(), "http://a.invalid");
    assert_eq!(prose("").blocks, []);
}

#[test]
fn lines_keep_items_apart_and_words_under_their_mark() {
    for (written, shown) in [
        ("a\n\n- b\n\n  c\n- d\\\n  e", "a\n\n- b\n\n  c\n- d\n  e"),
        ("- a\n-\n\nb", "- a\n- \n\nb"),
        ("-\n\n12. a", "- \n\n12. a"),
        ("- - a\n- > b\n  >\n  > c", "- \n  - a\n- b\n\n  c"),
        ("a `b. `\n\nc", "a b. \n\nc"),
        ("9. a\n10. b\n\n    c", "9. a\n10. b\n\n    c"),
        ("a\n\n---\n\nb", "a\n\n\n\nb"),
        ("---\n\na\n\n***", "a"),
        ("\\\n<b>\n\n<div>\nx\n</div>", "<b>\n\n<div>\nx\n</div>"),
    ] {
        assert_eq!(prose(written).text(), shown, "{written:?}");
    }
}

#[test]
fn every_block_has_its_html() {
    for (written, shown) in [
        (
            "- a\n- # b\n  > c",
            "<ul><li>a</li><li><p><strong>b</strong></p><blockquote><p>c</p></blockquote></li></ul>",
        ),
        ("3. a\n\n4. b", "<ol start=\"3\"><li><p>a</p></li><li><p>b</p></li></ol>"),
        ("a\\\nb\n\n---\n\n    c <d>", "<p>a<br>b</p><pre>c &lt;d&gt;</pre>"),
        ("[x](y?a&b) *z*", "<p>x (y?a&amp;b) <em>z</em></p>"),
    ] {
        assert_eq!(prose(written).html(), shown, "{written:?}");
    }
}

#[test]
fn nesting_has_a_limit() {
    assert!(Prose::authored(&">".repeat(20_000), &Values::new()).is_err());
    assert!(Prose::authored(&"*_".repeat(20_000), &Values::new()).is_ok());
}

#[test]
fn figures_are_filled_in() {
    let values = Values::from([("purge_time".to_owned(), "160 s".to_owned())]);
    let text = Prose::authored("Pump for {{ purge_time }}, *{{purge_time}}*.", &values).unwrap();
    assert_eq!(text.text(), "Pump for 160 s, 160 s.");
    for (wrong, says) in [
        ("{{ purge_tim }}", "`purge_tim`"),
        ("{{ purge_time | upper }}", "only the name of an amount"),
        ("{{ 'a' * 100000000 }}", "only the name of an amount"),
        ("{% for x in y %}", "`{%`"),
        ("{# hidden #}", "`{#`"),
        ("{{ purge_time", "`}}`"),
        ("{{ purge-time }}", "`purge_time`"),
    ] {
        let fault = Prose::authored(wrong, &values).unwrap_err();
        assert!(fault.contains(says), "{wrong}: {fault}");
    }
    assert_eq!(prose("a } b }} c { d").text(), "a } b }} c { d");
}
