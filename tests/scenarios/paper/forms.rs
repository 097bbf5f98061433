//! The checklist and the matrix on paper.

use super::words::letters;
use super::{outside, pages, root};
use card::checklist::Checklist;
use std::path::Path;
use std::process::Command;

#[test]
fn checklists_and_matrices_have_their_lines_in_order_and_the_structure_that_the_standards_ask_for() {
    let folder = tempfile::tempdir().expect("a folder");
    let output = Command::new(env!("CARGO_BIN_EXE_gatewright"))
        .current_dir(root())
        .args(["card", "--all", "--form", "checklist,matrix", "--out"])
        .arg(folder.path())
        .output()
        .expect("the program starts");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let mut arguments = vec![root().join("tests/scenarios/paper/structure.py").display().to_string()];
    for page in pages() {
        let identity = &page.identity;
        let at = |form: &str| {
            let path = folder.path().join(&identity.id).join(format!("{form}.pdf"));
            path.to_str().expect("UTF-8").to_owned()
        };
        let text = letters(&outside(Path::new("pdftotext"), &["-raw", &at("checklist"), "-"]));
        let mut from = 0;
        let list = Checklist::from_page(&page);
        for hazard in &list.hazards {
            let one = letters(&format!("{}: {}", hazard.word.word(), hazard.hazard));
            let found = text[from..].find(&one);
            from += found.unwrap_or_else(|| panic!("`{one}` is missing in {}", at("checklist"))) + one.len();
        }
        for item in list.groups.iter().flatten() {
            let warned = item.warning.iter().map(|warned| warned.hazard.as_str());
            for one in warned.chain([item.number.as_str(), &item.challenge, &item.response]) {
                let one = letters(one);
                let found = text[from..].find(&one);
                from +=
                    found.unwrap_or_else(|| panic!("`{one}` is missing in {}", at("checklist"))) + one.len();
            }
        }
        let named = format!("({}, revision {})", identity.id, identity.revision);
        let effective = identity.effective.clone().expect("a date");
        arguments.extend([
            at("checklist"),
            format!("Checklist: {} {named}", identity.title),
            effective.clone(),
        ]);
        let title = format!("Hazards and controls: {} {named}", identity.title);
        arguments.extend([at("matrix"), title, effective]);
        let sizes = outside(Path::new("pdfinfo"), &[&at("matrix")]);
        assert!(sizes.contains("841.89 x 595.276") || sizes.contains("841.89 x 595.28"), "{sizes}");
    }
    let arguments: Vec<&str> = arguments.iter().map(String::as_str).collect();
    assert_eq!(outside(&root().join("target/outside/python/bin/python"), &arguments), "");
}
