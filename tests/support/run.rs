//! Programs run by tests: our own, and git.

use std::io::Write as _;
use std::path::Path;
use std::process::{Command, Output, Stdio};

/// Where the project stands.
pub(crate) fn root() -> &'static Path {
    Path::new(env!("CARGO_MANIFEST_DIR"))
}

/// Our program in a folder, with an empty environment.
pub(crate) fn gatewright(folder: &Path, arguments: &[&str]) -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_gatewright"));
    command.current_dir(folder).env_clear().args(arguments);
    command
}

/// What a program wrote.
pub(crate) fn stdout(output: &Output) -> String {
    String::from_utf8(output.stdout.clone()).expect("output is UTF-8")
}

/// What a program complained of.
pub(crate) fn stderr(output: &Output) -> String {
    String::from_utf8(output.stderr.clone()).expect("output is UTF-8")
}

/// Runs git in a folder, as somebody.
pub(crate) fn git(folder: &Path, arguments: &[&str]) {
    let ran = Command::new("git")
        .current_dir(folder)
        .args(["-c", "user.name=A", "-c", "user.email=a@b", "-c", "init.defaultBranch=main"])
        .args(arguments)
        .output()
        .expect("git runs");
    assert!(ran.status.success(), "{}", String::from_utf8_lossy(&ran.stderr));
}

/// Whether `ssh-keygen` accepts what it is given in a folder.
pub(crate) fn keygen(folder: &Path, arguments: &[&str], input: &[u8]) -> bool {
    let mut child = Command::new("ssh-keygen")
        .current_dir(folder)
        .args(arguments)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()
        .expect("ssh-keygen is installed");
    // It may end before it has read everything, as when it refuses the signature itself.
    let _ = child.stdin.take().expect("an input").write_all(input);
    child.wait().expect("it ends").success()
}
