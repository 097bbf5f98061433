//! Work done several jobs at a time.

use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::sync::atomic::{AtomicUsize, Ordering};
use std::time::{Duration, Instant};

/// Work shorter than this shows no progress.
const PATIENCE: Duration = Duration::from_secs(1);

/// Does all jobs on all cores. A terminal shows how far long work has come.
pub(crate) fn side_by_side(what: &'static str, count: usize, job: &(dyn Fn(usize) + Sync)) {
    let began = Instant::now();
    let bar = ProgressBar::with_draw_target(Some(count as u64), ProgressDrawTarget::hidden());
    if let Ok(style) = ProgressStyle::with_template("{msg} {pos} of {len}, {eta} left") {
        bar.set_style(style);
    }
    bar.set_message(what);
    let next = AtomicUsize::new(0);
    let done = || {
        bar.inc(1);
        if bar.is_hidden() && began.elapsed() > PATIENCE {
            bar.set_draw_target(ProgressDrawTarget::stderr());
        }
    };
    let work = || loop {
        let at = next.fetch_add(1, Ordering::Relaxed);
        if at >= count {
            break;
        }
        job(at);
        done();
    };
    let threads = std::thread::available_parallelism().map_or(1, usize::from).min(count);
    std::thread::scope(|scope| {
        for _ in 1..threads {
            scope.spawn(work);
        }
        work();
    });
    bar.finish_and_clear();
}

/// Reads documents on all cores.
pub(crate) fn read(files: &[document::InputFile]) -> document::Reading {
    document::read_by(files, &|count, job| side_by_side("reading", count, job))
}
