//! Whether a certificate is right: the step, the duties and the claims of `FORM.md`, written once more from that page alone.
//!
//! It checks that the start lies in what is claimed, that no move and no interruption leaves it, and that nothing that has to hold
//! fails inside. It shares no code with what compiles a procedure or makes its certificate, so that a fault of exploring, joining or
//! planning there shows here as a [`Refusal`]. Where it is in doubt it refuses.
//!
//! It would miss what the form itself says wrongly, what the machine does otherwise than believed, and a fault of `FORM.md`.
//!
//! Reading order: `record` (many records as one), `run` (asking them), `effect`, `step` and `resume` (section 2 to 4), `plan`
//! (section 5), `sets`, `cover` and `check` (section 6); `scope` and `shape` are what these rest on.

mod check;
mod cover;
mod effect;
mod plan;
mod record;
mod refusal;
mod resume;
mod run;
mod scope;
mod sets;
mod shape;
mod step;

use form::{Certificate, Form};

pub use refusal::{Place, Reason, Refusal};
pub use sets::{Claims, Record};

/// Whether a certificate is right, and names this very form by its hash.
///
/// # Errors
/// If it does not, or is not right, or cannot be seen to be.
pub fn verify_named(form: &Form, certificate: &Certificate) -> Result<(), Refusal> {
    if form::hash(form).ok().as_ref() != Some(&certificate.form) {
        return Err(Reason::OtherForm.into());
    }
    verify(form, certificate)
}

/// Whether a certificate is right for a form. That it is of this form is not asked: see [`verify_named`].
///
/// # Errors
/// If it is not, or cannot be seen to be.
pub fn verify(form: &Form, certificate: &Certificate) -> Result<(), Refusal> {
    shape::form(form)?;
    shape::certificate(form, certificate)?;
    let index = scope::Index::new(form);
    let scopes: Vec<_> = certificate.views.iter().map(|view| scope::Scope::of(&index, view)).collect();
    cover::complete(form, &certificate.views, &scopes)?;
    for (number, (view, scope)) in certificate.views.iter().zip(&scopes).enumerate() {
        check::view(number, view, scope)?;
    }
    check::plans(&index, certificate, &scopes)
}
