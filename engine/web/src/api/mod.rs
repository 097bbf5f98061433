//! The same for other programs: JSON, under the same rules. `schemas/openapi.json` describes it.

mod call;
#[cfg(test)]
mod description;
mod reply;

use crate::app::App;
use crate::changed::changed;
use crate::fault::Fault;
use crate::handle::Handle;
use crate::lines::Readable;
use crate::pages::begin::begun;
use crate::pages::machines;
use crate::pin_check::{PinCheck, check_pin, remember};
use crate::requests::{Answer, Beginning, Deviation, Release, Signature, SigningIn, Stop};
use crate::standing::Standing;
use crate::store::{AnswerOutcome, BeginOutcome};
use crate::visitor::{COOKIE, SentFrom, Visitor, set_cookie};
use crate::walked::{Wanted, readable};
use crate::{answers, signatures};
use axum::Router;
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use call::{Body, Call};
use reply::{
    ApiFault, DamagedReply, ListedReply, ProcedureReply, SignedIn, VerificationReply, WalkReply, json,
};

const DESCRIPTION: &str = include_str!("../../../../schemas/openapi.json");

/// Every path below `/api`.
pub(crate) fn router() -> Router<Handle> {
    Router::new()
        .route("/openapi.json", get(description))
        .route("/sign-in", post(sign_in))
        .route("/procedures", get(procedures))
        .route("/walks", get(walks).post(begin))
        .route("/walks/{walk}", get(walk))
        .route("/walks/{walk}/answers", post(answer))
        .route("/walks/{walk}/signatures", post(sign))
        .route("/walks/{walk}/deviations", post(deviate))
        .route("/walks/{walk}/stop", post(stop))
        .route("/walks/{walk}/release", post(release))
        .route("/walks/{walk}/records", get(records))
        .route("/verification", get(verification))
        .fallback(not_there)
}

type Reply = Result<Response, ApiFault>;

async fn in_work(
    handle: &Handle,
    job: impl FnOnce(&App) -> Result<Response, Fault> + Send + 'static,
) -> Reply {
    handle.run(job).await.map_err(ApiFault)
}

async fn not_there() -> ApiFault {
    ApiFault(Fault::NotThere)
}

async fn description() -> Response {
    ([("content-type", "application/json")], DESCRIPTION).into_response()
}

async fn sign_in(
    State(handle): State<Handle>,
    SentFrom(from): SentFrom,
    Body(SigningIn { name, pin }): Body<SigningIn>,
) -> Reply {
    in_work(&handle, move |app| match check_pin(app, &name, &pin, from)? {
        PinCheck::Right => {
            let (token, csrf, person) = remember(app, &name)?;
            let mut response = json(StatusCode::OK, &SignedIn { person, csrf })?;
            set_cookie(&mut response, COOKIE, &token);
            Ok(response)
        }
        PinCheck::Wrong => reply::refused(
            StatusCode::UNAUTHORIZED,
            "This name and this PIN do not go together",
            "Enter both again",
        ),
        PinCheck::Wait(seconds) => reply::refused(
            StatusCode::TOO_MANY_REQUESTS,
            "Too many PINs were wrong",
            &format!("Try again in {seconds} s"),
        ),
    })
    .await
}

async fn procedures(State(handle): State<Handle>, _: call::Caller) -> Reply {
    in_work(&handle, move |app| {
        let documents = app.documents();
        let each = documents.library().procedures.iter().map(|(name, document)| ProcedureReply {
            name: name.to_string(),
            title: document.model.title.clone(),
            equipment: document.model.equipment.to_string(),
            revision: document.model.revision,
            content: documents.content(name).map(str::to_owned),
            walkable: documents.not_proved(name).is_none() && documents.not_by_hand(name).is_none(),
            not_proved: documents.not_proved(name),
        });
        json(StatusCode::OK, &each.collect::<Vec<_>>())
    })
    .await
}

async fn walks(State(handle): State<Handle>, _: call::Caller, wanted: Result<Wanted, Fault>) -> Reply {
    let Wanted(filter) = wanted.map_err(ApiFault)?;
    in_work(&handle, move |app| {
        let Readable { walks, damaged } = readable(app)?;
        let damaged = damaged.iter().cloned().map(|one| ListedReply::Damaged(DamagedReply::new(one)));
        // The newest first.
        let fitting = walks.iter().rev().filter(|walk| filter.fits(walk));
        let fitting = fitting.map(|walk| ListedReply::Walked(Box::new(walk.clone())));
        json(StatusCode::OK, &damaged.chain(fitting).collect::<Vec<_>>())
    })
    .await
}

