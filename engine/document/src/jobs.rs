//! Work that may be done several pieces at a time, by whoever knows of cores.

use std::sync::OnceLock;

/// Runs jobs by number, from 0, each once: in their order or several at a time, as the caller can.
pub type Jobs<'a> = &'a dyn Fn(usize, &(dyn Fn(usize) + Sync));

/// The results of all jobs, in the order of their numbers.
pub(crate) fn all<T: Send + Sync>(count: usize, jobs: Jobs<'_>, job: impl Fn(usize) -> T + Sync) -> Vec<T> {
    let slots: Vec<OnceLock<T>> = (0..count).map(|_| OnceLock::new()).collect();
    jobs(count, &|at| {
        slots[at].get_or_init(|| job(at));
    });
    slots.into_iter().filter_map(OnceLock::into_inner).collect()
}
