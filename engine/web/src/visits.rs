//! Who is signed in, on which device. Kept in memory alone: when the program ends everybody is signed out.

use crate::random;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// More devices than this are not signed in at once; the one unused for longest gives way.
const DEVICES_MAX: usize = 500;
/// A sign-in ends after so many milliseconds without use, locked or not: 16 h.
const LONGEST_MS: i64 = 16 * 3_600_000;

/// One sign-in on one device.
#[derive(Clone, Debug)]
pub(crate) struct Visit {
    /// The person's key in the depot.
    pub(crate) person: String,
    /// What every form of this sign-in carries.
    pub(crate) csrf: String,
    last_ms: i64,
    locked: bool,
}

/// What a token stands for.
pub(crate) enum Found {
    /// Nobody: it is unknown, or too old.
    Nobody,
    /// A sign-in that wants the PIN again.
    Locked(Visit),
    /// Somebody.
    Open(Visit),
}

pub(crate) struct Visits {
    lock_ms: i64,
    /// By the hash of the token: whoever reads the memory's copy on disk cannot use it.
    open: BTreeMap<[u8; 32], Visit>,
}

fn key(token: &str) -> [u8; 32] {
    Sha256::digest(token.as_bytes()).into()
}

impl Visits {
    pub(crate) fn new(lock_ms: i64) -> Self {
        Self { lock_ms, open: BTreeMap::new() }
    }

    /// Signs a person in; gives the token for the device, and the one for its forms.
    pub(crate) fn begin(&mut self, person: &str, now_ms: i64) -> Result<(String, String), getrandom::Error> {
        self.open.retain(|_, visit| now_ms - visit.last_ms < LONGEST_MS);
        if self.open.len() >= DEVICES_MAX
            && let Some(oldest) = self.open.iter().min_by_key(|(_, visit)| visit.last_ms).map(|(key, _)| *key)
        {
            self.open.remove(&oldest);
        }
        let (token, csrf) = (random::token()?, random::token()?);
        let visit = Visit { person: person.to_owned(), csrf: csrf.clone(), last_ms: now_ms, locked: false };
        self.open.insert(key(&token), visit);
        Ok((token, csrf))
    }

    /// Who is here; using a sign-in keeps it from locking.
    pub(crate) fn find(&mut self, token: &str, now_ms: i64) -> Found {
        let lock_ms = self.lock_ms;
        let Some(visit) = self.open.get_mut(&key(token)) else { return Found::Nobody };
        let idle = now_ms - visit.last_ms;
        if idle >= LONGEST_MS {
            self.open.remove(&key(token));
            return Found::Nobody;
        }
        // A clock that went backwards says nothing about how long it was.
        visit.locked |= idle >= lock_ms || idle < -1_000;
        if visit.locked {
            return Found::Locked(visit.clone());
        }
        visit.last_ms = visit.last_ms.max(now_ms);
        Found::Open(visit.clone())
    }

    pub(crate) fn lock(&mut self, token: &str) {
        if let Some(visit) = self.open.get_mut(&key(token)) {
            visit.locked = true;
        }
    }

    pub(crate) fn unlock(&mut self, token: &str, now_ms: i64) {
        if let Some(visit) = self.open.get_mut(&key(token)) {
            visit.locked = false;
            visit.last_ms = now_ms;
        }
    }

    pub(crate) fn end(&mut self, token: &str) {
        self.open.remove(&key(token));
    }
}

#[cfg(test)]
mod tests {
    use super::{Found, Visits};

    #[test]
    fn a_pause_locks_and_the_pin_unlocks() {
        let mut visits = Visits::new(60_000);
        let (token, _) = visits.begin("tomas reeve", 0).expect("a token");
        assert!(matches!(visits.find(&token, 59_999), Found::Open(_)));
        assert!(matches!(visits.find(&token, 119_998), Found::Open(_)));
        assert!(matches!(visits.find(&token, 179_998), Found::Locked(_)));
        assert!(matches!(visits.find(&token, 179_999), Found::Locked(_)), "locked it stays");
        visits.unlock(&token, 180_000);
        assert!(matches!(visits.find(&token, 180_001), Found::Open(_)));
        assert!(matches!(visits.find(&token, 100_000), Found::Locked(_)), "the clock went backwards");
        assert!(matches!(visits.find("0", 0), Found::Nobody));
        visits.end(&token);
        assert!(matches!(visits.find(&token, 180_002), Found::Nobody));
    }
}
