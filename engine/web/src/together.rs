//! Answers that wait for the store at the same moment go into one commit.

use crate::fault::Fault;
use crate::lock::locked;
use crate::store::{AnswerOutcome, Store};
use journal::{Storage, together_in};
use std::sync::{Arc, Mutex, MutexGuard};
use std::thread::{self, Thread};

/// What is done with the store; anew where the walk it was of had to be read again.
pub(crate) type Job = Arc<dyn Fn(&mut Store) -> Result<AnswerOutcome, Fault> + Send + Sync>;

/// What became of it; none where the walk in the store is not as its records stand.
type Done = Option<Result<AnswerOutcome, Fault>>;

struct Waiting {
    walk: String,
    job: Job,
    done: Arc<Mutex<Option<Done>>>,
    thread: Thread,
}

#[derive(Default)]
struct Line {
    waiting: Vec<Waiting>,
    /// Whether somebody is about to take all that wait, or does what they took.
    is_led: bool,
}

/// The answers that wait. One of those who gave them does what is asked by all.
#[derive(Default)]
pub(crate) struct Queue(Mutex<Line>);

impl Queue {
    /// Does a job once the store is free, with all others that wait for it by then, and is back once what it wrote is on disk. None where
    /// the walk has to be read again first.
    pub(crate) fn done<'s>(
        &self,
        walk: &str,
        job: &Job,
        store: impl Fn() -> MutexGuard<'s, Store>,
    ) -> Result<Option<AnswerOutcome>, Fault> {
        let done = Arc::default();
        let (walk, job, thread) = (walk.to_owned(), Arc::clone(job), thread::current());
        locked(&self.0).waiting.push(Waiting { walk, job, done: Arc::clone(&done), thread });
        loop {
            if let Some(done) = locked(&done).take() {
                return done.transpose();
            }
            let is_led = std::mem::replace(&mut locked(&self.0).is_led, true);
            if is_led {
                // Woken once it is done, or to lead. A wake that came before is not lost.
                thread::park();
            } else {
                let _lead = Lead(self);
                let mut store = store();
                let batch = Batch(std::mem::take(&mut locked(&self.0).waiting));
                batch.work(&mut store);
            }
        }
    }
}

/// Whoever leads, until the next one does.
struct Lead<'q>(&'q Queue);

impl Drop for Lead<'_> {
    fn drop(&mut self) {
        let mut line = locked(&self.0.0);
        line.is_led = false;
        if let Some(next) = line.waiting.first() {
            next.thread.unpark();
        }
    }
}

/// Answers that were taken out of the line. Each is told what became of it, though the one who does them panics.
struct Batch(Vec<Waiting>);

impl Batch {
    fn work(&self, store: &mut Store) {
        let one = |store: &mut Store, Waiting { walk, job, .. }: &Waiting| -> Result<Done, Fault> {
            Ok(if store.is_current(walk)? { Some(job(store)) } else { None })
        };
        let all = |store: &mut &mut Store| {
            let all =
                self.0.iter().map(|waiting| one(store, waiting).unwrap_or_else(|fault| Some(Err(fault))));
            all.collect::<Vec<Done>>()
        };
        match together_in(&mut *store, |store| &mut store.journal as &mut dyn Storage, all) {
            Ok(all) => self.0.iter().zip(all).for_each(|(waiting, done)| {
                locked(&waiting.done).replace(done);
            }),
            // Nothing of it is on disk, whatever each was told.
            Err(error) => self.0.iter().for_each(|waiting| {
                store.take_back(&waiting.walk);
                locked(&waiting.done).replace(Some(Err(error.clone().into())));
            }),
        }
    }
}

impl Drop for Batch {
    fn drop(&mut self) {
        let lost = || Some(Err(Fault::ours("an answer was lost beside one that failed")));
        for Waiting { done, thread, .. } in &self.0 {
            locked(done).get_or_insert_with(lost);
            thread.unpark();
        }
    }
}
