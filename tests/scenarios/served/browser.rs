//! The pages in headless Chromium, driven by the scripts in `tests/web`.

use super::server::Server;
use crate::walks::root;
use std::process::Command;

/// Runs a script against a server. `GATEWRIGHT_PICTURES` names a folder that keeps a picture of every page looked at.
fn run(script: &str, server: &Server) {
    let outside = root().join("target/outside");
    assert!(
        outside.join("node_modules/playwright-core").exists(),
        "playwright-core is not there; `tests/run` installs it"
    );
    let mut command = Command::new("node");
    command.arg(root().join("tests/web").join(script)).arg(format!("http://{}", server.address)).arg(outside);
    command.args(std::env::var_os("GATEWRIGHT_PICTURES"));
    let output = command.output().expect("node runs");
    let said =
        [output.stdout, output.stderr].map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).concat();
    assert!(output.status.success(), "{script}: {said}");
}

#[test]
fn whole_walks_on_a_phone_and_on_a_desktop() {
    run("whole.mjs", &Server::start(&["procedures"]));
}

#[test]
fn what_comes_between_a_person_and_the_walk() {
    run("interrupted.mjs", &Server::start(&["procedures"]));
}

#[test]
fn the_officer_looks_and_decides() {
    let folder = super::review::folder();
    run("review.mjs", &super::review::serve(&folder));
}
