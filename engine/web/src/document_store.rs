//! The documents in force. They are read again while the program serves: a request goes by what is in force when it
//! comes.

use crate::day::now_ms;
use check::{Budget, Report, check_one};
use document::model::Name;
use document::{Day, Library, Reading, Zone};
use records::{Judged, Register, not_proved};
use std::collections::BTreeMap;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};
use std::sync::{Arc, Condvar, Mutex, OnceLock, PoisonError, RwLock};
use std::time::{Duration, Instant};
use walk::{Begin, Certificate, DocumentText, Refusal, ToBegin, Walk};

/// The documents in force, shared with whoever reads them again.
pub struct DocumentStore {
    documents: RwLock<Arc<Documents>>,
    /// What people are told of the files as they stand now; nothing while they are what is in force.
    notice: RwLock<Option<String>>,
}

/// Documents that were read together, with what follows from them alone.
pub(crate) struct Documents {
    /// As they were read, with no procedure judged.
    read: Report,
    /// The same once every procedure is judged.
    judged_all: OnceLock<Report>,
    /// The machines, or why they cannot be told.
    pub(crate) register: Result<Option<Register>, String>,
    /// Whether one never could be read: then nothing that counts is begun.
    pub(crate) has_lost_register: bool,
    /// What people are told of a register that does not read as it stands.
    pub(crate) unread_register: Option<String>,
    /// The zone in which days are judged, where a register says it.
    zone: Option<Zone>,
    /// Whether each procedure is proved, as far as that is known.
    proved: Mutex<BTreeMap<Name, Verdict>>,
    /// Told when another procedure is judged.
    told: Condvar,
    /// Those that are only performed by others, and why.
    not_by_hand: BTreeMap<Name, Refusal>,
    /// The content hash of every procedure: pages ask for it again and again.
    contents: BTreeMap<Name, String>,
    /// What they say of walks that began with other documents.
    judged: Mutex<Vec<Arc<JudgedWalks>>>,
    /// Whether others are in force by now: nothing more is judged by these.
    is_over: AtomicBool,
}

/// What was found of a procedure.
struct Verdict {
    /// The first finding; none where it is proved.
    finding: Option<String>,
    /// What a walk of it carries.
    certificate: Option<Certificate>,
}

/// What registers say.
pub struct Machines {
    /// The machines as a register that could be read lists them, or why that cannot be told.
    pub register: Result<Option<Register>, String>,
    /// Whether one never could be read since the program started: it is not known which machines are out of service.
    pub is_lost: bool,
    /// What people are told of a register that does not read as it stands.
    pub unread: Option<String>,
    /// The zone of the site, where a register says it.
    pub zone: Option<Zone>,
}

/// What is said of all walks that began with the same documents.
struct JudgedWalks {
    procedure: String,
    /// Compared whole, so that no two that differ are ever taken for each other.
    documents: Vec<DocumentText>,
    since: Instant,
    judged: Mutex<Option<Arc<Judged>>>,
    told: Condvar,
}

/// What may be spent on the proof of what a walk goes by: as much as on that of a procedure when documents are read.
const BOXES: usize = 2_000_000;
const TIME: Duration = Duration::from_secs(60);

/// Whoever asks for a walk is not told that it is being judged before this: most are judged by then.
const PATIENCE: Duration = Duration::from_secs(2);
/// The same for whoever wants to begin a procedure.
const PATIENCE_TO_BEGIN: Duration = Duration::from_secs(5);

/// What stands where a finding does, while there is none yet.
const UNDER_WAY: &str =
    "whether it is proved is still being worked out, which takes a minute at most; try again then";

impl Documents {
    fn new(read: Report, machines: Machines) -> Self {
        let Machines { register, is_lost: has_lost_register, unread: unread_register, zone } = machines;
        let names = || read.library.procedures.keys();
        let hashed = |name: &Name| Some((name.clone(), read.library.content_hash(name)?));
        let contents = names().filter_map(hashed).collect();
        let refused = |name: &Name| Some((name.clone(), walk::not_by_hand(&read.library, name)?));
        let not_by_hand = names().filter_map(refused).collect();
        Self {
            read,
            judged_all: OnceLock::new(),
            register,
            has_lost_register,
            unread_register,
            zone,
            proved: Mutex::default(),
            told: Condvar::new(),
            not_by_hand,
            contents,
            judged: Mutex::default(),
            is_over: AtomicBool::new(false),
        }
    }

