//! How to serve.

use std::net::SocketAddr;
use std::path::PathBuf;

/// How to serve.
#[derive(Clone, Debug)]
pub struct Options {
    /// The address to listen on.
    pub listen: SocketAddr,
    /// Names by which the program may be reached, besides addresses and `localhost`.
    pub hosts: Vec<String>,
    /// After so many minutes without use a sign-in locks.
    pub lock_minutes: u32,
    /// The role that allows deviations and releases machines after a stop, where the equipment names none.
    pub releasing_role: String,
    /// The file of the records; people and photos are kept beside it.
    pub records: PathBuf,
}
