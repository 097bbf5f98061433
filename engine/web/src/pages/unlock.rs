//! The lock after a pause.

use crate::app::App;
use crate::day::now_ms;
use crate::fault::{Fault, go};
use crate::forms::{FormFields, Posted};
use crate::handle::Handle;
use crate::pin_check::{PinCheck, check_pin};
use crate::requests::{Envelope, NextPage, Unlocking};
use crate::sign_ins::{SignIn, SignInState};
use crate::visitor::{COOKIE, SentFrom, cookie, local};
use crate::{random, render};
use axum::extract::{Query, State};
use axum::http::{StatusCode, request::Parts};
use axum::response::Response;
use minijinja::context;

/// The locked sign-in of the device; or the path to go to instead.
fn locked<'n>(app: &App, parts: &Parts, next: &'n str) -> Result<(String, SignIn), &'n str> {
    let Some(token) = cookie(parts, COOKIE) else { return Err("/sign-in") };
    let found = app.sign_ins().find(&token, now_ms());
    match found {
        SignInState::Unknown => Err("/sign-in"),
        SignInState::Open(_) => Err(next),
        SignInState::Locked(visit) => Ok((token, visit)),
    }
}

fn form(app: &App, visit: &SignIn, status: StatusCode, next: &str, refusal: &str) -> Result<Response, Fault> {
    let person = app.credentials().person(&visit.person)?.ok_or_else(|| Fault::SignIn(next.to_owned()))?;
    let values = context! { next, refusal, locked => person.name, locked_csrf => &visit.csrf, minutes => app.lock_ms / 60_000 };
    render::page_as(status, "unlock.html", None, 0, values)
}

pub(crate) async fn show(
    State(handle): State<Handle>,
    Query(next): Query<NextPage>,
    parts: Parts,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let next = local(next.next.as_deref());
            match locked(app, &parts, next) {
                Ok((_, visit)) => form(app, &visit, StatusCode::OK, next, ""),
                Err(elsewhere) => Ok(go(elsewhere)),
            }
        })
        .await
}

pub(crate) async fn submit(
    State(handle): State<Handle>,
    parts: Parts,
    SentFrom(from): SentFrom,
    fields: FormFields,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let Envelope { csrf, next } = fields.read()?;
            let Unlocking { pin } = fields.read()?;
            let next = local(Some(&next));
            let (token, visit) = match locked(app, &parts, next) {
                Ok(locked) => locked,
                Err(elsewhere) => return Ok(go(elsewhere)),
            };
            if !random::same(&visit.csrf, &csrf) {
                return Err(Fault::Forbidden(
                    "This form is not one of this sign-in. Open the page again.".to_owned(),
                ));
            }
            let status = StatusCode::UNPROCESSABLE_ENTITY;
            match check_pin(app, &visit.person, &pin, from)? {
                PinCheck::Right => {
                    app.sign_ins().unlock(&token, now_ms());
                    Ok(go(next))
                }
                PinCheck::Wrong => form(app, &visit, status, next, "This is not the PIN."),
                PinCheck::Wait(seconds) => {
                    let refusal = format!("Too many PINs were wrong. Try again in {seconds} s.");
                    form(app, &visit, StatusCode::TOO_MANY_REQUESTS, next, &refusal)
                }
            }
        })
        .await
}

/// Locks at once, when somebody puts the device down.
pub(crate) async fn lock(State(handle): State<Handle>, post: Posted) -> Response {
    handle.sign_ins().lock(&post.visitor.token);
    go("/unlock")
}