    /// What was found in them: of no procedure anything until all are judged.
    pub(crate) fn report(&self) -> &Report {
        self.judged_all.get().unwrap_or(&self.read)
    }

    fn is_over(&self) -> bool {
        self.is_over.load(Ordering::Relaxed)
    }

    /// Judges procedure by procedure on all cores, until others are in force; `each` is given every one that was judged, with
    /// the first finding where it is not proved.
    fn judge(&self, each: &(dyn Fn(&Name, Option<&str>) + Sync)) -> Result<(), check::Fault> {
        let reading = Reading { library: self.read.library.clone(), findings: self.read.reading.clone() };
        let report = Mutex::new(Report::new(reading, Vec::new()));
        let names: Vec<&Name> = self.read.library.procedures.keys().collect();
        let next = AtomicUsize::new(0);
        let work = || -> Result<(), check::Fault> {
            while let Some(name) = names.get(next.fetch_add(1, Ordering::Relaxed)) {
                let end = Instant::now() + TIME;
                let go_on = || Instant::now() < end && !self.is_over();
                let budget = Budget { boxes: BOXES, go_on: &go_on };
                let checked = check_one(&self.read.library, &self.read.reading, name, &budget)?;
                // What was cut short says nothing.
                if self.is_over() {
                    return Ok(());
                }
                let mut report = report.lock().unwrap_or_else(PoisonError::into_inner);
                report.procedures.push(checked);
                let finding = not_proved(&report, name);
                let certificate = report.certificate(name);
                drop(report);
                each(name, finding.as_deref());
                let verdict = Verdict { finding, certificate };
                self.proved.lock().unwrap_or_else(PoisonError::into_inner).insert((*name).clone(), verdict);
                self.told.notify_all();
            }
            Ok(())
        };
        let threads = std::thread::available_parallelism().map_or(1, usize::from).min(names.len());
        std::thread::scope(|scope| {
            let others: Vec<_> = (1..threads).map(|_| scope.spawn(work)).collect();
            let here = work();
            let ended = others.into_iter().filter_map(|other| other.join().ok());
            ended.fold(here, Result::and)
        })?;
        let mut report = report.into_inner().unwrap_or_else(PoisonError::into_inner);
        report.procedures.sort_by_key(|checked| names.iter().position(|name| **name == checked.procedure));
        if report.procedures.len() == names.len() {
            self.judged_all.get_or_init(|| report);
        }
        Ok(())
    }

    /// Waits until every procedure is judged, and no longer than that.
    fn await_all(&self, patience: Duration) {
        self.await_until(patience, |proved| proved.len() == self.read.library.procedures.len());
    }

    fn await_until(&self, patience: Duration, is_known: impl Fn(&BTreeMap<Name, Verdict>) -> bool) {
        let proved = self.proved.lock().unwrap_or_else(PoisonError::into_inner);
        let known =
            self.told.wait_timeout_while(proved, patience, |proved| !is_known(proved) && !self.is_over());
        drop(known);
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
        &self.read.library
    }

    /// Why a procedure is not begun: the first finding, or that it is not judged yet; none where it is proved.
    pub(crate) fn not_proved(&self, procedure: &str) -> Option<String> {
        let proved = self.proved.lock().unwrap_or_else(PoisonError::into_inner);
        match proved.get(procedure) {
            Some(verdict) => verdict.finding.clone(),
            None => Some(UNDER_WAY.to_owned()),
        }
    }

    /// A walk that begins so, with the certificate of what was proved of its procedure.
    pub(crate) fn to_begin(&self, begin: Begin) -> ToBegin {
        let proved = self.proved.lock().unwrap_or_else(PoisonError::into_inner);
        let certificate = proved.get(&*begin.procedure).and_then(|verdict| verdict.certificate.clone());
        ToBegin { begin, certificate }
    }

