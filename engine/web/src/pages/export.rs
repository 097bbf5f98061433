//! Records for other programs: written while they are read, however many there are.

use crate::app::App;
use crate::fault::Fault;
use crate::handle::Handle;
use crate::lines::Readable;
use crate::visitor::Visitor;
use crate::walked::{Wanted, readable};
use axum::body::Body;
use axum::extract::{Path, State};
use axum::http::header;
use axum::response::{IntoResponse, Response};
use hyper::body::{Bytes, Frame};
use journal::Journal;
use records::Filter;
use records::exported::Export;
use std::io::{self, BufWriter, Write};
use std::pin::Pin;
use std::task::{Context, Poll};
use tokio::sync::mpsc::{Receiver, Sender, channel};
use tokio::sync::{Semaphore, SemaphorePermit};

#[derive(Clone, Copy)]
enum Form {
    Json,
    Csv,
}

/// So many bytes are sent at once.
const CHUNK_BYTES: usize = 64 * 1024;
/// So many chunks wait for a device that reads slowly.
const CHUNKS_WAITING: usize = 4;
/// So many are written at once; more wait for their turn.
static PLACES: Semaphore = Semaphore::const_new(8);

/// What is written on a thread that may wait for the disk, for the thread that sends it.
struct Chunks(Sender<Result<Bytes, io::Error>>);

impl Write for Chunks {
    fn write(&mut self, bytes: &[u8]) -> io::Result<usize> {
        // Where nobody receives any more, nothing more has to be read.
        let sent = self.0.blocking_send(Ok(Bytes::copy_from_slice(bytes)));
        sent.map_err(|_| io::Error::from(io::ErrorKind::BrokenPipe))?;
        Ok(bytes.len())
    }

    fn flush(&mut self) -> io::Result<()> {
        Ok(())
    }
}

/// The same as the body of an answer. One that ends in an error is broken off, so that nobody takes it for whole.
struct Sent(Receiver<Result<Bytes, io::Error>>);

impl hyper::body::Body for Sent {
    type Data = Bytes;
    type Error = io::Error;

    fn poll_frame(
        mut self: Pin<&mut Self>,
        context: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, io::Error>>> {
        self.0.poll_recv(context).map(|chunk| chunk.map(|chunk| chunk.map(Frame::data)))
    }
}

/// The records of walks; those that cannot be read are named in the file itself.
fn file(place: SemaphorePermit<'static>, of: (Journal, Export), name: &str, form: Form) -> Response {
    let (journal, export) = of;
    let (sender, receiver) = channel(CHUNKS_WAITING);
    tokio::task::spawn_blocking(move || {
        let _place = place;
        let mut to = BufWriter::with_capacity(CHUNK_BYTES, Chunks(sender.clone()));
        let written = match form {
            Form::Json => export.json(&journal, &mut to),
            Form::Csv => export.csv(&journal, &mut to),
        };
        if let Err(error) = written.and_then(|()| Ok(to.flush()?)) {
            // Whoever went away does not need it.
            let _ = sender.blocking_send(Err(io::Error::other(error)));
        }
    });
    let (ending, media) = match form {
        Form::Json => ("json", "application/json"),
        Form::Csv => ("csv", "text/csv; charset=utf-8"),
    };
    let plain: String =
        name.chars().filter(|letter| letter.is_ascii_alphanumeric() || *letter == '-').collect();
    let disposition = format!("attachment; filename=\"{plain}.{ending}\"");
    let headers = [(header::CONTENT_TYPE, media.to_owned()), (header::CONTENT_DISPOSITION, disposition)];
    (headers, Body::new(Sent(receiver))).into_response()
}

fn fitting(app: &App, filter: &Filter) -> Result<(Journal, Export), Fault> {
    let Readable { walks, damaged } = readable(app)?;
    // The newest first.
    let ids = walks.iter().rev().filter(|walk| filter.fits(walk)).map(|walk| walk.id.clone()).collect();
    let journal = app.journal()?;
    let export = Export::of_all(&journal, ids, damaged.to_vec())?;
    Ok((journal, export))
}

fn of_one(app: &App, id: &str) -> Result<(Journal, Export), Fault> {
    let journal = app.journal()?;
    let export = Export::of(&journal, id)?;
    Ok((journal, export))
}

async fn all(handle: Handle, filter: Filter, form: Form) -> Result<Response, Fault> {
    let place = PLACES.acquire().await.map_err(Fault::ours)?;
    let of = handle.run(move |app| fitting(app, &filter)).await?;
    Ok(file(place, of, "records", form))
}

async fn one(handle: Handle, id: String, form: Form) -> Result<Response, Fault> {
    let place = PLACES.acquire().await.map_err(Fault::ours)?;
    let wanted = id.clone();
    let of = handle.run(move |app| of_one(app, &wanted)).await?;
    Ok(file(place, of, &id, form))
}

pub(crate) async fn all_json(
    State(handle): State<Handle>,
    _: Visitor,
    Wanted(filter): Wanted,
) -> Result<Response, Fault> {
    all(handle, filter, Form::Json).await
}

pub(crate) async fn all_csv(
    State(handle): State<Handle>,
    _: Visitor,
    Wanted(filter): Wanted,
) -> Result<Response, Fault> {
    all(handle, filter, Form::Csv).await
}

pub(crate) async fn json(
    State(handle): State<Handle>,
    _: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    one(handle, id, Form::Json).await
}

pub(crate) async fn csv(
    State(handle): State<Handle>,
    _: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    one(handle, id, Form::Csv).await
}
