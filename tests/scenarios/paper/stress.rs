//! Cards of texts that no one would write on purpose, on every paper: nothing outside the margins, nothing on anything
//! else, nothing lost.

use super::bounds::{figure, margins};
use super::{outside, root};
use crate::screens::stress::{library, procedure};
use card::page::{Approval, CardApproval, Page, build};
use pdf::{Options, Paper, Sheet, render};
use std::path::Path;
use std::process::Command;

/// Papers with the size of a page in points and pages on a side of the sheet.
const PAPERS: [(Paper, (f64, f64), usize); 7] = [
    (Paper::A4, (595.28, 841.89), 1),
    (Paper::Letter, (612.0, 792.0), 1),
    (Paper::Pocket, (297.64, 419.53), 1),
    (Paper::PocketOn(Sheet::A4), (297.64, 420.94), 2),
    (Paper::PocketOn(Sheet::Letter), (306.0, 396.0), 2),
    (Paper::Booklet(Sheet::A4), (297.64, 420.94), 2),
    (Paper::Booklet(Sheet::Letter), (306.0, 396.0), 2),
];

fn page(name: &str, count: usize, text: &str) -> Page {
    let title: String = text.chars().take(60).collect();
    let library = library(&[procedure(name, &title, count, text)]);
    let standing = CardApproval { content: "0".repeat(64), approval: Approval::NotApproved };
    let page =
        build(&library, &name.into(), &standing, None).unwrap_or_else(|error| panic!("{name}: {error}"));
    assert_eq!(page.steps.len(), count, "{name}");
    page
}

/// A word with its box in points: left, top, right, bottom.
struct Word(String, [f64; 4]);

fn words(path: &Path) -> Vec<Vec<Word>> {
    let boxes = outside(Path::new("pdftotext"), &["-bbox", path.to_str().expect("UTF-8"), "-"]);
    let mut sides = Vec::new();
    for line in boxes.lines().map(str::trim_start) {
        if line.starts_with("<page ") {
            sides.push(Vec::new());
        } else if let (true, Some(side)) = (line.starts_with("<word "), sides.last_mut()) {
            let text =
                line.split_once('>').and_then(|(_, rest)| rest.split_once('<')).map_or("", |(word, _)| word);
            side.push(Word(text.to_owned(), ["xMin", "yMin", "xMax", "yMax"].map(|name| figure(line, name))));
        }
    }
    sides
}

#[test]
fn odd_texts_keep_to_the_page_and_to_themselves_on_every_paper() {
    let folder = tempfile::tempdir().expect("a folder");
    let texts = [
        ("short", 3, "Turn it.".to_owned()),
        // 200 words a step.
        ("long", 7, "turn the large brass lever beside the second pump now ".repeat(20)),
        ("unbroken", 6, "x".repeat(300)),
        ("right-to-left", 6, "סובבו את הידית האדומה עד שהיא נעצרת. أدر المقبض الأحمر حتى يتوقف. ".repeat(6)),
        ("many", 120, "Turn the lever.".to_owned()),
    ];
    for (name, count, text) in &texts {
        let page = page(name, *count, text);
        for (paper, (width, height), side) in PAPERS {
            let bytes = render(&page, &Options { paper }).unwrap_or_else(|error| panic!("{name}: {error}"));
            let path = folder.path().join("card.pdf");
            std::fs::write(&path, bytes).expect("written");
            let place = format!("{name} on {paper:?}");
            let sides = words(&path);
            let letters: usize = sides.iter().flatten().map(|Word(text, _)| text.chars().count()).sum();
            let least = text.chars().filter(|letter| !letter.is_whitespace()).count();
            assert!(letters > least, "{place}: {letters} letters");
            let [left, right, top, bottom] = margins(width / 72.0 * 25.4).map(|margin| margin / 25.4 * 72.0);
            let booklet = matches!(paper, Paper::Booklet(_));
            // A left-hand page of a booklet has its wide margin at the right.
            let (left, right) = if booklet { (right, right) } else { (left, right) };
            for words in &sides {
                for Word(text, [from, up, to, down]) in words {
                    let across = (((from + to) / 2.0 / width) as usize).min(side - 1) as f64 * width;
                    let below = (((up + down) / 2.0 / height) as usize).min(side - 1) as f64 * height;
                    let inside = *from >= across + left - 0.3
                        && *to <= across + width - right + 0.3
                        && *up >= below + top - 2.0
                        && *down <= below + height - bottom + 2.0;
                    assert!(inside, "{place}: `{text}` at {from} {up} {to} {down}");
                }
                apart(words, &place);
            }
        }
    }
}