    /// Whether a procedure was judged.
    pub(crate) fn is_judged(&self, procedure: &str) -> bool {
        self.proved.lock().unwrap_or_else(PoisonError::into_inner).contains_key(procedure)
    }

    /// The same for whoever wants to begin it, who waits a little where it is not judged yet. No lock may be held.
    pub(crate) fn not_begun(&self, procedure: &str) -> Option<String> {
        self.await_until(PATIENCE_TO_BEGIN, |proved| proved.contains_key(procedure));
        self.not_proved(procedure)
    }

    /// What they say of what a walk goes by; where it takes long, that it is being judged. No lock may be held.
    pub(crate) fn judged(self: &Arc<Self>, walk: &Walk) -> Arc<Judged> {
        let begin = walk.begin();
        let (known, is_new) = {
            let mut all = self.judged.lock().unwrap_or_else(PoisonError::into_inner);
            let is_same = |known: &&Arc<JudgedWalks>| {
                known.procedure == begin.procedure && known.documents == begin.documents
            };
            match all.iter().find(is_same) {
                Some(known) => (Arc::clone(known), false),
                None => {
                    let known = Arc::new(JudgedWalks {
                        procedure: begin.procedure.clone(),
                        documents: begin.documents.clone(),
                        since: Instant::now(),
                        judged: Mutex::default(),
                        told: Condvar::new(),
                    });
                    all.push(Arc::clone(&known));
                    (known, true)
                }
            }
        };
        if is_new {
            let (documents, known, walk) = (Arc::clone(self), Arc::clone(&known), walk.clone());
            std::thread::spawn(move || {
                let end = Instant::now() + TIME;
                let go_on = || Instant::now() < end && !documents.is_over();
                let budget = Budget { boxes: BOXES, go_on: &go_on };
                let judged = Arc::new(records::judged(&walk, documents.library(), &budget));
                // What was cut short says nothing.
                if !documents.is_over() {
                    *known.judged.lock().unwrap_or_else(PoisonError::into_inner) = Some(judged);
                }
                known.told.notify_all();
            });
        }
        let left = PATIENCE.saturating_sub(known.since.elapsed());
        let judged = known.judged.lock().unwrap_or_else(PoisonError::into_inner);
        let waited =
            known.told.wait_timeout_while(judged, left, |judged| judged.is_none() && !self.is_over());
        let (judged, _) = waited.unwrap_or_else(PoisonError::into_inner);
        judged.clone().unwrap_or_else(|| Arc::new(Judged::under_way()))
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
    /// The documents as they were first read; no procedure is judged.
    #[must_use]
    pub fn new(reading: Reading, machines: Machines) -> Self {
        let documents = Arc::new(Documents::new(Report::new(reading, Vec::new()), machines));
        Self { documents: RwLock::new(documents), notice: RwLock::default() }
    }

    /// Puts documents into force. Until [`DocumentStore::judge`] has judged them nothing is begun by them.
    pub fn replace(&self, reading: Reading, machines: Machines) {
        let documents = Arc::new(Documents::new(Report::new(reading, Vec::new()), machines));
        let mut current = self.documents.write().unwrap_or_else(PoisonError::into_inner);
        current.is_over.store(true, Ordering::Relaxed);
        *current = documents;
    }

    /// Judges the documents in force, procedure by procedure, each of which is open once it is judged. It ends when all are
    /// or when others come into force. `each` is given every one that was judged, with the first finding where it is not
    /// proved.
    ///
    /// # Errors
    /// For a fault of our own: what is not judged then stays shut.
    pub fn judge(&self, each: &(dyn Fn(&Name, Option<&str>) + Sync)) -> Result<(), check::Fault> {
        let documents = self.current();
        documents.judge(each)
    }

    /// Waits until the documents in force are judged, and no longer than `patience`.
    pub fn await_judged(&self, patience: Duration) {
        self.current().await_all(patience);
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
