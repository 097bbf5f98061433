//! The pages in headless Chromium, driven by the scripts in `tests/web`.

use super::paths::{filled, routes};
use super::server::Server;
use super::stricter::Site;
use crate::walks::root;
use std::io::{BufRead as _, BufReader, Write as _};
use std::process::{Command, Stdio};

/// A script against a server. `GATEWRIGHT_PICTURES` names a folder that keeps a picture of every page looked at.
fn command(script: &str, server: &Server) -> Command {
    let outside = root().join("target/outside");
    assert!(
        outside.join("node_modules/playwright-core").exists(),
        "playwright-core is not there; `tests/run` installs it"
    );
    let mut command = Command::new("node");
    command.arg(root().join("tests/web").join(script)).arg(format!("http://{}", server.address)).arg(outside);
    command.arg(std::env::var_os("GATEWRIGHT_PICTURES").unwrap_or_default());
    command
}

fn run(script: &str, server: &Server) {
    ran(command(script, server));
}

fn ran(mut command: Command) {
    let output = command.output().expect("node runs");
    let said =
        [output.stdout, output.stderr].map(|bytes| String::from_utf8_lossy(&bytes).into_owned()).concat();
    assert!(output.status.success(), "{command:?}: {said}");
}

#[test]
fn what_comes_between_a_person_and_the_walk() {
    run("interrupted.mjs", &Server::start(&["procedures"]));
}

/// What a path gives that is no page, so that no rule for pages is asked of it.
const NO_PAGES: [&str; 3] = ["/assets/", "/photos/", "/api/"];

/// A page that is added to the router is looked at without anybody's doing; a name in its path that no test knows fails.
#[test]
fn every_page_of_the_router_is_looked_at() {
    let pages = routes().into_iter().filter(|route| {
        let file = route.path.rsplit('/').next().is_some_and(|name| name.contains('.'));
        route.method == "GET" && !file && !NO_PAGES.iter().any(|start| route.path.starts_with(start))
    });
    let server = Server::start(&["procedures"]);
    let mut command = command("pages.mjs", &server);
    command.args(pages.map(|route| filled(&route.path, "{walk}"))).arg("/nothing-there");
    ran(command);
}

/// A procedure on a screen, with everything that comes between; the script asks for what is done to the server.
fn walked(procedure: &str, screen: &str, way: &str) {
    let mut server = Server::start(&["procedures"]);
    let mut child = command("gates.mjs", &server)
        .args([procedure, screen, way])
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .stderr(Stdio::inherit())
        .spawn()
        .expect("node runs");
    let mut input = child.stdin.take().expect("an input");
    let mut last = String::new();
    for line in BufReader::new(child.stdout.take().expect("an output")).lines() {
        last = line.expect("a line");
        match last.as_str() {
            "freeze" => server.freeze(),
            "kill" => server.kill(),
            "start" => server.start_again(),
            _ => continue,
        }
        writeln!(input, "done").expect("it listens");
    }
    assert!(child.wait().expect("it ends").success(), "the last it said: {last}");
    assert_eq!(last, "finished");
}

#[test]
fn the_wand_through_every_gate_on_a_phone() {
    walked("wand-reassembly", "phone", "whole");
}

#[test]
fn the_wand_stopped_on_a_phone() {
    walked("wand-reassembly", "phone", "stopped");
}

#[test]
fn the_wand_through_every_gate_on_a_desktop() {
    walked("wand-reassembly", "desktop", "whole");
}

#[test]
fn the_wand_stopped_on_a_desktop() {
    walked("wand-reassembly", "desktop", "stopped");
}

#[test]
fn the_battery_through_every_gate_on_a_phone() {
    walked("battery-replacement", "phone", "whole");
}

#[test]
fn the_battery_stopped_on_a_phone() {
    walked("battery-replacement", "phone", "stopped");
}

#[test]
fn the_battery_through_every_gate_on_a_desktop() {
    walked("battery-replacement", "desktop", "whole");
}

#[test]
fn the_battery_stopped_on_a_desktop() {
    walked("battery-replacement", "desktop", "stopped");
}

#[test]
fn what_is_not_proved_any_more_while_it_is_walked() {
    let Site { folder, server } = Site::served();
    let mut command = command("unproved.mjs", &server);
    command.arg(folder.path());
    ran(command);
}

#[test]
fn the_officer_looks_and_decides() {
    let folder = super::review::folder();
    run("review.mjs", &super::review::serve(&folder));
}
