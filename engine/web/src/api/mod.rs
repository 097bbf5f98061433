//! The same for other programs: JSON, under the same rules. `schemas/openapi.json` describes it.

mod call;
mod reply;

use crate::app::App;
use crate::changed::{Basis, changed};
use crate::fault::Fault;
use crate::fields::{COOKIE, Visitor, set_cookie};
use crate::handle::Handle;
use crate::pages::begin::begun;
use crate::pin_check::{PinCheck, check_pin, remember};
use crate::store::AnswerOutcome;
use crate::walked::all;
use crate::{answers, signatures};
use axum::Router;
use axum::extract::{Path, Query, State};
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use axum::routing::{get, post};
use call::{Body, Call, says};
use journal::Verification;
use records::{Filter, Walked};
use reply::{ApiFault, WalkReply, json};
use serde_json::json as value;
use walk::Input;

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

type Answer = Result<Response, ApiFault>;

async fn in_work(
    handle: &Handle,
    job: impl FnOnce(&App) -> Result<Response, Fault> + Send + 'static,
) -> Answer {
    handle.run(job).await.map_err(ApiFault)
}

async fn not_there() -> ApiFault {
    ApiFault(Fault::NotThere)
}

async fn description() -> Response {
    ([("content-type", "application/json")], DESCRIPTION).into_response()
}

async fn sign_in(State(handle): State<Handle>, Body(fields): Body) -> Answer {
    in_work(&handle, move |app| {
        says(&fields, &["name", "pin"])?;
        let name = fields.get("name");
        match check_pin(app, name, &fields)? {
            PinCheck::Right => {
                let (token, csrf, name) = remember(app, name)?;
                let mut response = json(StatusCode::OK, &value!({ "person": name, "csrf": csrf }))?;
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
        }
    })
    .await
}

async fn procedures(State(handle): State<Handle>, _: call::Caller) -> Answer {
    in_work(&handle, move |app| {
        let documents = app.documents();
        let each = documents.library().procedures.iter().map(|(name, document)| {
            value!({
                "name": &**name,
                "title": document.model.title,
                "equipment": &*document.model.equipment,
                "revision": document.model.revision,
                "content": documents.content(name),
                "walkable": documents.is_sound(name),
            })
        });
        json(StatusCode::OK, &each.collect::<Vec<_>>())
    })
    .await
}

async fn walks(State(handle): State<Handle>, _: call::Caller, Query(filter): Query<Filter>) -> Answer {
    in_work(&handle, move |app| {
        let fitting: Vec<Walked> = all(app)?.into_iter().filter(|walk| filter.fits(walk)).collect();
        json(StatusCode::OK, &fitting)
    })
    .await
}

async fn begin(State(handle): State<Handle>, Call { visitor, fields }: Call) -> Answer {
    in_work(&handle, move |app| {
        says(&fields, &["procedure", "serial"])?;
        match begun(app, &visitor, fields.get("procedure"), &fields)? {
            Ok(id) => state(app, &visitor, &id, StatusCode::CREATED),
            Err(why) => reply::refused(StatusCode::UNPROCESSABLE_ENTITY, &why, "Give another"),
        }
    })
    .await
}

fn state(app: &App, visitor: &Visitor, id: &str, status: StatusCode) -> Result<Response, Fault> {
    let basis = Basis::new(app.walk_store(id)?.walk(id)?);
    let changed = changed(app, &basis);
    let mut store = app.walk_store(id)?;
    let attends = store.attends(id, &visitor.name, app.lock_ms)?;
    let page = store.page(id)?;
    let reply = WalkReply::new(id, store.walk(id)?, &page, attends, changed);
    drop(store);
    json(status, &reply)
}

async fn walk(
    State(handle): State<Handle>,
    call::Caller(visitor): call::Caller,
    Path(id): Path<String>,
) -> Answer {
    in_work(&handle, move |app| state(app, &visitor, &id, StatusCode::OK)).await
}

/// What became of an answer, with the walk as it stands then.
fn outcome(app: &App, visitor: &Visitor, id: &str, said: AnswerOutcome) -> Result<Response, Fault> {
    match said {
        AnswerOutcome::Recorded => state(app, visitor, id, StatusCode::OK),
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
    Call { visitor, fields }: Call,
) -> Answer {
    in_work(&handle, move |app| {
        says(&fields, &["say", "position", "key"])?;
        outcome(app, &visitor, &id, answers::answer(app, &visitor, &id, &fields)?)
    })
    .await
}

async fn sign(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    Call { visitor, fields }: Call,
) -> Answer {
    in_work(&handle, move |app| {
        says(&fields, &["person", "pin", "position", "key"])?;
        outcome(app, &visitor, &id, signatures::sign(app, &visitor, &id, &fields)?)
    })
    .await
}

async fn deviate(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    Call { visitor, fields }: Call,
) -> Answer {
    in_work(&handle, move |app| {
        says(&fields, &["person", "pin", "reason", "position", "key"])?;
        outcome(app, &visitor, &id, signatures::deviate(app, &visitor, &id, &fields)?)
    })
    .await
}

async fn release(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    Call { visitor, fields }: Call,
) -> Answer {
    in_work(&handle, move |app| {
        says(&fields, &["person", "pin", "remark", "position", "key"])?;
        outcome(app, &visitor, &id, signatures::release(app, &visitor, &id, &fields)?)
    })
    .await
}

async fn stop(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    Call { visitor, fields }: Call,
) -> Answer {
    in_work(&handle, move |app| {
        says(&fields, &["reason", "key"])?;
        let input = Input::Stop(fields.get("reason").to_owned());
        outcome(app, &visitor, &id, answers::give(app, &visitor, &id, &fields, &input, None)?)
    })
    .await
}

async fn records(State(handle): State<Handle>, _: call::Caller, Path(id): Path<String>) -> Answer {
    in_work(&handle, move |app| json(StatusCode::OK, &records::exported::rows(&app.journal()?, &id)?)).await
}

async fn verification(State(handle): State<Handle>, _: call::Caller) -> Answer {
    in_work(&handle, move |app| {
        let journal = app.journal()?;
        let fault = match journal.verify()? {
            Verification::Intact { .. } => None,
            Verification::Broken(fault) => Some(fault.to_string()),
        };
        let head = journal.head()?;
        let intact = fault.is_none();
        json(
            StatusCode::OK,
            &value!({ "intact": intact, "fault": fault, "records": head.len, "head": head.hash.to_string() }),
        )
    })
    .await
}
