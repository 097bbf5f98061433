//! Signing in and out.

use crate::app::{App, work};
use crate::day::now_ms;
use crate::fault::{Fault, go};
use crate::fields::{COOKIE, Fields, Post, cookie, local};
use crate::{random, render};
use axum::extract::{Query, State};
use axum::http::{HeaderValue, StatusCode, header, request::Parts};
use axum::response::Response;
use minijinja::context;
use serde::Deserialize;
use std::sync::Arc;

/// Before anybody is signed in, a form is ours if it carries what the device's cookie says.
const FORM_COOKIE: &str = "gatewright-form";

/// Where to go afterwards.
#[derive(Deserialize)]
pub(crate) struct Next {
    next: Option<String>,
}

pub(crate) async fn show(State(app): State<Arc<App>>, Query(next): Query<Next>) -> Result<Response, Fault> {
    let next = local(next.next.as_deref()).to_owned();
    work(&app, move |_| form(StatusCode::OK, &next, "", "")).await
}

fn form(status: StatusCode, next: &str, name: &str, refusal: &str) -> Result<Response, Fault> {
    let token = random::token()?;
    let values = context! { next, name, refusal, form_token => &token };
    let mut response = render::page_as(status, "sign-in.html", None, 0, values)?;
    set_cookie(&mut response, FORM_COOKIE, &token);
    Ok(response)
}

/// Not for scripts, and not sent along from other sites.
pub(crate) fn set_cookie(response: &mut Response, name: &str, value: &str) {
    let text = format!("{name}={value}; Path=/; HttpOnly; SameSite=Strict");
    if let Ok(value) = HeaderValue::from_str(&text) {
        response.headers_mut().append(header::SET_COOKIE, value);
    }
}

/// What is said of a PIN that somebody gave with a name.
pub(crate) enum PinCheck {
    /// It is that person's.
    Right,
    /// Name and PIN do not go together.
    Wrong,
    /// Too many were wrong: so many seconds are left.
    Wait(i64),
}

/// Makes sure of the PIN that a form gives for a person, and slows guesses down. One PIN after the other is looked at: many
/// guesses at once count like as many in a row, and hashing takes the memory and the processor of one.
pub(crate) fn check_pin(app: &App, name: &str, fields: &Fields) -> Result<PinCheck, Fault> {
    let (person, hash) = {
        let store = app.store();
        (
            store.credentials.person(name)?.map(|person| credentials::key(&person.name)),
            store.credentials.pin_of(name)?,
        )
    };
    let mut guesses = app.guesses();
    let now = now_ms();
    if let Some(wait) = guesses.wait(person.as_deref(), fields.from, now) {
        return Ok(PinCheck::Wait(wait));
    }
    let right = credentials::is_right_pin(fields.get("pin"), hash.as_deref());
    match person {
        Some(person) if right => {
            guesses.right(&person);
            Ok(PinCheck::Right)
        }
        person => {
            guesses.wrong(person.as_deref(), fields.from, now);
            (app.log)("a PIN was refused");
            Ok(PinCheck::Wrong)
        }
    }
}

/// Signs a person in; gives the token for the device, the one for forms, and the name.
pub(crate) fn remember(app: &App, name: &str) -> Result<(String, String, String), Fault> {
    let person = app.store().credentials.person(name)?.ok_or(Fault::NotThere)?;
    let (token, csrf) = app.sign_ins().begin(&credentials::key(name), now_ms())?;
    Ok((token, csrf, person.name))
}

pub(crate) async fn submit(
    State(app): State<Arc<App>>,
    parts: Parts,
    fields: Fields,
) -> Result<Response, Fault> {
    work(&app, move |app| {
        let next = local(Some(fields.get("next"))).to_owned();
        let name = fields.get("name");
        let ours = cookie(&parts, FORM_COOKIE).is_some_and(|token| random::same(&token, fields.get("csrf")));
        if !ours {
            let refusal = "This page was open for too long, or this browser takes no cookies. Try once more.";
            return form(StatusCode::FORBIDDEN, &next, name, refusal);
        }
        match check_pin(app, name, &fields)? {
            PinCheck::Right => {}
            PinCheck::Wrong => {
                let refusal = "This name and this PIN do not go together.";
                return form(StatusCode::UNPROCESSABLE_ENTITY, &next, name, refusal);
            }
            PinCheck::Wait(seconds) => {
                let refusal = format!("Too many PINs were wrong. Try again in {seconds} s.");
                return form(StatusCode::TOO_MANY_REQUESTS, &next, name, &refusal);
            }
        }
        let (token, ..) = remember(app, name)?;
        // The device has one sign-in: nobody finds the one before it open.
        if let Some(before) = cookie(&parts, COOKIE) {
            app.sign_ins().end(&before);
        }
        let mut response = go(&next);
        set_cookie(&mut response, COOKIE, &token);
        Ok(response)
    })
    .await
}

pub(crate) async fn end(State(app): State<Arc<App>>, post: Post) -> Response {
    app.sign_ins().end(&post.visitor.token);
    go("/sign-in")
}
