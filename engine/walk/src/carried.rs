//! The certificate that a walk carries: what was proved of every place.

use form::Certificate;
use machine::{AbstractState, Machine};
use std::fmt;
use verifier::Claims;

/// What a certificate claims, or why nothing can be taken from it.
pub(crate) struct Carried(Result<Claims, &'static str>);

impl fmt::Debug for Carried {
    fn fmt(&self, to: &mut fmt::Formatter<'_>) -> fmt::Result {
        to.debug_tuple("Carried").field(&self.0.as_ref().map(|_| ())).finish()
    }
}

impl Carried {
    /// Reads what was kept of a certificate. It counts only if it is right, and of this very machine: the checker says so once more; and
    /// only if each of these hashes, of what the walk goes by, is that of the content that it names.
    pub(crate) fn new(kept: Option<&[u8]>, machine: &Machine, contents: [Option<&str>; 2]) -> Self {
        Self(claims(kept, machine, contents))
    }

    /// Why nothing can be taken from it, if nothing can.
    pub(crate) fn fault(&self) -> Option<&'static str> {
        self.0.as_ref().err().copied()
    }

    /// Whether a record lies inside what was proved of its place.
    pub(crate) fn holds(&self, machine: &Machine, state: &AbstractState) -> bool {
        let place = state.place;
        let record = machine.record_formed(state);
        self.0.as_ref().is_ok_and(|claims| claims.holds(place.node.0, place.items, place.again, &record))
    }
}

fn claims(
    kept: Option<&[u8]>,
    machine: &Machine,
    contents: [Option<&str>; 2],
) -> Result<Claims, &'static str> {
    let bytes =
        kept.ok_or("the certificate that this walk carries is not among the records, or was changed")?;
    let certificate: Certificate =
        serde_json::from_slice(bytes).map_err(|_| "the certificate that this walk carries cannot be read")?;
    if contents.iter().any(|content| *content != Some(&certificate.content)) {
        return Err("what this walk goes by is not what its certificate is of");
    }
    let form = machine.form();
    verifier::verify_named(&form, &certificate)
        .and_then(|()| Claims::new(&form, &certificate))
        .map_err(|_| "the certificate that this walk carries is not one of what it goes by")
}
