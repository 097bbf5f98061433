//! Where the records are.

use clap::Args;
use std::path::PathBuf;

#[derive(Args)]
pub(crate) struct JournalFile {
    /// File that keeps the records
    #[arg(long, global = true, default_value = ".gatewright/records.sqlite")]
    pub(crate) journal: PathBuf,
}
