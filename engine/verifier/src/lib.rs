//! Whether a certificate is right: the step, the duties and the claims of `FORM.md`, written once more from that page alone.
//! It shares no code with what compiles a procedure or makes its certificate, so that a fault of exploring, joining or planning there
//! shows here as a [`Refusal`]; where it is in doubt it refuses. It would miss what the form says wrongly, what the machine does otherwise
//! than believed, and a fault of `FORM.md`. What is asked of the data alone is in `form`. Reading order: `record`, `effect`, `step`,
//! `resume` (sections 2 to 4), `plan` (section 5), `sets`, `check` (section 6).

mod check;
mod effect;
mod plan;
mod record;
mod refusal;
mod resume;
mod sets;
mod step;

use form::{Certificate, Form};

pub use refusal::{Reason, Refusal};
pub use sets::Claims;

/// Whether a certificate is right, and names this very form by its hash. An error if it does not, is not, or cannot be seen to be.
pub fn verify_named(form: &Form, certificate: &Certificate) -> Result<(), Refusal> {
    let is_named = form::hash(form).is_ok_and(|hash| hash == certificate.form);
    if is_named { verify(form, certificate) } else { Err(Reason::Malformed("of another form".into()).into()) }
}

/// Whether a certificate is right for a form. That it is of this form is not asked: see [`verify_named`].
pub fn verify(form: &Form, certificate: &Certificate) -> Result<(), Refusal> {
    form::well_formed(form).and_then(|()| form::fits(form, certificate)).map_err(Reason::Malformed)?;
    check::certificate(form, certificate)
}
