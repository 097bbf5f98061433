//! The documents in force. They are read again while the program serves: a request goes by what is in force when it
//! comes.

use crate::day::now_ms;
use check::{Budget, Report};
use document::model::Name;
use document::{Day, Library, Zone};
use records::{Judged, Register, not_proved};
use std::collections::BTreeMap;
use std::sync::{Arc, Mutex, OnceLock, PoisonError, RwLock};
use std::time::{Duration, Instant};
use walk::{DocumentText, Refusal, Walk};

/// The documents in force, shared with whoever reads them again.
pub struct DocumentStore {
    documents: RwLock<Arc<Documents>>,
    /// What people are told of the files as they stand now; nothing while they are what is in force.
    notice: RwLock<Option<String>>,
}

/// Documents that were read together, with what follows from them alone.
pub(crate) struct Documents {
    pub(crate) report: Report,
    /// The machines, or why they cannot be told.
    pub(crate) register: Result<Option<Register>, String>,
    /// The zone in which days are judged, where a register says it.
    zone: Option<Zone>,
    /// The procedures that are not proved, each with the first finding.
    unproved: BTreeMap<Name, String>,
    /// Those that are only performed by others, and why.
    not_by_hand: BTreeMap<Name, Refusal>,
    /// The content hash of every procedure: pages ask for it again and again.
    contents: BTreeMap<Name, String>,
    /// What they say of walks that began with other documents.
    judged: Mutex<Vec<Arc<JudgedWalks>>>,
}

/// What is said of all walks that began with the same documents.
struct JudgedWalks {
    procedure: String,
    /// Compared whole, so that no two that differ are ever taken for each other.
    documents: Vec<DocumentText>,
    judged: OnceLock<Arc<Judged>>,
}

/// What may be spent on the proof of what a walk goes by: as much as on that of a procedure when documents are read.
const BOXES: usize = 2_000_000;
const TIME: Duration = Duration::from_secs(60);

impl Documents {
    fn new(report: Report, register: Result<Option<Register>, String>, zone: Option<Zone>) -> Self {
        let names = || report.library.procedures.keys();
        let unproved = |name: &Name| Some((name.clone(), not_proved(&report, name)?));
        let unproved = names().filter_map(unproved).collect();
        let hashed = |name: &Name| Some((name.clone(), report.library.content_hash(name)?));
        let contents = names().filter_map(hashed).collect();
        let refused = |name: &Name| Some((name.clone(), walk::not_by_hand(&report.library, name)?));
        let not_by_hand = names().filter_map(refused).collect();
        Self { report, register, zone, unproved, not_by_hand, contents, judged: Mutex::default() }
    }

    /// The machines, where a register that can be used lists them.
    pub(crate) fn register(&self) -> Option<&Register> {
        self.register.as_ref().ok().and_then(Option::as_ref)
    }

    /// The zone in which days are judged; universal time where no register says it.
    pub(crate) fn zone(&self) -> Zone {
        self.zone.unwrap_or(Zone::UTC)
    }

    /// Whether a register says in which zone days are judged.
    pub(crate) fn has_zone(&self) -> bool {
        self.zone.is_some()
    }

    /// Today at the site.
    pub(crate) fn today(&self) -> Day {
        self.zone().day_of(now_ms())
    }

    pub(crate) fn library(&self) -> &Library {
        &self.report.library
    }

    /// Why a procedure is not proved: the first finding; none where it is.
    pub(crate) fn not_proved(&self, procedure: &str) -> Option<&str> {
        self.unproved.get(procedure).map(String::as_str)
    }

    /// What they say of what a walk goes by. It may take a proof: no lock may be held.
    pub(crate) fn judged(&self, walk: &Walk) -> Arc<Judged> {
        let begin = walk.begin();
        let known = {
            let mut all = self.judged.lock().unwrap_or_else(PoisonError::into_inner);
            let is_same = |known: &&Arc<JudgedWalks>| {
                known.procedure == begin.procedure && known.documents == begin.documents
            };
            match all.iter().find(is_same) {
                Some(known) => Arc::clone(known),
                None => {
                    let known = Arc::new(JudgedWalks {
                        procedure: begin.procedure.clone(),
                        documents: begin.documents.clone(),
                        judged: OnceLock::new(),
                    });
                    all.push(Arc::clone(&known));
                    known
                }
            }
        };
        let judge = || {
            let end = Instant::now() + TIME;
            let go_on = || Instant::now() < end;
            let budget = Budget { boxes: BOXES, go_on: &go_on };
            Arc::new(records::judged(walk, self.library(), &budget))
        };
        Arc::clone(known.judged.get_or_init(judge))
    }

    /// Why nobody begins a procedure by hand; nothing where somebody may.
    pub(crate) fn not_by_hand(&self, procedure: &str) -> Option<&Refusal> {
        self.not_by_hand.get(procedure)
    }

    /// The content hash of a procedure.
    pub(crate) fn content(&self, procedure: &str) -> Option<&str> {
        self.contents.get(procedure).map(String::as_str)
    }
}

impl DocumentStore {
    /// The documents as they were first read. `register` is what the files say of the machines, or why it cannot be told;
    /// `zone` is that of the site, where a register says it.
    #[must_use]
    pub fn new(report: Report, register: Result<Option<Register>, String>, zone: Option<Zone>) -> Self {
        let documents = Arc::new(Documents::new(report, register, zone));
        Self { documents: RwLock::new(documents), notice: RwLock::default() }
    }

    /// Puts documents into force.
    pub fn replace(&self, report: Report, register: Result<Option<Register>, String>, zone: Option<Zone>) {
        let documents = Arc::new(Documents::new(report, register, zone));
        *self.documents.write().unwrap_or_else(PoisonError::into_inner) = documents;
    }

    /// Says on the first page what of the files as they stand is not in force; nothing where all of it is.
    pub fn set_notice(&self, notice: Option<String>) {
        *self.notice.write().unwrap_or_else(PoisonError::into_inner) = notice;
    }

    pub(crate) fn current(&self) -> Arc<Documents> {
        Arc::clone(&self.documents.read().unwrap_or_else(PoisonError::into_inner))
    }

    pub(crate) fn notice(&self) -> Option<String> {
        self.notice.read().unwrap_or_else(PoisonError::into_inner).clone()
    }
}
