//! Cards as people see them: in Chromium on a phone, a tablet and paper, by light and by dark.
//!
//! Outside references: axe-core for WCAG 2.2 AA, W3C's contrast formula over the styles that the browser computed, and
//! a general-purpose decoder for the square code. `tests/run` installs them.

pub(crate) mod stress;

use crate::support::demo;
use std::path::{Path, PathBuf};
use std::process::Command;

fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Everything that is wrong with these pages; pictures of their square codes are left in the folder.
fn faults(pictures: &Path, files: &[PathBuf]) -> Vec<String> {
    let output = Command::new("node")
        .current_dir(root())
        .arg("tests/scenarios/screens/look.mjs")
        .arg(pictures)
        .args(files)
        .output()
        .unwrap_or_else(|error| panic!("node cannot be started ({error}): run tests/run once"));
    assert!(
        output.status.success(),
        "run tests/run once if something is not installed: {}",
        String::from_utf8_lossy(&output.stderr)
    );
    serde_json::from_slice(&output.stdout).expect("a list of faults")
}

#[test]
fn every_page_in_out_can_be_read_on_every_screen_and_on_paper() {
    let folder = tempfile::tempdir().expect("a folder");
    let mut files = vec![root().join("out/index.html")];
    for name in demo::PROCEDURES {
        for page in ["card.html", "checklist.html", "matrix.html"] {
            files.push(root().join("out").join(name).join(page));
        }
    }
    let found = faults(folder.path(), &files);
    assert!(found.is_empty(), "{found:#?}");
    the_codes_say_what_the_cards_say(folder.path());
}

/// zbarimg reads each picture and gives the line that stands on the text card.
fn the_codes_say_what_the_cards_say(pictures: &Path) {
    let mut read = 0;
    for name in demo::PROCEDURES {
        let card = std::fs::read_to_string(root().join("out").join(name).join("card.txt")).expect("a card");
        // The line is broken where the paper ends.
        let flat: String = card.split_whitespace().collect();
        for page in ["card.html", "checklist.html"] {
            for view in ["phone", "print"] {
                let picture = pictures.join(format!("{name}-{page}-{view}.png"));
                let output =
                    Command::new("zbarimg").args(["--raw", "--quiet"]).arg(&picture).output().unwrap_or_else(
                        |error| panic!("zbarimg cannot be started ({error}): run tests/run once"),
                    );
                let mark = String::from_utf8_lossy(&output.stdout).trim().to_owned();
                assert!(
                    mark.starts_with(&format!("gatewright-card 1 {name} ")),
                    "{}: {mark}",
                    picture.display()
                );
                assert!(flat.contains(&mark.replace(' ', "")), "{name}: the code says {mark}");
                read += 1;
            }
        }
    }
    assert_eq!(read, 28);
}

/// What measures must be able to find: one page with a fault of each kind.
#[test]
fn a_bad_page_is_told_with_all_its_faults() {
    let folder = tempfile::tempdir().expect("a folder");
    let page = "<!doctype html><html lang=\"en\"><head><meta charset=\"utf-8\"><title>Bad</title></head><body><main>\
        <h1>Bad</h1><div style=\"width: 900px\">wide</div><p style=\"color: #777777\">faint words</p>\
        <p>under here</p><p style=\"margin-top: -2.2em\">over there</p><img src=\"x.png\">\
        <svg class=\"map-column\" viewBox=\"0 0 100 20\"><rect class=\"map-box\" width=\"20\" height=\"20\"/>\
        <text y=\"15\">far too long</text></svg></main></body></html>";
    let path = folder.path().join("bad.html");
    std::fs::write(&path, page).expect("written");
    let found = faults(folder.path(), &[path]);
    // 4.48 for #777777 on white is the W3C formula's published example (2nd).
    for fault in [
        "(phone): scrolls sideways",
        "(print): scrolls sideways",
        "contrast 4.48: faint words",
        "\"over there\" lies on \"under here\"",
        "axe image-alt",
        "in no box: far too long",
    ] {
        assert!(found.iter().any(|one| one.contains(fault)), "{fault}: {found:#?}");
    }
}
