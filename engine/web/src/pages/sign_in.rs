//! Signing in and out.

use crate::fault::{Fault, go};
use crate::forms::{FormFields, Posted};
use crate::handle::Handle;
use crate::pin_check::{PinCheck, check_pin, remember};
use crate::requests::{Envelope, NextPage, SigningIn};
use crate::visitor::{COOKIE, SentFrom, cookie, local, set_cookie};
use crate::{random, render};
use axum::extract::{Query, State};
use axum::http::{StatusCode, request::Parts};
use axum::response::Response;
use minijinja::context;

/// Before anybody is signed in, a form is ours if it carries what the device's cookie says.
const FORM_COOKIE: &str = "gatewright-form";

pub(crate) async fn show(
    State(handle): State<Handle>,
    Query(next): Query<NextPage>,
) -> Result<Response, Fault> {
    let next = local(next.next.as_deref()).to_owned();
    handle.run(move |_| form(StatusCode::OK, &next, "", "")).await
}

fn form(status: StatusCode, next: &str, name: &str, refusal: &str) -> Result<Response, Fault> {
    let token = random::token()?;
    let values = context! { next, name, refusal, form_token => &token };
    let mut response = render::page_as(status, "sign-in.html", None, 0, values)?;
    set_cookie(&mut response, FORM_COOKIE, &token);
    Ok(response)
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
            let SigningIn { name, pin } = fields.read()?;
            let next = local(Some(&next));
            let ours = cookie(&parts, FORM_COOKIE).is_some_and(|token| random::same(&token, &csrf));
            if !ours {
                let refusal =
                    "This page was open for too long, or this browser takes no cookies. Try once more.";
                return form(StatusCode::FORBIDDEN, next, &name, refusal);
            }
            match check_pin(app, &name, &pin, from)? {
                PinCheck::Right => {}
                PinCheck::Wrong => {
                    let refusal = "This name and this PIN do not go together.";
                    return form(StatusCode::UNPROCESSABLE_ENTITY, next, &name, refusal);
                }
                PinCheck::Wait(seconds) => {
                    let refusal = format!("Too many PINs were wrong. Try again in {seconds} s.");
                    return form(StatusCode::TOO_MANY_REQUESTS, next, &name, &refusal);
                }
            }
            let (token, ..) = remember(app, &name)?;
            // The device has one sign-in: nobody finds the one before it open.
            if let Some(before) = cookie(&parts, COOKIE) {
                app.sign_ins().end(&before);
            }
            let mut response = go(next);
            set_cookie(&mut response, COOKIE, &token);
            Ok(response)
        })
        .await
}

pub(crate) async fn end(State(handle): State<Handle>, post: Posted) -> Response {
    handle.sign_ins().end(&post.visitor.token);
    go("/sign-in")
}
