//! Listening: one address, limits on everything that a device can hold open.

use crate::app::App;
use crate::document_store::DocumentStore;
use crate::guard::REQUEST_TIME;
use crate::handle::Handle;
use crate::options::Options;
use crate::review_service::ReviewService;
use crate::router::router;
use crate::store::Store;
use crate::visitor::Peer;
use crate::walked::verify;
use credentials::CredentialStore;
use hyper::Request;
use hyper::body::Incoming;
use hyper::server::conn::http1;
use hyper::service::{Service as _, service_fn};
use hyper_util::rt::{TokioIo, TokioTimer};
use hyper_util::service::TowerToHyperService;
use std::fmt;
use std::net::SocketAddr;
use std::sync::Arc;
use std::time::Duration;
use tokio::net::TcpListener;
use tokio::sync::Semaphore;

/// So many devices may be connected at once; more wait.
const CONNECTIONS_MAX: usize = 2_048;
/// The head of a request must come within this time.
const HEAD_TIME: Duration = Duration::from_secs(10);
/// A device keeps its connection for so long, and what is under way then for [`REQUEST_TIME`] more.
const CONNECTION_TIME: Duration = Duration::from_secs(60);
/// Bytes of a request's head at most.
const HEAD_BYTES_MAX: usize = 32 * 1024;
/// So many threads may wait for the disk.
const THREADS_MAX: usize = 128;
/// All records are verified so often.
const VERIFIED_EVERY: Duration = Duration::from_secs(60 * 60);
/// What is under way when the program is told to end gets so long.
const LAST_TIME: Duration = Duration::from_secs(5);

/// Why it cannot serve.
#[derive(Debug)]
pub enum Error {
    /// The address cannot be listened on.
    Listen {
        /// The address.
        address: SocketAddr,
        /// What the system said.
        error: std::io::Error,
    },
    /// The system gives no way to listen at all.
    System(std::io::Error),
    /// The records cannot be opened.
    Journal(journal::Error),
    /// The people cannot be opened.
    Credentials(credentials::CredentialError),
}

impl fmt::Display for Error {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Listen { address, error } => {
                write!(f, "{address} cannot be listened on: {error}; name another with `--listen`")
            }
            Self::System(error) => write!(f, "the system does not let this program serve: {error}"),
            Self::Journal(error) => error.fmt(f),
            Self::Credentials(error) => error.fmt(f),
        }
    }
}

impl std::error::Error for Error {}

/// Serves until the program is told to end, by the documents in force. `reviews` knows what stands beside the procedures;
/// `ready` is given the address once it is listened on; `log` takes a line for whoever runs the program.
///
/// # Errors
/// If the address or the files cannot be used.
pub fn serve(
    documents: Arc<DocumentStore>,
    options: Options,
    reviews: Box<dyn ReviewService>,
    ready: impl FnOnce(SocketAddr),
    log: Box<dyn Fn(&str) + Send + Sync>,
) -> Result<(), Error> {
    let mut journal = journal::Journal::open(&options.records).map_err(Error::Journal)?;
    if let Err(error) = walk::catch_up(&mut journal) {
        // Lists go by the records themselves then, and name what is damaged.
        log(&format!("what lists tell of walks cannot be brought up to date: {error}"));
    }
    let credentials = CredentialStore::beside(&options.records).map_err(Error::Credentials)?;
    let runtime =
        tokio::runtime::Builder::new_current_thread().enable_all().max_blocking_threads(THREADS_MAX).build();
    let runtime = runtime.map_err(Error::System)?;
    runtime.block_on(async {
        let address = options.listen;
        let unheard = |error| Error::Listen { address, error };
        let listener = TcpListener::bind(address).await.map_err(unheard)?;
        ready(listener.local_addr().map_err(unheard)?);
        let app = App::new(documents, Store::new(journal), credentials, options, reviews, log);
        let handle = Handle::new(app);
        tokio::spawn(verify_on(handle.clone()));
        listen(listener, handle).await;
        Ok(())
    })
}

/// Has all hashes computed anew, now and again: lists of many walks do not.
async fn verify_on(handle: Handle) {
    loop {
        if let Err(fault) = handle.run(verify).await {
            handle.log(&format!("the records could not be verified: {fault:?}"));
        }
        tokio::time::sleep(VERIFIED_EVERY).await;
    }
}

async fn listen(listener: TcpListener, handle: Handle) {
    let service = router(handle);
    let places = Arc::new(Semaphore::new(CONNECTIONS_MAX));
    let mut ended = std::pin::pin!(told_to_end());
    loop {
        let Ok(place) = Arc::clone(&places).acquire_owned().await else { return };
        let (stream, from) = tokio::select! {
            accepted = listener.accept() => match accepted {
                Ok(accepted) => accepted,
                // Too many open files: it passes when others close.
                Err(_) => { tokio::time::sleep(Duration::from_millis(50)).await; continue; }
            },
            () = &mut ended => break,
        };
        let service = TowerToHyperService::new(service.clone());
        let service = service_fn(move |mut request: Request<Incoming>| {
            request.extensions_mut().insert(Peer(from.ip()));
            service.call(request)
        });
        tokio::spawn(async move {
            let mut http = http1::Builder::new();
            http.timer(TokioTimer::new()).header_read_timeout(HEAD_TIME).max_buf_size(HEAD_BYTES_MAX);
            let mut connection = std::pin::pin!(http.serve_connection(TokioIo::new(stream), service));
            // A device that breaks off is no fault of anybody's here. One that does not read what it asked for gives up
            // its place like any other; a browser connects again unnoticed.
            if tokio::time::timeout(CONNECTION_TIME, connection.as_mut()).await.is_err() {
                connection.as_mut().graceful_shutdown();
                let _ = tokio::time::timeout(REQUEST_TIME, connection).await;
            }
            drop(place);
        });
    }
    let all = u32::try_from(CONNECTIONS_MAX).unwrap_or(u32::MAX);
    let _ = tokio::time::timeout(LAST_TIME, places.acquire_many(all)).await;
}

/// Ends with an interrupt from the keyboard or the system's wish.
async fn told_to_end() {
    #[cfg(unix)]
    {
        use tokio::signal::unix::{SignalKind, signal};
        if let Ok(mut wish) = signal(SignalKind::terminate()) {
            tokio::select! {
                _ = wish.recv() => {}
                _ = tokio::signal::ctrl_c() => {}
            }
            return;
        }
    }
    let _ = tokio::signal::ctrl_c().await;
}
