//! What all requests share, on threads that may wait for the disk.

use crate::document_store::{DocumentStore, Documents};
use crate::fault::Fault;
use crate::guesses::Guesses;
use crate::lines::Lines;
use crate::lock::locked;
use crate::options::Options;
use crate::review_service::ReviewService;
use crate::sign_ins::SignIns;
use crate::store::{AnswerOutcome, BeginOutcome, Store};
use crate::together::{Job, Queue};
use credentials::CredentialStore;
use document::model::Name;
use document::{Day, Library, Zone};
use journal::Journal;
use records::Judged;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, MutexGuard};
use walk::{CompiledCache, LiveWalk, ToBegin, Walk};

/// What all requests share. Handlers have it behind a [`crate::handle::Handle`].
pub(crate) struct App {
    pub(crate) documents: Arc<DocumentStore>,
    /// What stands beside the procedures.
    pub(crate) reviews: Box<dyn ReviewService>,
    /// Names by which this program may be reached, besides addresses and `localhost`.
    pub(crate) hosts: Vec<String>,
    /// After so many milliseconds without use a sign-in locks.
    pub(crate) lock_ms: i64,
    /// The role that allows deviations and releases machines after a stop, where the equipment names none.
    releasing_role: String,
    /// Takes a line for whoever runs the program. No PIN, token or form goes there.
    pub(crate) log: Box<dyn Fn(&str) + Send + Sync>,
    /// The file of the records, for whoever only reads: see [`App::journal`].
    records: PathBuf,
    /// Held for as long as a walk under way is read or answered, and over nothing slower than that.
    store: Mutex<Store>,
    waiting: Queue,
    credentials: Mutex<CredentialStore>,
    /// What walks in memory were compiled to. Held while one is read again; whoever needs the store too takes this first.
    compiled: Mutex<CompiledCache>,
    sign_ins: Mutex<SignIns>,
    guesses: Mutex<Guesses>,
    lines: Mutex<Lines>,
}

impl App {
    pub(crate) fn new(
        documents: Arc<DocumentStore>,
        store: Store,
        credentials: CredentialStore,
        options: Options,
        reviews: Box<dyn ReviewService>,
        log: Box<dyn Fn(&str) + Send + Sync>,
    ) -> Self {
        let lock_ms = i64::from(options.lock_minutes).saturating_mul(60_000);
        Self {
            documents,
            reviews,
            hosts: options.hosts,
            lock_ms,
            releasing_role: options.releasing_role,
            log,
            records: options.records,
            store: Mutex::new(store),
            waiting: Queue::default(),
            credentials: Mutex::new(credentials),
            compiled: Mutex::default(),
            sign_ins: Mutex::new(SignIns::new(lock_ms)),
            guesses: Mutex::default(),
            lines: Mutex::default(),
        }
    }

    /// The documents in force now. A request that asks once goes by the same to its end.
    pub(crate) fn documents(&self) -> Arc<Documents> {
        self.documents.current()
    }

    /// The zone of the site; universal time where no register says it.
    pub(crate) fn zone(&self) -> Zone {
        self.documents().zone()
    }

    /// Today at the site.
    pub(crate) fn today(&self) -> Day {
        self.documents().today()
    }

    /// How a procedure stands today.
    pub(crate) fn status(
        &self,
        documents: &Documents,
        procedure: &str,
    ) -> Result<review::ApprovalStatus, Fault> {
        self.reviews.status(documents.library(), procedure, documents.today()).map_err(Fault::Unusable)
    }

    /// The people of the site where a procedure stands, by the documents of a walk.
    pub(crate) fn people(&self, site: &Site) -> Result<Option<review::People>, Fault> {
        self.reviews.people(&site.library, &site.procedure).map_err(Fault::Unusable)
    }

