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

#[cfg(test)]
mod tests {
    use super::{Job, Queue};
    use crate::fault::Fault;
    use crate::lock::locked;
    use crate::store::tests::with_walks;
    use crate::store::{AnswerOutcome, Store};
    use std::sync::{Arc, Mutex};
    use std::thread;
    use std::time::Duration;
    use walk::Input;

    const WALK: &str = "main-2026-10-20-1";

    fn note(number: usize) -> Job {
        Arc::new(move |store: &mut Store| {
            store.answer(WALK, &Input::Note(format!("{number}")), None, &format!("key {number}"), None)
        })
    }

    /// Gives jobs while the store is held, so that all wait for it together.
    fn given(queue: &Queue, store: &Mutex<Store>, jobs: &[Job]) -> Vec<thread::Result<Result<bool, Fault>>> {
        thread::scope(|scope| {
            let held = locked(store);
            let give = |job: &Job| {
                let done = queue.done(WALK, job, || locked(store));
                done.map(|outcome| matches!(outcome, Some(AnswerOutcome::Recorded)))
            };
            let all: Vec<_> = jobs.iter().map(|job| scope.spawn(move || give(job))).collect();
            while locked(&queue.0).waiting.len() < jobs.len() {
                thread::sleep(Duration::from_millis(1));
            }
            drop(held);
            all.into_iter().map(thread::ScopedJoinHandle::join).collect()
        })
    }

    #[test]
    fn answers_that_wait_together_are_all_on_record() {
        let (queue, store) = (Queue::default(), Mutex::new(with_walks(1)));
        let before = locked(&store).journal.chain_len(WALK).expect("it reads");
        let jobs: Vec<Job> = (0..20).map(note).collect();
        let all = given(&queue, &store, &jobs);
        assert!(all.into_iter().all(|one| matches!(one, Ok(Ok(true)))));
        assert_eq!(locked(&store).journal.chain_len(WALK).expect("it reads"), before + 20);
        // A walk that is not in memory has to be read first.
        let elsewhere = queue.done("other", &note(0), || locked(&store));
        assert!(matches!(elsewhere, Ok(None)));
    }

    /// Nobody waits for ever, nobody is told that something is on record that is not, and the next answer is taken.
    #[test]
    fn a_panic_among_them_takes_along_what_was_done_with_it() {
        let (queue, store) = (Queue::default(), Mutex::new(with_walks(1)));
        let before = locked(&store).journal.chain_len(WALK).expect("it reads");
        let fails: Job = Arc::new(|_: &mut Store| panic!("of a job"));
        let all = given(&queue, &store, &[note(1), fails, note(2)]);
        assert!(all.into_iter().all(|one| matches!(one, Err(_) | Ok(Err(_)))));
        let mut held = locked(&store);
        assert_eq!(held.journal.chain_len(WALK).expect("it reads"), before);
        if !held.is_current(WALK).expect("it reads") {
            let kept = walk::resume(&mut held.journal, WALK).expect("it reads").keep();
            held.insert(WALK, kept);
        }
        drop(held);
        assert!(matches!(queue.done(WALK, &note(3), || locked(&store)), Ok(Some(AnswerOutcome::Recorded))));
    }
}
