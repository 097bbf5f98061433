//! What the thread that listens holds: nothing of it waits for the disk, and the rest is reached on a thread that may.

use crate::app::App;
use crate::fault::Fault;
use crate::sign_ins::SignIns;
use std::sync::{Arc, MutexGuard};

/// The shared state as a request handler has it. The journal, the credential store and the files beside the procedures are
/// reached through [`Handle::run`] alone, so that no handler can keep the thread that listens waiting for them.
#[derive(Clone)]
pub(crate) struct Handle(Arc<App>);

impl Handle {
    pub(crate) fn new(app: App) -> Self {
        Self(Arc::new(app))
    }

    /// Does work that waits for the disk or takes long, away from the thread that listens.
    pub(crate) async fn run<T: Send + 'static>(
        &self,
        job: impl FnOnce(&App) -> Result<T, Fault> + Send + 'static,
    ) -> Result<T, Fault> {
        let app = Arc::clone(&self.0);
        match tokio::task::spawn_blocking(move || job(&app)).await {
            Ok(result) => result,
            Err(error) => Err(Fault::ours(error)),
        }
    }

    /// Who is signed in; kept in memory.
    pub(crate) fn sign_ins(&self) -> MutexGuard<'_, SignIns> {
        self.0.sign_ins()
    }

    /// Names by which this program may be reached, besides addresses and `localhost`.
    pub(crate) fn hosts(&self) -> &[String] {
        &self.0.hosts
    }

    /// Tells a line to whoever runs the program. No PIN, token or form goes there.
    pub(crate) fn log(&self, line: &str) {
        (self.0.log)(line);
    }
}
