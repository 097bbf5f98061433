//! A served process on a free port, with the people of the depot.

use crate::walks::root;
use std::io::{BufRead as _, BufReader, Write as _};
use std::path::{Path, PathBuf};
use std::process::{Child, Command, Stdio};

/// Name, PIN, role.
pub(crate) const PEOPLE: [(&str, &str, &str); 4] = [
    ("Tomas Reeve", "402917", "technician"),
    ("Anneke Voss", "518263", "second-person"),
    ("Gwen Adeyi", "730194", "safety-officer"),
    ("Ilse Marrow", "620418", "second-person:2025-01-01"),
];

/// What is served where one procedure is enough.
pub(crate) const SMALL: [&str; 2] =
    ["procedures/oskerry-22/equipment.yaml", "procedures/oskerry-22/strainer-clean.yaml"];

pub(crate) struct Server {
    child: Child,
    /// `127.0.0.1:` and the port.
    pub(crate) address: String,
    arguments: Vec<String>,
    folder: tempfile::TempDir,
}

fn gatewright() -> Command {
    let mut command = Command::new(env!("CARGO_BIN_EXE_gatewright"));
    command.current_dir(root()).env_clear();
    command
}

/// Starts it; gives the address it says.
fn started(journal: &Path, arguments: &[String], listen: &str) -> (Child, String) {
    let mut child = gatewright()
        .args(["serve", "--listen", listen])
        .args(arguments)
        .arg("--journal")
        .arg(journal)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(Stdio::inherit())
        .spawn()
        .expect("the program starts");
    let mut line = String::new();
    BufReader::new(child.stdout.take().expect("an output")).read_line(&mut line).expect("a line");
    let address = line.trim().trim_start_matches("serving on http://").trim_end_matches('/').to_owned();
    assert!(address.starts_with("127.0.0.1:"), "it said: {line}");
    (child, address)
}

impl Server {
    pub(crate) fn start(arguments: &[&str]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let journal = folder.path().join("records.sqlite");
        for (name, pin, role) in PEOPLE {
            let mut child = gatewright()
                .args(["people", "add", name, "--role", role, "--journal"])
                .arg(&journal)
                .stdin(Stdio::piped())
                .stdout(Stdio::null())
                .spawn()
                .expect("the program starts");
            writeln!(child.stdin.take().expect("an input"), "{pin}").expect("the program listens");
            assert!(child.wait().expect("it ends").success(), "{name} is added");
        }
        let arguments: Vec<String> = arguments.iter().map(|&argument| argument.to_owned()).collect();
        let (child, address) = started(&journal, &arguments, "127.0.0.1:0");
        Self { child, address, arguments, folder }
    }

    pub(crate) fn journal(&self) -> PathBuf {
        self.folder.path().join("records.sqlite")
    }

    /// Ends it without a moment's notice (SIGKILL).
    pub(crate) fn kill(&mut self) {
        self.child.kill().expect("it was running");
        self.child.wait().expect("it is gone");
    }

    /// Starts it again on the same address, with other documents.
    pub(crate) fn start_with(&mut self, arguments: &[&str]) {
        self.arguments = arguments.iter().map(|&argument| argument.to_owned()).collect();
        self.start_again();
    }

    /// Starts it again on the same address.
    pub(crate) fn start_again(&mut self) {
        let (child, address) = started(&self.journal(), &self.arguments, &self.address);
        assert_eq!(address, self.address);
        self.child = child;
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // It may have been killed already.
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}
