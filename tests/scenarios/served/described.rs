//! The JSON interface against its description, by schemathesis: what fits the description is taken or refused as described,
//! what does not fit is refused, and no answer is one that is not described.

use super::server::{SMALL, Server};
use super::walker::Walker;
use crate::support::run::root;
use std::process::Command;

/// Requests made up for each operation and kind of value.
const EXAMPLES: &str = "20";
const SEED: &str = "20261125";

#[test]
fn schemathesis_finds_nothing() {
    let program = root().join("target/outside/python/bin/schemathesis");
    assert!(program.exists(), "schemathesis is not there; `tests/run` installs it");
    let server = Server::start(&SMALL);
    let mut walker = Walker::signed_in(&server, "Tomas Reeve");
    let (_, walk) = walker.begin("strainer-clean").expect("an answer");
    let folder = tempfile::tempdir().expect("a folder");
    // A walk that is there, so that more than "not there" is answered. A walk refuses what is not due with 422, as described.
    let settings = format!(
        "[parameters]\n\"path.walk\" = \"{}\"\n\"header.x-csrf-token\" = \"{}\"\n\
         [checks.positive_data_acceptance]\nexpected-statuses = [\"2xx\", 401, 403, 404, 409, 422, 429]\n",
        walk["id"].as_str().expect("a name"),
        walker.csrf
    );
    std::fs::write(folder.path().join("schemathesis.toml"), settings).expect("written");
    let output = Command::new(program)
        .current_dir(folder.path())
        .args(["run", &format!("http://{}/api/openapi.json", server.address)])
        .args(["--url", &format!("http://{}/api", server.address)])
        .args(["--header", &format!("Cookie: gatewright={}", walker.device.cookies["gatewright"])])
        .args([
            "--seed",
            SEED,
            "--max-examples",
            EXAMPLES,
            "--checks",
            "all",
            "--continue-on-failure",
            "--no-color",
        ])
        .args([
            "--generation-with-security-parameters",
            "false",
            "--generation-database",
            "none",
            "--no-shrink",
        ])
        .output()
        .expect("schemathesis runs");
    let said = String::from_utf8_lossy(&output.stdout);
    assert!(output.status.success(), "{said}{}", String::from_utf8_lossy(&output.stderr));
    let tested = format!("Tested: {}", operations());
    assert!(said.contains(&tested), "not every operation was tried ({tested}): {said}");
    assert!(!server.log().contains("panicked"), "{}", server.log());
}

/// How many calls are described, but the description itself.
fn operations() -> usize {
    let text = std::fs::read_to_string(root().join("schemas/openapi.json")).expect("the description");
    let description: serde_json::Value = serde_json::from_str(&text).expect("JSON");
    let paths = description["paths"].as_object().expect("paths").values();
    paths.map(|methods| methods.as_object().expect("methods").len()).sum::<usize>() - 1
}
