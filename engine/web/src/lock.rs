//! Locks that a panic elsewhere does not keep shut.

use std::sync::{Mutex, MutexGuard, PoisonError};

/// A lock that a panic elsewhere left behind is taken all the same: what it guards is on disk or can be asked again.
pub(crate) fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
