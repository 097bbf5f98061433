//! Whether a PIN is right, and the sign-in that follows.

use crate::app::App;
use crate::day::now_ms;
use crate::fault::Fault;
use document::person_key;
use std::net::IpAddr;

/// What is said of a PIN that somebody gave with a name.
pub(crate) enum PinCheck {
    /// It is that person's.
    Right,
    /// Name and PIN do not go together.
    Wrong,
    /// Too many were wrong: so many seconds are left.
    Wait(i64),
}

/// Makes sure of the PIN that somebody gives with a name, and slows guesses down. One PIN after the other is looked at: many
/// guesses at once count like as many in a row, and hashing takes the memory and the processor of one.
pub(crate) fn check_pin(app: &App, name: &str, pin: &str, from: Option<IpAddr>) -> Result<PinCheck, Fault> {
    let (person, hash) = {
        let people = app.credentials();
        (people.person(name)?.map(|person| person_key(&person.name)), people.pin_of(name)?)
    };
    let mut guesses = app.guesses();
    let now = now_ms();
    if let Some(wait) = guesses.wait(person.as_deref(), from, now) {
        return Ok(PinCheck::Wait(wait));
    }
    let right = credentials::is_right_pin(pin, hash.as_deref());
    match person {
        Some(person) if right => {
            guesses.right(&person);
            Ok(PinCheck::Right)
        }
        person => {
            guesses.wrong(person.as_deref(), from, now);
            (app.log)("a PIN was refused");
            Ok(PinCheck::Wrong)
        }
    }
}

/// Signs a person in; gives the token for the device, the one for forms, and the name.
pub(crate) fn remember(app: &App, name: &str) -> Result<(String, String, String), Fault> {
    let person = app.credentials().person(name)?.ok_or(Fault::NotThere)?;
    let (token, csrf) = app.sign_ins().begin(&person_key(name), now_ms())?;
    Ok((token, csrf, person.name))
}