async fn begin(State(handle): State<Handle>, Call { visitor, request }: Call<Beginning>) -> Reply {
    in_work(&handle, move |app| match begun(app, &visitor, &request)? {
        BeginOutcome::Begun(id) => json(StatusCode::CREATED, &reply(app, &visitor, &id)?),
        BeginOutcome::OtherWalk { id, before } => {
            let why = BeginOutcome::other_walk(&id, &before);
            reply::refused(StatusCode::CONFLICT, &why, "Begin another walk with another key")
        }
        BeginOutcome::Refused(why) => reply::refused(StatusCode::UNPROCESSABLE_ENTITY, &why, "Give another"),
    })
    .await
}

fn reply(app: &App, visitor: &Visitor, id: &str) -> Result<WalkReply, Fault> {
    let standing = Standing::of(app, visitor, id)?;
    let changed = changed(app, &records::Basis::new(standing.walk.begin()));
    let machine = machines::told_in(app, &standing.walk)?;
    Ok(WalkReply::new(id, &standing, machine, changed))
}

fn state(app: &App, visitor: &Visitor, id: &str) -> Result<Response, Fault> {
    json(StatusCode::OK, &reply(app, visitor, id)?)
}

async fn walk(
    State(handle): State<Handle>,
    call::Caller(visitor): call::Caller,
    Path(id): Path<String>,
) -> Reply {
    in_work(&handle, move |app| state(app, &visitor, &id)).await
}

/// What became of an answer, with the walk as it stands then.
fn outcome(app: &App, visitor: &Visitor, id: &str, said: AnswerOutcome) -> Result<Response, Fault> {
    match said {
        AnswerOutcome::Recorded => state(app, visitor, id),
        AnswerOutcome::Refused(refusal) => {
            reply::refused(StatusCode::UNPROCESSABLE_ENTITY, &refusal.reason, &refusal.opens)
        }
        AnswerOutcome::Superseded => reply::refused(
            StatusCode::CONFLICT,
            "The walk was elsewhere by then: somebody answered first",
            "Ask for the walk and answer what is asked now",
        ),
    }
}

async fn answer(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    Call { visitor, request }: Call<Answer>,
) -> Reply {
    in_work(&handle, move |app| outcome(app, &visitor, &id, answers::answer(app, &visitor, &id, &request)?))
        .await
}

async fn sign(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    Call { visitor, request }: Call<Signature>,
) -> Reply {
    in_work(&handle, move |app| outcome(app, &visitor, &id, signatures::sign(app, &visitor, &id, &request)?))
        .await
}

async fn deviate(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    Call { visitor, request }: Call<Deviation>,
) -> Reply {
    in_work(&handle, move |app| {
        outcome(app, &visitor, &id, signatures::deviate(app, &visitor, &id, &request)?)
    })
    .await
}

async fn release(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    Call { visitor, request }: Call<Release>,
) -> Reply {
    in_work(&handle, move |app| {
        outcome(app, &visitor, &id, signatures::release(app, &visitor, &id, &request)?)
    })
    .await
}

async fn stop(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    Call { visitor, request }: Call<Stop>,
) -> Reply {
    in_work(&handle, move |app| outcome(app, &visitor, &id, answers::stop(app, &visitor, &id, request)?))
        .await
}

async fn records(State(handle): State<Handle>, _: call::Caller, Path(id): Path<String>) -> Reply {
    in_work(&handle, move |app| json(StatusCode::OK, &records::exported::rows(&app.journal()?, &id)?)).await
}

async fn verification(State(handle): State<Handle>, _: call::Caller) -> Reply {
    in_work(&handle, move |app| {
        let journal = app.journal()?;
        let head = journal.head()?;
        let fault = records::not_intact(&journal)?;
        let reply = VerificationReply {
            intact: fault.is_none(),
            fault,
            records: head.len,
            head: head.hash.to_string(),
        };
        json(StatusCode::OK, &reply)
    })
    .await
}
