//! A served process on a free port, with the people of the depot.

use crate::support::demo;
use crate::support::run::root;
use std::fs::{File, OpenOptions};
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
    /// A program, with its arguments, that starts this one: it sets a limit or a clock.
    pub(crate) under: Vec<String>,
    records: PathBuf,
    folder: tempfile::TempDir,
}

fn gatewright(under: &[String], folder: &Path) -> Command {
    let program = env!("CARGO_BIN_EXE_gatewright");
    let mut command = match under {
        [] => Command::new(program),
        [other, arguments @ ..] => {
            let mut command = Command::new(other);
            command.args(arguments).arg(program);
            command
        }
    };
    command.current_dir(folder).env_clear();
    command
}

impl Server {
    pub(crate) fn start(arguments: &[&str]) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        let records = folder.path().join("records.sqlite");
        Self::start_at(arguments, folder, records, &[])
    }

    /// With the records in a place of the test's, and a program that starts it.
    pub(crate) fn start_at(
        arguments: &[&str],
        folder: tempfile::TempDir,
        records: PathBuf,
        under: &[&str],
    ) -> Self {
        for (name, pin, role) in PEOPLE {
            add_person(&records, name, pin, role);
        }
        let owned = |texts: &[&str]| texts.iter().map(|&text| text.to_owned()).collect::<Vec<_>>();
        let (arguments, under) = (owned(arguments), owned(under));
        let mut child = spawned(&records, &arguments, "127.0.0.1:0", &under, &folder.path().join("log"));
        let address = address(&mut child).expect("it says where it listens");
        Self { child, address, arguments, under, records, folder }
    }

    pub(crate) fn journal(&self) -> PathBuf {
        self.records.clone()
    }

    /// What it wrote for whoever runs it, since its first start.
    pub(crate) fn log(&self) -> String {
        std::fs::read_to_string(self.folder.path().join("log")).expect("the log")
    }

    /// Memory that it held at most, in kilobytes, where the system tells it.
    pub(crate) fn peak_kb(&self) -> Option<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status.lines().find(|line| line.starts_with("VmHWM:"))?;
        line.split_whitespace().nth(1)?.parse().ok()
    }

    /// Ends it without a moment's notice (SIGKILL).
    pub(crate) fn kill(&mut self) {
        self.child.kill().expect("it was running");
        self.child.wait().expect("it is gone");
    }

    /// Stops it where it is (SIGSTOP): what comes is taken in by the system and read by nobody. Only a kill follows.
    pub(crate) fn freeze(&self) {
        let stopped = Command::new("kill").args(["-STOP", &self.child.id().to_string()]).status();
        assert!(stopped.expect("kill runs").success());
    }

    /// Starts it again on the same address, with other documents.
    pub(crate) fn start_with(&mut self, arguments: &[&str]) {
        self.arguments = arguments.iter().map(|&argument| argument.to_owned()).collect();
        self.start_again();
    }

    /// Starts it again on the same address, without waiting until it listens.
    pub(crate) fn spawn_again(&mut self) {
        let log = self.folder.path().join("log");
        self.child = spawned(&self.records, &self.arguments, &self.address, &self.under, &log);
    }

    /// Starts it again on the same address.
    pub(crate) fn start_again(&mut self) {
        self.spawn_again();
        let address = address(&mut self.child);
        assert_eq!(address.as_deref(), Some(self.address.as_str()), "{}", self.log());
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        // It may have been killed already.
        let _ = self.child.kill();
        let _ = self.child.wait();
        if std::thread::panicking() {
            // Shown with what the test says.
            let _ = std::io::stderr().write_all(self.log().as_bytes());
        }
    }
}

/// Adds somebody to the depot beside a file of records.
pub(crate) fn add_person(records: &Path, name: &str, pin: &str, role: &str) {
    let mut child = gatewright(&[], root())
        .args(["people", "add", name, "--role", role, "--journal"])
        .arg(records)
        .stdin(Stdio::piped())
        .stdout(Stdio::null())
        .spawn()
        .expect("the program starts");
    writeln!(child.stdin.take().expect("an input"), "{pin}").expect("the program listens");
    assert!(child.wait().expect("it ends").success(), "{name} is added");
}

fn spawned(records: &Path, arguments: &[String], listen: &str, under: &[String], log: &Path) -> Child {
    // The bundled documents stand beside the log, not beside the records: those may lie on a disk that is full.
    let folder = log.parent().expect("a folder");
    demo::site(folder);
    let log: File = OpenOptions::new().create(true).append(true).open(log).expect("a log");
    gatewright(under, folder)
        .args(["serve", "--listen", listen])
        .args(arguments)
        .arg("--journal")
        .arg(records)
        .stdin(Stdio::null())
        .stdout(Stdio::piped())
        .stderr(log)
        .spawn()
        .expect("the program starts")
}

/// The address that it says, once it listens.
fn address(child: &mut Child) -> Option<String> {
    let mut line = String::new();
    BufReader::new(child.stdout.take()?).read_line(&mut line).ok()?;
    let address = line.trim().strip_prefix("serving on http://")?.trim_end_matches('/').to_owned();
    address.starts_with("127.0.0.1:").then_some(address)
}
