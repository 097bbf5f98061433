//! What was proved, asked of a second program: it has a step of its own and shares nothing with the proof.

use crate::ASSUMED;
use crate::performed::is_performed;
use document::Library;
use document::model::Name;
use form::{Certificate, Form};
use machine::Machine;
use proof::{Budget, Claims, Unclaimed};
use std::borrow::Cow;
use verifier::{Reason, Refusal};

/// What a second program says of a procedure.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Second {
    /// Nothing was proved, and so it was not asked.
    NotAsked,
    /// What would be claimed is too much to be written out, so that it could not be asked.
    TooLarge,
    /// It checked everything that is claimed, and agrees.
    Agrees,
}

/// What a certificate rests on beside what it says.
const RESTS_ON: [&str; 2] = [
    ASSUMED,
    "the compiled form says what the documents say; the machine is as believed until a look contradicts it",
];

/// The machine as its procedure is begun: where others perform it, with what nobody can see and they see to.
pub(crate) fn as_begun<'m>(library: &Library, machine: &'m Machine) -> Cow<'m, Machine> {
    if !machine.unseen.is_empty() && is_performed(library, &machine.procedure) {
        Cow::Owned(machine.performed())
    } else {
        Cow::Borrowed(machine)
    }
}

/// What is claimed of a machine of which nothing was refuted, and what the second program says of that. What bears on one thing alone
/// may say too little: where it does not agree with that, all of it at once is claimed.
pub(crate) fn ask(
    machine: &Machine,
    budget: &Budget<'_>,
) -> Result<(Certificate, Result<(), Refusal>), Unclaimed> {
    let form = machine.form();
    let answered = |Claims { plans, views }| {
        let claimed = Certificate::of(&form, plans, views);
        let answer = verifier::verify(&form, &claimed);
        (claimed, answer)
    };
    let (claimed, answer) = answered(proof::claims(machine, budget)?);
    if answer.is_ok() || claimed.views.len() == 1 {
        return Ok((claimed, answer));
    }
    match proof::claims_as_whole(machine, budget) {
        // Then it stays what it does not agree with.
        Err(Unclaimed::TooLarge) => Ok((claimed, answer)),
        whole => whole.map(answered),
    }
}

/// What the second program does not agree with, with place and state.
pub(crate) fn told(refusal: &Refusal) -> String {
    let Refusal { view, place, set, reason } = refusal;
    let why = match reason {
        Reason::Malformed(why) => format!("its data means nothing ({why})"),
        Reason::Views(why) => format!("it does not speak of everything ({why})"),
        Reason::NotClaimed(why) => format!("what comes next is claimed nowhere ({why})"),
        Reason::Violated(why) => why.clone(),
        Reason::Plan(why) => format!("no good plan for stopping ({why})"),
    };
    let Some(place) = place else { return why };
    let view = view.map_or(String::new(), |view| format!("view {view}, "));
    let items = if place.items == 0 { String::new() } else { format!(", items {:b} done", place.items) };
    format!("{view}at {}{items}: {why}", set.trim_end())
}

/// The compiled form of a procedure, as it is begun.
#[must_use]
pub fn formed(library: &Library, machine: &Machine) -> Form {
    as_begun(library, machine).form()
}

/// What was claimed of a machine, with whose it is; none where the documents that it was compiled from are not there.
pub(crate) fn certificate(
    library: &Library,
    machine: &Machine,
    claimed: &Certificate,
) -> Option<Certificate> {
    Some(Certificate {
        content: library.content_hash(&machine.procedure)?,
        program: env!("CARGO_PKG_VERSION").to_owned(),
        form: form::hash(&formed(library, machine)).ok()?,
        assumes: RESTS_ON.map(str::to_owned).to_vec(),
        ..claimed.clone()
    })
}

/// Why a certificate is not one of a procedure as it is now, if it is not.
#[must_use]
pub fn refusal(library: &Library, certificate: &Certificate) -> Option<String> {
    let program = env!("CARGO_PKG_VERSION");
    if certificate.program != program {
        return Some(format!(
            "it was written by version {} of the program, and this is version {program}",
            certificate.program
        ));
    }
    let name = Name::from(certificate.procedure.as_str());
    let machine = match machine::compile(library, &name) {
        Ok(machine) => machine,
        Err(error) => return Some(error.to_string()),
    };
    if library.content_hash(&name).is_none_or(|content| content != certificate.content) {
        return Some("it is of another content than the documents have now".to_owned());
    }
    let form = formed(library, &machine);
    verifier::verify_named(&form, certificate).err().map(|refusal| told(&refusal))
}
