//! What takes a second person: signatures, deviations, releases. Each signs with their own PIN, on whatever device is there.

use crate::answers::give;
use crate::app::{App, Site};
use crate::fault::Fault;
use crate::pin_check::{PinCheck, check_pin};
use crate::requests::{Deviation, Position, Release, Signature, SignedVerdict};
use crate::store::{AnswerOutcome, refusal};
use crate::visitor::Visitor;
use review::People;
use walk::{Input, Leaving, Prompt, Refusal};

/// The name, as the credential store has it, of somebody who gave their PIN and has the role today. Or why not. Where a file of
/// people stands beside the procedures, it alone says who has which role.
fn signer(
    app: &App,
    visitor: &Visitor,
    (name, pin): (&str, &str),
    role: &str,
    people: Option<&People>,
) -> Result<Result<String, Refusal>, Fault> {
    let role = role.replace('-', " ");
    let helps = format!("Somebody with the role {role} signs with their own PIN");
    if name.is_empty() {
        return Ok(Err(refusal("Nobody is named", &helps)));
    }
    let person = app.credentials().person(name)?;
    let Some(person) = person else {
        return Ok(Err(refusal(&format!("Nobody here is named {name}"), &helps)));
    };
    let name = &person.name;
    match check_pin(app, name, pin, visitor.from)? {
        PinCheck::Right => {}
        PinCheck::Wrong => {
            return Ok(Err(refusal(&format!("This is not the PIN of {name}"), "Enter the PIN again")));
        }
        PinCheck::Wait(seconds) => {
            let why = format!("Too many PINs of {name} were wrong");
            return Ok(Err(refusal(&why, &format!("Try again in {seconds} s"))));
        }
    }
    let today = app.today();
    let why = match people {
        Some(people) => people.may_not_sign(name, &role, &today),
        None => person.lacks(&role, today),
    };
    Ok(match why {
        Some(why) => Err(refusal(&why, &helps)),
        None => Ok(person.name),
    })
}

/// A second person signs what is due.
pub(crate) fn sign(
    app: &App,
    visitor: &Visitor,
    id: &str,
    signature: &Signature,
) -> Result<AnswerOutcome, Fault> {
    let Signature { person, pin, verdict, position, key } = signature;
    let said = |name: String| match verdict {
        None | Some(SignedVerdict::Verified) => Input::Sign(name),
        Some(SignedVerdict::NotSo) => Input::Deny(name),
    };
    // The role is that of what is signed: between here and the record the walk must not have moved.
    let (role, site) = {
        let mut store = app.walk_store(id)?;
        if store.has_taken(id, &said(person.clone()), key.as_str())? {
            return Ok(AnswerOutcome::Recorded);
        }
        let walk = store.walk(id)?;
        if Position(walk.position()) != *position {
            return Ok(AnswerOutcome::Superseded);
        }
        let Prompt::Sign { role, .. } = walk.prompt() else {
            return Ok(AnswerOutcome::Refused(refusal(
                "Nobody's signature is due here",
                "Do what the step says",
            )));
        };
        (role, Site::new(walk))
    };
    let people = app.people(&site)?;
    match signer(app, visitor, (person, pin), &role, people.as_ref())? {
        Ok(name) => give(app, visitor, id, &said(name), Some(*position), key, None),
        Err(refusal) => Ok(AnswerOutcome::Refused(refusal)),
    }
}

/// The role that may allow and release in a walk, and the people of its site.
fn releasing(app: &App, id: &str) -> Result<(String, Option<People>), Fault> {
    let (role, site) = {
        let mut store = app.walk_store(id)?;
        let walk = store.walk(id)?;
        (app.releasing_role(walk), Site::new(walk))
    };
    Ok((role, app.people(&site)?))
}

/// Somebody who may allows an act to be done otherwise than written.
pub(crate) fn deviate(
    app: &App,
    visitor: &Visitor,
    id: &str,
    deviation: &Deviation,
) -> Result<AnswerOutcome, Fault> {
    let Deviation { person, pin, reason, position, key } = deviation;
    let (role, people) = releasing(app, id)?;
    match signer(app, visitor, (person, pin), &role, people.as_ref())? {
        Ok(person) => {
            let input = Input::Deviate { reason: reason.clone(), person, role };
            give(app, visitor, id, &input, Some(*position), key, None)
        }
        Err(refusal) => Ok(AnswerOutcome::Refused(refusal)),
    }
}

/// Somebody who may releases the machine after a stop.
pub(crate) fn release(
    app: &App,
    visitor: &Visitor,
    id: &str,
    release: &Release,
) -> Result<AnswerOutcome, Fault> {
    let Release { person, pin, remark, position, key } = release;
    let (role, people) = releasing(app, id)?;
    match signer(app, visitor, (person, pin), &role, people.as_ref())? {
        Ok(person) => {
            let input = Input::Leaving(Leaving::Returned { person, role, remark: remark.clone() });
            give(app, visitor, id, &input, Some(*position), key, None)
        }
        Err(refusal) => Ok(AnswerOutcome::Refused(refusal)),
    }
}