/// No word lies on another. A box is higher than its letters: the middle of it is compared.
fn apart(words: &[Word], place: &str) {
    let inner = |at: &[f64; 4]| {
        let third = (at[3] - at[1]) / 3.0;
        [at[0] + 0.5, at[1] + third, at[2] - 0.5, at[3] - third]
    };
    for (at, Word(one, first)) in words.iter().enumerate() {
        let a = inner(first);
        for Word(other, second) in &words[at + 1..] {
            let b = inner(second);
            let meet = a[0] < b[2] && b[0] < a[2] && a[1] < b[3] && b[1] < a[3];
            assert!(!meet, "{place}: `{one}` at {first:?} lies on `{other}` at {second:?}");
        }
    }
}

/// There is no most of pages: one step over hundreds of them, and many steps over more than a thousand, where the numbers in
/// the heads are wider than on any other card.
#[test]
fn a_card_of_any_number_of_pages_is_whole_and_every_page_says_which_it_is() {
    let folder = tempfile::tempdir().expect("a folder");
    let path = folder.path().join("card.pdf");
    let place = path.to_str().expect("UTF-8");
    for (name, count, text, least) in [
        ("one", 1, "W".repeat(250_000), 400),
        ("all-steps-of-a-long-card", 700, "Turn the lever. ".repeat(80), 1_000),
    ] {
        let page = page(name, count, &text);
        std::fs::write(&path, render(&page, &Options { paper: Paper::Pocket }).expect("a card"))
            .expect("written");
        let told = outside(Path::new("pdfinfo"), &[place]);
        let told = told.lines().find_map(|line| line.strip_prefix("Pages:")).expect("a count of pages");
        let pages: usize = told.trim().parse().expect("a number");
        assert!(pages > least, "{name}: {pages} pages");
        let read = outside(Path::new("pdftotext"), &["-layout", place, "-"]);
        let read: Vec<&str> = read.trim_end_matches('\u{c}').split('\u{c}').collect();
        assert_eq!(read.len(), pages, "{name}");
        for (number, text) in (1..).zip(&read) {
            let head = format!("Page {number} of {pages}");
            assert!(text.contains(&head), "{name}: no `{head}` on\n{text}");
        }
        let letters = read.iter().flat_map(|text| text.chars()).filter(|&letter| letter == 'W').count();
        assert!(count > 1 || letters >= 2 * 250_000, "{name}: {letters} letters");
        if count > 1 {
            let sides = words(&path);
            sides.iter().for_each(|words| apart(words, name));
        }
    }
}

/// A character that no font has is refused on every paper, never shown as an empty box.
#[test]
fn a_missing_character_is_an_error_on_every_paper() {
    let page = page("wide", 6, "赤いレバーを止まるまで回してください。");
    for (paper, ..) in PAPERS {
        let error = render(&page, &Options { paper }).expect_err("no font has it").to_string();
        assert!(error.contains('赤'), "{error}");
    }
}

/// A file of sides goes to and fro, its structure does not: nothing else is wrong with it, and what it says to somebody
/// who does not see it is the same as on pages one after the other. Texts of 200 words go on on the next page.
#[test]
fn the_structure_of_a_booklet_is_that_of_its_pages_in_order() {
    let folder = tempfile::tempdir().expect("a folder");
    let numbers: Vec<String> = (1..=400).map(|number| format!("turn {number}")).collect();
    let page = page("long", 5, &numbers.join(" "));
    let at = |name: &str, paper| {
        let path = folder.path().join(name);
        std::fs::write(&path, render(&page, &Options { paper }).expect("a card")).expect("written");
        path.display().to_string()
    };
    let (flat, booklet) =
        (at("flat.pdf", Paper::PocketOn(Sheet::A4)), at("booklet.pdf", Paper::Booklet(Sheet::A4)));
    let said = |program: &str, arguments: &[&str]| {
        let output = Command::new(program).args(arguments).output().expect("the program starts");
        String::from_utf8_lossy(&output.stdout).into_owned()
    };
    let python = root().join("target/outside/python/bin/python").display().to_string();
    let script = root().join("tests/scenarios/paper/structure.py").display().to_string();
    let title = format!("{} (long, revision 1)", page.identity.title);
    let faults = said(&python, &[&script, &booklet, &title, "1970-01-01"]);
    assert_eq!(faults, format!("{booklet}: the reading order goes back to an earlier page\n"));
    // poppler reads the structure with its text; heads of pages are not in it.
    let spoken = |path: &str| said("pdfinfo", &["-struct-text", path]).split_whitespace().collect::<String>();
    let (folded, flat) = (spoken(&booklet), spoken(&flat));
    assert!(flat.len() > 10_000, "only {} letters are read", flat.len());
    let differ = folded.bytes().zip(flat.bytes()).position(|(one, other)| one != other);
    let differ = differ.map(|at| (&folded[at..at + 80], &flat[at..at + 80]));
    assert!(folded == flat, "a booklet is read in another order than its pages: {differ:?}");
}
