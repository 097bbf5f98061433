//! What is due on each machine and which are out of service: by the register and the records, in the terminal, in a
//! calendar and in the browser.

mod calendar;
mod damaged;
mod due;
mod head;
mod told;
mod zone;

use crate::support::demo;
use crate::support::run::gatewright;
use crate::walks::{Driver, begin};
use document::Day;
use journal::Journal;
use std::path::{Path, PathBuf};
use std::process::Output;
use walk::{Begin, Input, Leaving};

/// 2026-10-20, eight o'clock in universal time.
const START_MS: i64 = 1_792_483_200_000;
const DAY_MS: i64 = 86_400_000;

/// A site of its own: documents, a register and records.
struct Site {
    folder: tempfile::TempDir,
}

impl Site {
    fn new(register: &str) -> Self {
        let folder = tempfile::tempdir().expect("a folder");
        for file in demo::files() {
            std::fs::write(folder.path().join(&file.name), &file.bytes).expect("written");
        }
        let site = Self { folder };
        site.write("register.yaml", register);
        site
    }

    fn path(&self) -> &Path {
        self.folder.path()
    }

    fn records(&self) -> PathBuf {
        self.path().join("records.sqlite")
    }

    fn write(&self, name: &str, text: &str) {
        std::fs::write(self.path().join(name), text).expect("written");
    }

    /// Walks a procedure on a machine so many days after the start; stops at once where `stop` says why.
    fn walk(&self, procedure: &str, serial: &str, day: i64, training: bool, stop: Option<&str>) -> String {
        let mut journal = Journal::open(self.records()).expect("a journal");
        let begin = Begin {
            serial: serial.to_owned(),
            training,
            rehearsal: false,
            ..begin(procedure, &demo::files())
        };
        let mut driver = Driver::new();
        driver.now_ms = START_MS + day * DAY_MS;
        let day = Day::parse("2026-10-20").expect("a day");
        let id = walk::free_name(&journal, procedure, day).expect("a name");
        let mut live = walk::begin(&mut journal, &id, begin, driver.now_ms).expect("it begins");
        match stop {
            Some(why) => drop(live.answer(&Input::Stop(why.to_owned()), driver.now_ms).expect("stopped")),
            None => drop(driver.finish(&mut live)),
        }
        id
    }

    fn release(&self, walk: &str, day: i64) {
        let mut journal = Journal::open(self.records()).expect("a journal");
        let returned = Leaving::Returned {
            person: "Gwen Adeyi".to_owned(),
            role: "safety-officer".to_owned(),
            remark: "The lamp was changed.".to_owned(),
        };
        let mut live = walk::resume(&mut journal, walk).expect("it is there");
        live.answer(&Input::Leaving(returned), START_MS + day * DAY_MS).expect("released");
    }

    fn list(&self, more: &[&str]) -> Output {
        let given = [&["list", "--due", "--from", ".", "--journal", "records.sqlite"], more].concat();
        gatewright(self.path(), &given).output().expect("the program runs")
    }
}
