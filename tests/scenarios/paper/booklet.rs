//! The booklet, as a person at a depot makes it: printed on both sides, cut, piled up, folded, read.
//!
//! The order is that of saddle stitching (common practice, no source); here it is not stated as a formula but found by
//! doing with the printed pages what the help says.

use super::bounds::figure;
use super::{outside, pages, root};
use std::path::Path;
use std::process::Command;

/// A quarter of a side: the number of the page on it and where its words begin and end, in points from its left edge.
#[derive(Clone, Copy, Debug, Default)]
struct Quarter {
    page: usize,
    from: f64,
    to: f64,
}

/// The four quarters of each side, line by line.
fn sides(path: &Path, (width, height): (f64, f64)) -> Vec<[Quarter; 4]> {
    let boxes = outside(Path::new("pdftotext"), &["-bbox", path.to_str().expect("UTF-8"), "-"]);
    let mut sides: Vec<[Quarter; 4]> = Vec::new();
    let mut before = [""; 4];
    for line in boxes.lines().map(str::trim_start) {
        if line.starts_with("<page ") {
            sides.push([Quarter { from: f64::MAX, ..Quarter::default() }; 4]);
            before = [""; 4];
        }
        let (Some(side), true) = (sides.last_mut(), line.starts_with("<word ")) else { continue };
        let (from, up, to) = (figure(line, "xMin"), figure(line, "yMin"), figure(line, "xMax"));
        let at = usize::from(from > width) + 2 * usize::from(up > height);
        let left = if from > width { width } else { 0.0 };
        let quarter = &mut side[at];
        (quarter.from, quarter.to) = (quarter.from.min(from - left), quarter.to.max(to - left));
        let word =
            line.split_once('>').and_then(|(_, rest)| rest.split_once('<')).map_or("", |(word, _)| word);
        if before[at] == "Page" && quarter.page == 0 {
            quarter.page = word.parse().expect("the number of the page");
        }
        before[at] = word;
    }
    sides
}

#[test]
fn printed_on_both_sides_cut_piled_up_and_folded_it_is_read_from_first_to_last() {
    let folder = tempfile::tempdir().expect("a folder");
    for (sheet, (width, height)) in [("a4", (297.64, 420.94)), ("letter", (306.0, 396.0))] {
        let output = Command::new(env!("CARGO_BIN_EXE_gatewright"))
            .current_dir(root())
            .args([
                "card",
                "--all",
                "--form",
                "pdf,checklist",
                "--paper",
                "pocket",
                "--booklet",
                sheet,
                "--out",
            ])
            .arg(folder.path())
            .output()
            .expect("the program starts");
        assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
        for page in pages() {
            for form in ["card", "checklist"] {
                let path =
                    folder.path().join(&page.identity.id).join(format!("{form}-booklet-on-{sheet}.pdf"));
                read(&sides(&path, (width, height)), width, &path);
            }
        }
    }
}

fn read(sides: &[[Quarter; 4]], width: f64, path: &Path) {
    assert_eq!(sides.len() % 2, 0, "both sides of every sheet");
    let count = sides.iter().flatten().map(|quarter| quarter.page).max().expect("pages");
    assert_eq!(sides.len(), 2 * count.div_ceil(8), "{}: sheets for {count} pages", path.display());
    // Turned over the long edge the upper half is the upper half again. The cut makes leaves of it: front and back.
    let leaf = |sheet: &[[Quarter; 4]], half: usize| {
        [0, 1].map(|side: usize| [sheet[side][half], sheet[side][half + 1]])
    };
    let mut pile: Vec<[[Quarter; 2]; 2]> = sides.chunks(2).map(|sheet| leaf(sheet, 0)).collect();
    pile.extend(sides.chunks(2).map(|sheet| leaf(sheet, 2)));
    // Folded with the front outside, page 1 at the right: one leaf after the other to the middle, and back.
    let mut order = Vec::new();
    for [front, back] in &pile {
        order.extend([(front[1], false), (back[0], true)]);
    }
    for [front, back] in pile.iter().rev() {
        order.extend([(back[1], false), (front[0], true)]);
    }
    order.retain(|(quarter, _)| quarter.page > 0);
    let numbers: Vec<usize> = order.iter().map(|(quarter, _)| quarter.page).collect();
    assert_eq!(numbers, (1..=count).collect::<Vec<_>>(), "{}", path.display());
    // At the fold is the margin of 15 mm, on left-hand pages at the right.
    for (quarter, left_hand) in order {
        let inner = if left_hand { width - quarter.to } else { quarter.from };
        assert!(inner >= 15.0 / 25.4 * 72.0 - 0.5, "{}: {quarter:?}", path.display());
    }
}
