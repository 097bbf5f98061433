//! Every dependency of a member is used by it.

use super::tokens::{Token, tokens, without_tests};
use super::{metadata, root, sources};
use serde_json::Value;
use std::collections::BTreeSet;
use std::path::{Path, PathBuf};

#[test]
fn every_dependency_is_used() {
    let mut unused = Vec::new();
    for package in metadata() {
        let name = package["name"].as_str().expect("a name");
        let (itself, with_tests) = words(&package);
        for dependency in package["dependencies"].as_array().expect("dependencies") {
            let known_as = [&dependency["rename"], &dependency["name"]].into_iter().find_map(Value::as_str);
            let known_as = known_as.expect("a name").replace('-', "_");
            let used = if dependency["kind"] == "dev" { &with_tests } else { &itself };
            if !used.contains(&known_as) {
                unused.push(format!("`{name}` does not use `{known_as}`"));
            }
        }
    }
    assert!(unused.is_empty(), "{}", unused.join("\n"));
}

/// The first words of all paths of a package: in itself, and with its tests.
fn words(package: &Value) -> (BTreeSet<String>, BTreeSet<String>) {
    let (mut itself, mut with_tests) = (BTreeSet::new(), BTreeSet::new());
    for target in package["targets"].as_array().expect("targets") {
        let text = |key: &str| target[key].as_str().expect("a path of UTF-8").to_owned();
        let folder = PathBuf::from(text("src_path")).parent().map(Path::to_owned).expect("a folder");
        assert!(folder.starts_with(root()), "`{}` is elsewhere", folder.display());
        let is_test =
            target["kind"].as_array().expect("kinds").iter().any(|kind| kind == "test" || kind == "bench");
        for file in sources(&folder) {
            let tokens = tokens(&std::fs::read_to_string(&file).expect("source can be read"));
            with_tests.extend(first_words(&tokens));
            if !is_test {
                itself.extend(first_words(&without_tests(&tokens).0));
            }
        }
    }
    (itself, with_tests)
}

/// Words before `::`, and what an import or a re-export names alone.
fn first_words(tokens: &[Token]) -> impl Iterator<Item = String> {
    let leads = |pair: &&[Token]| pair[1] == Token::Path || pair[0].word() == Some("use");
    tokens.windows(2).filter(leads).flat_map(|pair| pair.iter().filter_map(Token::word).map(str::to_owned))
}
