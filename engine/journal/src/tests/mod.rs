//! Tests of the journal through its public face, with a raw SQLite connection as the one who tampers.

mod crash;
mod hashes;
mod kept;
mod refusals;
mod round_trip;
mod scratch;
mod size;
mod summary;
mod tamper;
mod writers;
