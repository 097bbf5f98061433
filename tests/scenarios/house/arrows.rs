//! Members use what the table of the architecture says, no more and no less.

use super::{metadata, root};
use serde_json::Value;
use std::collections::{BTreeMap, BTreeSet};

/// What a member uses of the others: in itself, and besides that in its tests.
#[derive(Debug, Default, PartialEq, Eq)]
struct Uses {
    itself: BTreeSet<String>,
    tests: BTreeSet<String>,
}

/// The table in DEVELOPERS.md.
fn allowed() -> BTreeMap<String, Uses> {
    let page = std::fs::read_to_string(root().join("DEVELOPERS.md")).expect("DEVELOPERS.md");
    let (_, section) = page.split_once("\n## Architecture\n").expect("a section on the architecture");
    let mut rows =
        section.lines().skip_while(|line| !line.starts_with('|')).take_while(|line| line.starts_with('|'));
    let head: Vec<&str> = rows.next().map(cells).unwrap_or_default();
    assert_eq!(head, ["member", "may use", "its tests too", "what lives there"], "the head of the table");
    let names = |cell: &str| cell.split(", ").filter(|name| *name != "–").map(str::to_owned).collect();
    let mut allowed = BTreeMap::new();
    for row in rows.skip(1) {
        let [member, itself, tests, _] = cells(row)[..] else { panic!("a row of four cells: {row}") };
        let member = if member == "cli (root package)" { "gatewright" } else { member };
        let before = allowed.insert(member.to_owned(), Uses { itself: names(itself), tests: names(tests) });
        assert_eq!(before, None, "`{member}` has two rows");
    }
    allowed
}

fn cells(row: &str) -> Vec<&str> {
    row.trim_matches('|').split('|').map(str::trim).collect()
}

/// What the manifests say.
fn used() -> BTreeMap<String, Uses> {
    let packages = metadata();
    let name = |value: &Value| value["name"].as_str().expect("a name").to_owned();
    let members: BTreeSet<String> = packages.iter().map(name).collect();
    let uses = |package: &Value| {
        let mut uses = Uses::default();
        for dependency in package["dependencies"].as_array().expect("dependencies") {
            if members.contains(&name(dependency)) {
                let kind = if dependency["kind"] == "dev" { &mut uses.tests } else { &mut uses.itself };
                kind.insert(name(dependency));
            }
        }
        uses
    };
    packages.iter().map(|package| (name(package), uses(package))).collect()
}

#[test]
fn members_use_what_the_table_says_no_more_and_no_less() {
    let (allowed, used) = (allowed(), used());
    let members = |of: &BTreeMap<String, Uses>| of.keys().cloned().collect::<BTreeSet<String>>();
    assert_eq!(
        members(&used),
        members(&allowed),
        "a member is missing from the table, or from the workspace"
    );
    let mut faults = Vec::new();
    for (member, used) in &used {
        let allowed = &allowed[member];
        for (whose, used, allowed) in
            [("", &used.itself, &allowed.itself), ("the tests of ", &used.tests, &allowed.tests)]
        {
            let more = used.difference(allowed).map(|more| format!("{whose}`{member}` may not use `{more}`"));
            let less =
                allowed.difference(used).map(|less| format!("{whose}`{member}` may use `{less}`: unused"));
            faults.extend(more.chain(less));
        }
    }
    assert!(faults.is_empty(), "{}", faults.join("\n"));
}

#[test]
fn the_core_is_bound_by_the_lints_that_keep_the_world_out() {
    let root = root();
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
    for member in used().into_keys().filter(|member| member != "gatewright") {
        let manifest =
            std::fs::read_to_string(root.join("engine").join(&member).join("Cargo.toml")).expect("manifest");
        assert!(
            manifest.contains("[lints]\nworkspace = true"),
            "`{member}` does not take the workspace's lints"
        );
    }
}
