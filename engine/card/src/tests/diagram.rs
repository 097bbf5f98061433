//! The drawing of fasteners as SVG, and the same in words.

use crate::page::{Detail, Diagram};
use crate::tests::{page, step};
use crate::{svg, svg_inline, svg_ticked};

fn tighten() -> Diagram {
    match &step(&page(), "tighten").detail {
        Detail::Fasten { diagram, .. } => diagram.clone(),
        other => panic!("{other:?}"),
    }
}

#[test]
fn the_drawing_says_in_words_what_it_shows() {
    let drawing = tighten();
    assert_eq!(
        drawing.words,
        "Turn 1 is fastener 4, turn 2 is fastener 3, turn 3 is fastener 5, turn 4 is fastener 2, turn 5 is fastener 6, \
         turn 6 is fastener 1, turn 7 is fastener 7."
    );
    let text = svg(&drawing, "tighten");
    assert!(text.contains(&format!("<desc id=\"diagram-tighten-words\">{}</desc>", drawing.words)), "{text}");
    assert!(text.contains("<title id=\"diagram-tighten-title\">Fasteners of the cover"), "{text}");
}

/// Every look is given at its place: no style sheet, no colour, so that any program and a grey print show the same.
#[test]
fn the_drawing_is_complete_in_itself_and_grey() {
    let text = svg(&tighten(), "tighten");
    assert!(text.starts_with("<svg xmlns=\"http://www.w3.org/2000/svg\"") && text.ends_with("</svg>"));
    for colour in text.split('#').skip(1).map(|rest| &rest[..6]) {
        assert!(colour[..2] == colour[2..4] && colour[2..4] == colour[4..], "#{colour} is no grey");
    }
    for word in ["style", "var(", "dominant-baseline", "dy=", "em\""] {
        assert!(!text.contains(word), "`{word}` is not understood everywhere");
    }
    assert_eq!(text.matches("<text").count(), 14, "a turn and a number for each");
    assert_eq!(text.matches("fill=\"none\"").count(), 1, "one second ring, at the first");
}

#[test]
fn names_cannot_leave_their_place() {
    let hostile = Diagram { label: "a < b & \"c\"".into(), ..tighten() };
    let text = svg(&hostile, "x\" onload=\"1");
    assert!(
        text.contains("a &lt; b &amp; \"c\"</title>") && text.contains("diagram-xonload1-title"),
        "{text}"
    );
}

#[test]
fn what_is_done_is_filled_and_the_next_has_a_ring_around_it() {
    let drawing = tighten();
    let (plain, ticked) = (svg_inline(&drawing, "x"), svg_ticked(&drawing, "x", &[4, 3], 5));
    let filled = |text: &str| text.matches("fill=\"#000000\" stroke=").count();
    assert_eq!((filled(&plain), filled(&ticked)), (0, 2));
    let next = drawing.dots.iter().find(|dot| dot.number == 5).unwrap();
    let around = |text: &str| text.contains(&format!("cx=\"{}\" cy=\"{}\" r=\"19\"", next.x, next.y));
    assert!(around(&ticked) && !plain.contains("r=\"19\""));
}
