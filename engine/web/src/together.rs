//! Answers that wait for the store at the same moment go into one commit.

use crate::fault::Fault;
use crate::lock::locked;
use crate::store::{AnswerOutcome, Store};
use journal::{Storage, together_in};
use std::sync::{Arc, Mutex, MutexGuard};

/// What is done with the store; anew where the walk it was of had to be read again.
pub(crate) type Job = Arc<dyn Fn(&mut Store) -> Result<AnswerOutcome, Fault> + Send + Sync>;

/// What became of it; none where the walk in the store is not as its records stand.
type Done = Option<Result<AnswerOutcome, Fault>>;

struct Waiting {
    walk: String,
    job: Job,
    done: Arc<Mutex<Option<Done>>>,
}

/// The answers that wait. Whoever gets the store next takes them all.
#[derive(Default)]
pub(crate) struct Queue(Mutex<Vec<Waiting>>);

impl Queue {
    /// Does a job once the store is free, with all others that wait for it by then, and is back once what it wrote is on disk. None where
    /// the walk has to be read again first.
    pub(crate) fn done<'s>(
        &self,
        walk: &str,
        job: &Job,
        store: impl FnOnce() -> MutexGuard<'s, Store>,
    ) -> Result<Option<AnswerOutcome>, Fault> {
        let done = Arc::default();
        let waiting = Waiting { walk: walk.to_owned(), job: Arc::clone(job), done: Arc::clone(&done) };
        locked(&self.0).push(waiting);
        let mut store = store();
        if let Some(done) = locked(&done).take() {
            return done.transpose();
        }
        let batch = std::mem::take(&mut *locked(&self.0));
        let one = |store: &mut Store, Waiting { walk, job, done: _ }: &Waiting| {
            Ok(if store.is_current(walk)? { Some(job(store)) } else { None })
        };
        let all = |store: &mut Store| {
            let all =
                batch.iter().map(|waiting| one(store, waiting).unwrap_or_else(|fault| Some(Err(fault))));
            all.collect::<Vec<Done>>()
        };
        match together_in(&mut *store, |store| &mut store.journal as &mut dyn Storage, |store| all(store)) {
            Ok(all) => batch.iter().zip(all).for_each(|(waiting, done)| {
                locked(&waiting.done).replace(done);
            }),
            // Nothing of it is on disk, whatever each was told.
            Err(error) => batch.iter().for_each(|waiting| {
                store.take_back(&waiting.walk);
                locked(&waiting.done).replace(Some(Err(error.clone().into())));
            }),
        }
        drop(store);
        // A panic among those it was done with took it along.
        let lost = || Err(Fault::ours("an answer was lost beside one that failed"));
        let done = locked(&done).take();
        done.unwrap_or_else(|| Some(lost())).transpose()
    }
}
