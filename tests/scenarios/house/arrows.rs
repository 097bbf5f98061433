//! Members use only what the table of the architecture lets them.

use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};
use std::process::Command;

/// What each member may use of the others.
fn allowed() -> BTreeMap<&'static str, BTreeSet<&'static str>> {
    [
        ("calc", &[][..]),
        ("journal", &[]),
        ("document", &["calc"]),
        ("credentials", &["document"]),
        ("machine", &["document", "calc"]),
        ("proof", &["machine"]),
        ("walk", &["machine", "journal", "document", "calc"]),
        ("check", &["document", "machine", "proof", "calc"]),
        ("card", &["document", "machine", "calc"]),
        ("pdf", &["card", "document", "calc"]),
        ("records", &["walk", "journal", "document", "calc"]),
        ("review", &["document", "machine", "proof", "check", "card", "journal", "calc"]),
        (
            "web",
            &[
                "calc",
                "journal",
                "document",
                "machine",
                "proof",
                "walk",
                "check",
                "card",
                "pdf",
                "records",
                "review",
                "credentials",
            ],
        ),
        (
            "gatewright",
            &[
                "calc",
                "journal",
                "document",
                "machine",
                "proof",
                "walk",
                "check",
                "card",
                "pdf",
                "records",
                "review",
                "web",
                "credentials",
            ],
        ),
    ]
    .into_iter()
    .map(|(member, uses)| (member, uses.iter().copied().collect()))
    .collect()
}

/// Name of a member and of a member it uses.
type Arrow = (String, String);

fn arrows() -> (BTreeSet<String>, BTreeSet<Arrow>) {
    let output = Command::new(env!("CARGO"))
        .args(["metadata", "--no-deps", "--format-version", "1", "--offline"])
        .current_dir(env!("CARGO_MANIFEST_DIR"))
        .output()
        .expect("cargo metadata runs");
    assert!(output.status.success(), "{}", String::from_utf8_lossy(&output.stderr));
    let metadata: Value = serde_json::from_slice(&output.stdout).expect("cargo metadata gives JSON");
    let packages = metadata["packages"].as_array().expect("packages");
    let name = |value: &Value| value["name"].as_str().expect("a name").to_owned();
    let members: BTreeSet<String> = packages.iter().map(name).collect();
    let mut arrows = BTreeSet::new();
    for package in packages {
        for used in package["dependencies"].as_array().expect("dependencies").iter().map(name) {
            if members.contains(&used) {
                arrows.insert((name(package), used));
            }
        }
    }
    (members, arrows)
}

#[test]
fn members_use_only_what_the_table_lets_them() {
    let allowed = allowed();
    let (members, arrows) = arrows();
    let known: BTreeSet<String> = allowed.keys().map(|&member| member.to_owned()).collect();
    assert_eq!(members, known, "a member is missing from the table, or from the workspace");
    for (member, used) in &arrows {
        assert!(allowed[member.as_str()].contains(used.as_str()), "`{member}` may not use `{used}`");
    }
    assert!(arrows.len() > members.len(), "the arrows were not read");
}

#[test]
fn the_core_is_bound_by_the_lints_that_keep_the_world_out() {
    let root = std::path::Path::new(env!("CARGO_MANIFEST_DIR"));
    let core = std::fs::read_to_string(root.join("engine/.clippy.toml")).expect("engine/.clippy.toml");
    for banned in ["std::fs::read", "std::env::var", "std::time::SystemTime::now", "std::thread::spawn"] {
        assert!(core.contains(banned), "`{banned}` is not banned in the core");
    }
    // Only the journal may touch the disk; the others must not escape the core's file by one of their own.
    for member in ["calc", "document", "machine", "proof", "walk", "check", "card"] {
        assert!(
            !root.join("engine").join(member).join(".clippy.toml").exists(),
            "`{member}` escapes the core's lints"
        );
    }
    let manifest = std::fs::read_to_string(root.join("Cargo.toml")).expect("Cargo.toml");
    assert!(manifest.contains("unsafe_code = \"forbid\""));
    for member in arrows().0.into_iter().filter(|member| member != "gatewright") {
        let manifest =
            std::fs::read_to_string(root.join("engine").join(&member).join("Cargo.toml")).expect("manifest");
        assert!(
            manifest.contains("[lints]\nworkspace = true"),
            "`{member}` does not take the workspace's lints"
        );
    }
}
