//! HTML and plain text as forms: escaping, widths, sameness.

use super::{SERVICE, library, page, try_page};
use crate::page::{Approval, CardApproval, build};
use crate::{html::html, text::text};

#[test]
fn nothing_authored_becomes_markup() {
    let hostile = SERVICE
        .replace("title: Service & test the pump", "title: \"</title><script>alert(2)</script>\"")
        .replace("unsure: stop", "\"<i>unsure</i>\": stop")
        .replace("the resistance of the strip", "the </p><script>alert(3)</script>");
    let shown = html(&try_page(&hostile).unwrap()).unwrap();
    assert!(!shown.contains("<script"), "no script at all, ours or theirs");
    assert!(!shown.contains("<i>"));
    assert!(!shown.contains("Bench pump <b>"));
    for escaped in ["&lt;script&gt;alert(1)", "&lt;script&gt;alert(3)", "Bench pump &lt;b&gt;"] {
        assert!(shown.contains(escaped), "{escaped}");
    }
}

#[test]
fn the_standing_cannot_break_out_of_the_style_sheet() {
    let standing = CardApproval {
        content: "\"; } body { display: none; } </style><script>".into(),
        approval: Approval::Approved {
            by: "a\"; } </style>".into(),
            on: "\u{1b}[2J".into(),
            until: "2027-11-02".into(),
            certificate: None,
        },
    };
    let page = build(&library(SERVICE), &"service".into(), &standing, None).unwrap();
    let shown = html(&page).unwrap();
    assert_eq!(shown.matches("</style>").count(), 1);
    assert!(!shown.contains("<script"));
    assert!(!shown.contains('\u{1b}') && !text(&page).contains('\u{1b}'));
}

#[test]
fn the_file_needs_nothing_else() {
    let shown = html(&page()).unwrap();
    for fetching in ["http:", "https:", "src=", "href=", "@import", "url("] {
        assert!(!shown.contains(fetching), "{fetching}");
    }
    assert!(!shown.contains("{{") && !shown.contains("{%"), "every template is filled in");
}

#[test]
fn plain_text_keeps_to_its_width() {
    let shown = text(&page());
    for line in shown.lines() {
        assert!(line.chars().count() <= 78, "{line:?}");
        assert_eq!(line, line.trim_end());
    }
    assert!(!shown.contains("\n\n\n"));
    for part in
        ["[ ] yes Is the supply switch at 0?", "[ ] no  Is the lever", "____", "Retest 1", "Round 3: Start"]
    {
        assert!(shown.contains(part), "{part}\n{shown}");
    }
}

#[test]
fn the_same_input_gives_the_same_bytes() {
    let (first, second) = (page(), page());
    assert_eq!(first, second);
    assert_eq!(html(&first).unwrap(), html(&second).unwrap());
    assert_eq!(text(&first), text(&second));
    assert_eq!(serde_json::to_string(&first).unwrap(), serde_json::to_string(&second).unwrap());
}
