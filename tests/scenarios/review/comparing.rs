//! `compare`: files and revisions, in every form.

use super::{gatewright, stdout};
use crate::support::{demo, run};

#[test]
fn files_and_revisions_are_compared_in_every_form() {
    let folder = tempfile::tempdir().expect("a folder");
    let folder = folder.path();
    let write = |name: &str, text: &str| {
        std::fs::create_dir_all(folder.join("procedures")).expect("a folder");
        std::fs::write(folder.join("procedures").join(name), text).expect("written");
    };
    write("equipment.yaml", &demo::text("equipment"));
    let own = demo::text("tip-swap");
    write("tip-swap.yaml", &own);
    let git = |arguments: &[&str]| run::git(folder, arguments);
    git(&["init", "-q"]);
    git(&["add", "."]);
    git(&["commit", "-q", "-m", "first"]);
    let changed = crate::support::edit::swap(&own, " area: clear,", "");
    write("tip-swap.yaml", &changed);
    git(&["commit", "-q", "-a", "-m", "second"]);
    let file = "procedures/tip-swap.yaml";
    let by_range = gatewright(folder, &["compare", "--git", "HEAD~1..HEAD", file, "--form", "json"]);
    assert_eq!(by_range.status.code(), Some(1), "{}", super::stderr(&by_range));
    let json: serde_json::Value = serde_json::from_str(&stdout(&by_range)).expect("JSON");
    assert_eq!(json["class"], "weakened");
    let first = &json["changes"][0]["old"];
    assert!(first["file"].is_null() || first["file"] == "HEAD~1:procedures/tip-swap.yaml", "{first}");
    let by_name = gatewright(folder, &["compare", &format!("HEAD~1:{file}"), file]);
    assert_eq!(by_name.status.code(), Some(1));
    assert!(stdout(&by_name).contains("precondition weakened"), "{}", stdout(&by_name));
    let html = gatewright(folder, &["compare", &format!("HEAD~1:{file}"), file, "--form", "html"]);
    assert!(stdout(&html).contains("<p class=\"against\">weakened</p>"));
    let same = gatewright(folder, &["compare", file, file]);
    assert_eq!(same.status.code(), Some(0));
    assert!(stdout(&same).contains("no safety change"));
    for wrong in
        [&["compare", file][..], &["compare", "nowhere.yaml", file], &["compare", "nowhere:x.yaml", file]]
    {
        assert_eq!(gatewright(folder, wrong).status.code(), Some(2), "{wrong:?}");
    }
}