    /// Why a person may not walk a procedure for good today; nothing if they hold the role of one of its performers, by the
    /// file of people or, where there is none, by the credential store.
    pub(crate) fn may_not_walk<'a>(
        &self,
        people: Option<&review::People>,
        performers: impl IntoIterator<Item = &'a Name>,
        name: &str,
    ) -> Result<Option<String>, Fault> {
        let today = self.today();
        if let Some(people) = people {
            return Ok(people.may_not_walk(name, performers, &today));
        }
        let person = self.credentials().person(name)?.ok_or(Fault::NotThere)?;
        let refused = performers.into_iter().map(|role| person.lacks(role, today));
        Ok(refused.collect::<Option<Vec<String>>>().and_then(|all| all.into_iter().next()))
    }

    /// The role that allows deviations and releases the machine, as the walk's equipment has it.
    pub(crate) fn releasing_role(&self, walk: &Walk) -> String {
        let named = walk.equipment().and_then(|equipment| equipment.release.as_ref());
        named.map_or_else(|| self.releasing_role.clone(), ToString::to_string)
    }

    /// The store, with a walk in it as its records stand now: another program may have gone on with it. Where it has to be
    /// read again, its chain is verified before the store is locked.
    pub(crate) fn walk_store(&self, id: &str) -> Result<MutexGuard<'_, Store>, Fault> {
        loop {
            let mut store = self.store();
            if store.is_current(id)? {
                return Ok(store);
            }
            drop(store);
            let mut journal = self.journal()?;
            let read = walk::resume_among(&mut journal, id, &mut locked(&self.compiled)).map(LiveWalk::keep);
            match read {
                Ok(kept) => self.store().insert(id, kept),
                // There is no such walk, or the file itself failed.
                Err(error @ (walk::Error::Journal(_) | walk::Error::Refused(_))) => return Err(error.into()),
                Err(
                    error @ (walk::Error::Unsound(_) | walk::Error::Record { .. } | walk::Error::Broken(_)),
                ) => {
                    // What is found here is told wherever walks are listed.
                    self.lines().found(records::damaged_among(&self.journal()?, vec![id.to_owned()])?);
                    return Err(error.into());
                }
            }
        }
    }

    /// Writes to a walk, in one commit with whatever else waits; on disk when it is back. The job goes by the walk as its records stand
    /// then, and is done anew where that had to be read again.
    pub(crate) fn commit(
        &self,
        id: &str,
        job: impl Fn(&mut Store) -> Result<AnswerOutcome, Fault> + Send + Sync + 'static,
    ) -> Result<AnswerOutcome, Fault> {
        let job: Job = Arc::new(job);
        loop {
            if let Some(outcome) = self.waiting.done(id, &job, || self.store())? {
                return Ok(outcome);
            }
            drop(self.walk_store(id)?);
        }
    }

    /// What the documents in force say of what a walk goes by. It may take a while: no lock of a walk may be held.
    pub(crate) fn judged(&self, id: &str) -> Result<Arc<Judged>, Fault> {
        let walk = self.walk_store(id)?.walk(id)?.clone();
        loop {
            let documents = self.documents();
            let judged = documents.judged(&walk);
            // Others came into force meanwhile.
            if Arc::ptr_eq(&documents, &self.documents()) {
                return Ok(judged);
            }
        }
    }

    /// Begins a walk; it is attended by whoever begins it. Whoever did not hear that it began asks with the same key again
    /// and is told the same walk.
    pub(crate) fn begin(&self, wanted: ToBegin, key: Option<&str>) -> Result<BeginOutcome, Fault> {
        let today = self.today();
        let mut compiled = locked(&self.compiled);
        self.store().begin(wanted, key, today, &mut compiled)
    }

    /// A connection of its own, for reading: long lists and verification hold up no answers.
    pub(crate) fn journal(&self) -> Result<Journal, Fault> {
        Ok(Journal::open_existing(&self.records)?)
    }

    pub(crate) fn store(&self) -> MutexGuard<'_, Store> {
        locked(&self.store)
    }

    pub(crate) fn credentials(&self) -> MutexGuard<'_, CredentialStore> {
        locked(&self.credentials)
    }

    pub(crate) fn sign_ins(&self) -> MutexGuard<'_, SignIns> {
        locked(&self.sign_ins)
    }

    /// All walks in a line each.
    pub(crate) fn lines(&self) -> MutexGuard<'_, Lines> {
        locked(&self.lines)
    }

    /// The file of the records.
    pub(crate) fn records(&self) -> &Path {
        &self.records
    }

    pub(crate) fn guesses(&self) -> MutexGuard<'_, Guesses> {
        locked(&self.guesses)
    }
}

/// Where the people of a walk are looked up; taken from the walk, so that they are read without its lock.
pub(crate) struct Site {
    library: Arc<Library>,
    procedure: String,
}

impl Site {
    pub(crate) fn new(walk: &Walk) -> Self {
        Self { library: walk.shared_library(), procedure: walk.begin().procedure.clone() }
    }

    /// The roles that may walk the procedure.
    pub(crate) fn performers(&self) -> Result<impl Iterator<Item = &Name>, Fault> {
        let document = self.library.procedures.get(self.procedure.as_str()).ok_or(Fault::NotThere)?;
        Ok(document.model.performers.keys())
    }
}
