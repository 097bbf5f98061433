//! The two hashes of a record and the bytes they are taken over.
//!
//! All numbers are big-endian. Every part has a fixed length or its length in front, and the two kinds begin with
//! different tags, so no two different records give the same bytes.
//!
//! Record hash, SHA-256 (FIPS 180-4) over:
//!
//! | bytes | content |
//! |---|---|
//! | 26 | `gatewright journal record\n` |
//! | 4 | version of this encoding, `u32`: 1 |
//! | 8 | length of the chain id in bytes, `u64` |
//! | n | chain id, UTF-8 |
//! | 8 | number of the record in its chain, from 0, `u64` |
//! | 8 | time in milliseconds, `i64` in two's complement |
//! | 32 | hash of the record before it in its chain; zeros for the first |
//! | 8 | length of the payload in bytes, `u64` |
//! | n | payload, UTF-8 |
//!
//! File hash, SHA-256 over:
//!
//! | bytes | content |
//! |---|---|
//! | 24 | `gatewright journal file\n` |
//! | 4 | version of this encoding, `u32`: 1 |
//! | 8 | number of the record in the file, from 0, `u64` |
//! | 32 | file hash of the record before it in the file; zeros for the first |
//! | 32 | record hash |

use std::fmt;
use std::str::FromStr;

use sha2::{Digest, Sha256};

const RECORD_TAG: &[u8; 26] = b"gatewright journal record\n";
const FILE_TAG: &[u8; 24] = b"gatewright journal file\n";
const ENCODING_VERSION: u32 = 1;

/// A SHA-256 hash: 32 bytes, shown as 64 lower-case hexadecimal digits.
#[derive(Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Hash([u8; 32]);

impl Hash {
    /// 32 zero bytes: what stands before the first record.
    pub const ZERO: Hash = Hash([0; 32]);

    /// The 32 bytes.
    pub fn as_bytes(&self) -> &[u8; 32] {
        &self.0
    }

    /// The hash of bytes that are kept as they are.
    pub(crate) fn of(bytes: &[u8]) -> Hash {
        Hash(Sha256::digest(bytes).into())
    }

    /// `None` unless there are exactly 32 bytes.
    pub(crate) fn from_slice(bytes: &[u8]) -> Option<Hash> {
        bytes.try_into().ok().map(Hash)
    }
}

impl fmt::Display for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        self.0.iter().try_for_each(|byte| write!(f, "{byte:02x}"))
    }
}

impl fmt::Debug for Hash {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        fmt::Display::fmt(self, f)
    }
}

/// Reads a hash that was noted elsewhere; the error says what was expected.
impl FromStr for Hash {
    type Err = &'static str;

    fn from_str(text: &str) -> Result<Hash, Self::Err> {
        const EXPECTED: &str = "a hash is 64 hexadecimal digits";
        let digits: Vec<u8> = text
            .chars()
            .map(|c| c.to_digit(16).and_then(|digit| u8::try_from(digit).ok()))
            .collect::<Option<_>>()
            .ok_or(EXPECTED)?;
        if digits.len() != 64 {
            return Err(EXPECTED);
        }
        let bytes: Vec<u8> = digits.chunks(2).map(|pair| pair[0] * 16 + pair[1]).collect();
        Hash::from_slice(&bytes).ok_or(EXPECTED)
    }
}

/// What the record hash is taken over. Bytes, not text: verification also reads what was tampered with.
pub(crate) struct Contents<'a> {
    pub(crate) chain: &'a [u8],
    pub(crate) seq: u64,
    pub(crate) at_ms: i64,
    pub(crate) previous: &'a [u8],
    pub(crate) payload: &'a [u8],
}

pub(crate) fn record_hash(contents: &Contents<'_>) -> Hash {
    let mut sha = Sha256::new();
    sha.update(RECORD_TAG);
    sha.update(ENCODING_VERSION.to_be_bytes());
    sha.update((contents.chain.len() as u64).to_be_bytes());
    sha.update(contents.chain);
    sha.update(contents.seq.to_be_bytes());
    sha.update(contents.at_ms.to_be_bytes());
    sha.update(contents.previous);
    sha.update((contents.payload.len() as u64).to_be_bytes());
    sha.update(contents.payload);
    Hash(sha.finalize().into())
}

pub(crate) fn file_hash(global_seq: u64, previous: &Hash, record: &Hash) -> Hash {
    let mut sha = Sha256::new();
    sha.update(FILE_TAG);
    sha.update(ENCODING_VERSION.to_be_bytes());
    sha.update(global_seq.to_be_bytes());
    sha.update(previous.0);
    sha.update(record.0);
    Hash(sha.finalize().into())
}
