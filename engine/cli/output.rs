//! Writing to the terminal. A closed pipe is an end, not a fault.

use std::fmt;
use std::io::{self, IsTerminal, Write};

use records::exported::NotExported;

/// The reader of the output went away.
#[derive(Debug)]
pub(crate) struct Closed;

impl fmt::Display for Closed {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        f.write_str("the output was closed")
    }
}

impl std::error::Error for Closed {}

/// Writes to standard output and flushes, so that a prompt is seen before its answer is read.
pub(crate) fn say(text: &str) -> anyhow::Result<()> {
    give(text.as_bytes())
}

/// Writes what is not text, for a file or another program.
pub(crate) fn give(bytes: &[u8]) -> anyhow::Result<()> {
    let mut out = io::stdout().lock();
    match out.write_all(bytes).and_then(|()| out.flush()) {
        Ok(()) => Ok(()),
        Err(error) if error.kind() == io::ErrorKind::BrokenPipe => Err(Closed.into()),
        Err(error) => Err(error.into()),
    }
}

/// Writes what is too long to be held as a whole.
pub(crate) fn write(work: impl FnOnce(&mut dyn Write) -> Result<(), NotExported>) -> anyhow::Result<()> {
    let mut out = io::BufWriter::new(io::stdout().lock());
    match work(&mut out).and_then(|()| Ok(out.flush()?)) {
        Ok(()) => Ok(()),
        Err(NotExported::Write(error)) if error.kind() == io::ErrorKind::BrokenPipe => Err(Closed.into()),
        Err(error) => Err(error.into()),
    }
}

/// Writes a PDF to a file or another program.
#[cfg(feature = "pdf")]
pub(crate) fn give_pdf(bytes: &[u8]) -> anyhow::Result<()> {
    if io::stdout().is_terminal() {
        anyhow::bail!("a PDF is nothing for the terminal: send it to a file with `>`");
    }
    give(bytes)
}

/// Writes to standard error; if that is gone too there is nobody to tell.
pub(crate) fn complain(text: &str) {
    let _ = io::stderr().lock().write_all(text.as_bytes());
}

/// Whether to use colour on standard output.
pub(crate) fn colour() -> bool {
    io::stdout().is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}

/// How wide text may be.
pub(crate) const WIDTH: usize = 100;
