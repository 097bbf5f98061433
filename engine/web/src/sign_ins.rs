//! Who is signed in, on which device. Kept in memory alone: when the program ends everybody is signed out.

use crate::random;
use sha2::{Digest, Sha256};
use std::collections::BTreeMap;

/// One person is not signed in on more devices than this at once; their own that was unused for longest gives way.
const DEVICES_MAX: usize = 500;
/// A sign-in ends after so many milliseconds without use, locked or not: 16 h.
const LONGEST_MS: i64 = 16 * 3_600_000;

/// One sign-in on one device.
#[derive(Clone, Debug)]
pub(crate) struct SignIn {
    /// The person's key in the credential store.
    pub(crate) person: String,
    /// What every form of this sign-in carries.
    pub(crate) csrf: String,
    last_ms: i64,
    locked: bool,
}

/// What a token stands for.
pub(crate) enum SignInState {
    /// Nobody's: it is unknown, or too old.
    Unknown,
    /// A sign-in that wants the PIN again.
    Locked(SignIn),
    /// Somebody.
    Open(SignIn),
}

pub(crate) struct SignIns {
    lock_ms: i64,
    /// By the hash of the token: whoever reads the memory's copy on disk cannot use it.
    open: BTreeMap<[u8; 32], SignIn>,
}

fn key(token: &str) -> [u8; 32] {
    Sha256::digest(token.as_bytes()).into()
}

impl SignIns {
    pub(crate) fn new(lock_ms: i64) -> Self {
        Self { lock_ms, open: BTreeMap::new() }
    }

    /// Signs a person in; gives the token for the device, and the one for its forms.
    pub(crate) fn begin(&mut self, person: &str, now_ms: i64) -> Result<(String, String), getrandom::Error> {
        self.open.retain(|_, visit| now_ms - visit.last_ms < LONGEST_MS);
        let own: Vec<_> = self.open.iter().filter(|(_, visit)| visit.person == person).collect();
        if own.len() >= DEVICES_MAX
            && let Some(oldest) = own.into_iter().min_by_key(|(_, visit)| visit.last_ms).map(|(key, _)| *key)
        {
            self.open.remove(&oldest);
        }
        let (token, csrf) = (random::token()?, random::token()?);
        let visit = SignIn { person: person.to_owned(), csrf: csrf.clone(), last_ms: now_ms, locked: false };
        self.open.insert(key(&token), visit);
        Ok((token, csrf))
    }

    /// Who is here; using a sign-in keeps it from locking.
    pub(crate) fn find(&mut self, token: &str, now_ms: i64) -> SignInState {
        let lock_ms = self.lock_ms;
        let Some(visit) = self.open.get_mut(&key(token)) else { return SignInState::Unknown };
        let idle = now_ms - visit.last_ms;
        if idle >= LONGEST_MS {
            self.open.remove(&key(token));
            return SignInState::Unknown;
        }
        // A clock that went backwards says nothing about how long it was.
        visit.locked |= idle >= lock_ms || idle < -1_000;
        if visit.locked {
            return SignInState::Locked(visit.clone());
        }
        visit.last_ms = visit.last_ms.max(now_ms);
        SignInState::Open(visit.clone())
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
    use super::{DEVICES_MAX, SignInState, SignIns};

    #[test]
    fn nobody_signs_others_out() {
        let mut sign_ins = SignIns::new(60_000);
        let (first, _) = sign_ins.begin("anneke voss", 0).expect("a token");
        let own: Vec<String> = (1..=DEVICES_MAX as i64 + 1)
            .map(|at| sign_ins.begin("tomas reeve", at).expect("a token").0)
            .collect();
        let is_open =
            |sign_ins: &mut SignIns, token: &str| matches!(sign_ins.find(token, 600), SignInState::Open(_));
        assert!(is_open(&mut sign_ins, &first));
        assert!(!is_open(&mut sign_ins, &own[0]), "their own gives way");
        assert!(own[1..].iter().all(|token| is_open(&mut sign_ins, token)));
    }

    #[test]
    fn a_pause_locks_and_the_pin_unlocks() {
        let mut sign_ins = SignIns::new(60_000);
        let (token, _) = sign_ins.begin("tomas reeve", 0).expect("a token");
        assert!(matches!(sign_ins.find(&token, 59_999), SignInState::Open(_)));
        assert!(matches!(sign_ins.find(&token, 119_998), SignInState::Open(_)));
        assert!(matches!(sign_ins.find(&token, 179_998), SignInState::Locked(_)));
        assert!(matches!(sign_ins.find(&token, 179_999), SignInState::Locked(_)), "locked it stays");
        sign_ins.unlock(&token, 180_000);
        assert!(matches!(sign_ins.find(&token, 180_001), SignInState::Open(_)));
        assert!(matches!(sign_ins.find(&token, 100_000), SignInState::Locked(_)), "the clock went backwards");
        assert!(matches!(sign_ins.find("0", 0), SignInState::Unknown));
        sign_ins.end(&token);
        assert!(matches!(sign_ins.find(&token, 180_002), SignInState::Unknown));
    }
}
