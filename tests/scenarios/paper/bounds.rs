//! Nothing stands outside the margins, and all fonts are in the file.

use super::{PAPERS, card_of, cards, outside, pages};
use std::path::Path;

/// Left, right, top and bottom margin in millimetres: a binding margin of at least 15 mm (this house's rule after
/// CAP 676, 2nd).
pub(super) fn margins(side: f64) -> [f64; 4] {
    if side < 150.0 { [15.0, 6.0, 6.0, 6.0] } else { [18.0, 14.0, 10.0, 12.0] }
}

pub(super) fn figure(line: &str, name: &str) -> f64 {
    let (_, rest) = line.split_once(&format!("{name}=\"")).expect("the figure is there");
    rest.split('"').next().and_then(|figure| figure.parse().ok()).expect("a number")
}

#[test]
fn no_text_stands_outside_the_margins() {
    let folder = cards();
    for page in pages() {
        for (_, ending, (width, height), side) in PAPERS {
            let path = card_of(&folder, &page.identity.id, ending);
            let boxes = outside(Path::new("pdftotext"), &["-bbox", path.to_str().expect("UTF-8"), "-"]);
            let [left, right, top, bottom] = margins(width);
            let mut words = 0;
            for line in boxes.lines().filter(|line| line.trim_start().starts_with("<word ")) {
                let [from, up, to, down] =
                    ["xMin", "yMin", "xMax", "yMax"].map(|name| figure(line, name) / 72.0 * 25.4);
                // On a sheet of several pages the page is the one that the word's middle lies on.
                let across = (((from + to) / 2.0 / width) as usize).min(side - 1) as f64 * width;
                let below = (((up + down) / 2.0 / height) as usize).min(side - 1) as f64 * height;
                let inside = from >= across + left - 0.1
                    && to <= across + width - right + 0.1
                    && up >= below + top - 0.6
                    && down <= below + height - bottom + 0.6;
                assert!(inside, "{}: {line}", path.display());
                words += 1;
            }
            assert!(words > 1000, "{} has only {words} words", path.display());
            for line in boxes.lines().filter(|line| line.trim_start().starts_with("<page ")) {
                let sheet = (figure(line, "width") / 72.0 * 25.4, figure(line, "height") / 72.0 * 25.4);
                let wanted = (width * side as f64, height * side as f64);
                assert!((sheet.0 - wanted.0).abs() < 0.1 && (sheet.1 - wanted.1).abs() < 0.1, "{line}");
            }
        }
    }
}

/// A heading with one question at the foot of a page is read as if that were all.
#[test]
fn no_question_stands_alone_below_its_heading_or_on_a_new_page() {
    let folder = cards();
    let mut seen = 0;
    for page in pages() {
        for ending in ["", "-letter"] {
            let path = card_of(&folder, &page.identity.id, ending);
            let text = outside(Path::new("pdftotext"), &["-layout", path.to_str().expect("UTF-8"), "-"]);
            let (_, rest) = text.split_once("The machine is handed on so").expect("the heading");
            let (rest, _) = rest.split_once("All else is as it was").unwrap_or((rest, ""));
            let answered = |line: &&str| line.ends_with(" yes") || line.ends_with(" no");
            for on_page in rest.split('\u{c}').filter(|on_page| on_page.lines().any(|line| answered(&line))) {
                assert!(on_page.lines().filter(answered).count() > 1, "{}: {on_page}", path.display());
                seen += 1;
            }
        }
    }
    assert!(seen >= 14, "only {seen}");
}

#[test]
fn all_fonts_are_in_the_file() {
    let folder = cards();
    for page in pages() {
        for (_, ending, ..) in PAPERS {
            let path = card_of(&folder, &page.identity.id, ending);
            let fonts = outside(Path::new("pdffonts"), &[path.to_str().expect("UTF-8")]);
            let lines: Vec<&str> = fonts.lines().skip(2).collect();
            assert!(lines.len() >= 2, "{fonts}");
            for line in lines {
                // emb, sub and uni, before the two numbers of the object.
                let words: Vec<&str> = line.split_whitespace().rev().skip(2).take(3).collect();
                assert_eq!(words, ["yes", "yes", "yes"], "{}: {line}", path.display());
            }
        }
    }
}
