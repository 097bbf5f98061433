//! A procedure as the safety officer looks at it, and what they decide.

use crate::app::App;
use crate::document_store::Documents;
use crate::fault::Fault;
use crate::forms::Post;
use crate::handle::Handle;
use crate::pin_check::{PinCheck, check_pin};
use crate::render;
use crate::requests::{DecisionForm, DecisionSay};
use crate::review_service::{DecisionOutcome, DecisionRights, ReviewForms, ReviewView};
use crate::visitor::Visitor;
use axum::body::Body;
use axum::extract::{Path, State};
use axum::http::{HeaderValue, StatusCode, header};
use axum::response::{Html, IntoResponse, Response};
use document::Day;
use document::model::Name;
use minijinja::context;
use minijinja::value::{Serde, Value};
use review::{Accepted, Decision, Officer, Remark, Walkthrough, step_names};

/// A card brings its own style and needs nothing else.
const CARD_POLICY: &str = "default-src 'none'; style-src 'unsafe-inline'; form-action 'none'; base-uri 'none'; \
     frame-ancestors 'none'";

/// What is told above the page.
#[derive(Default)]
struct DecisionNotice {
    done: String,
    refused: Vec<String>,
}

fn page(
    app: &App,
    documents: &Documents,
    visitor: &Visitor,
    name: &Name,
    notice: &DecisionNotice,
    form: &DecisionForm,
) -> Result<Response, Fault> {
    let document = documents.library().procedures.get(name).ok_or(Fault::NotThere)?;
    let looked = app
        .reviews
        .look(documents.report(), name, documents.today(), ReviewForms::Sheet)
        .map_err(Fault::Unusable)?;
    let may = app
        .reviews
        .may(documents.report(), name, documents.today(), &visitor.name)
        .map_err(Fault::Unusable)?;
    let steps = step_names(&document.model).into_iter().map(|step| {
        context! { id => step, remark => form.remark(step) }
    });
    let open = may.open.iter().map(|(code, step, message)| {
        let step = step.as_ref().map(|step| &**step);
        let key = DecisionForm::accept_name(code, step);
        context! { code, step, message, reason => form.accepted(code, step), key }
    });
    let refused = !notice.refused.is_empty();
    let values = context! {
        name => &**name,
        title => &document.model.title,
        content => documents.content(name),
        body => card::sheet::fragment(&looked.sheet)?,
        sound => documents.not_proved(name).is_none(),
        role => may.role.as_ref().ok().map(|role| role.words()),
        barred => may.role.as_ref().err(),
        withdrawable => may.withdrawable,
        people => &may.people,
        steps => steps.collect::<Vec<_>>(),
        open => open.collect::<Vec<_>>(),
        done => &notice.done,
        refusals => &notice.refused,
        typed => Value::from(Serde(form)),
    };
    let status = if refused { StatusCode::UNPROCESSABLE_ENTITY } else { StatusCode::OK };
    render::page_as(status, "review.html", Some(visitor), app.lock_ms, values)
}

pub(crate) async fn show(
    State(handle): State<Handle>,
    visitor: Visitor,
    Path(name): Path<String>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let name = Name::from(name.as_str());
            page(app, &app.documents(), &visitor, &name, &DecisionNotice::default(), &DecisionForm::default())
        })
        .await
}

fn look(app: &App, name: &str, forms: ReviewForms) -> Result<ReviewView, Fault> {
    let documents = app.documents();
    let (name, _) = documents.library().procedures.get_key_value(name).ok_or(Fault::NotThere)?;
    app.reviews.look(documents.report(), name, documents.today(), forms).map_err(Fault::Unusable)
}

/// The card as it prints.
pub(crate) async fn card(
    State(handle): State<Handle>,
    _: Visitor,
    Path(name): Path<String>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let looked = look(app, &name, ReviewForms::Card)?;
            let mut response = Html(looked.card.ok_or(Fault::NotThere)?).into_response();
            let policy = HeaderValue::from_static(CARD_POLICY);
            response.headers_mut().insert(header::CONTENT_SECURITY_POLICY, policy);
            Ok(response)
        })
        .await
}

/// The whole page with the card, on paper.
pub(crate) async fn paper(
    State(handle): State<Handle>,
    _: Visitor,
    Path(name): Path<String>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let looked = look(app, &name, ReviewForms::Paper)?;
            let bytes = looked.paper.ok_or(Fault::NotThere)?;
            Ok(([(header::CONTENT_TYPE, "application/pdf")], Body::from(bytes)).into_response())
        })
        .await
}

pub(crate) async fn submit(
    State(handle): State<Handle>,
    Path(name): Path<String>,
    Post { visitor, request }: Post<DecisionForm>,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let documents = app.documents();
            let name = Name::from(name.as_str());
            if !documents.library().procedures.contains_key(&name) {
                return Err(Fault::NotThere);
            }
            let notice = match decided(app, &documents, &visitor, &name, &request)? {
                DecisionOutcome::Written(done) => {
                    let notice = DecisionNotice { done, ..DecisionNotice::default() };
                    return page(app, &documents, &visitor, &name, &notice, &DecisionForm::default());
                }
                DecisionOutcome::Refused(refused) => DecisionNotice { refused, ..DecisionNotice::default() },
            };
            page(app, &documents, &visitor, &name, &notice, &request)
        })
        .await
}

/// Decides what a form says, or says why not.
fn decided(
    app: &App,
    documents: &Documents,
    visitor: &Visitor,
    name: &Name,
    form: &DecisionForm,
) -> Result<DecisionOutcome, Fault> {
    let refused = |why: String| Ok(DecisionOutcome::Refused(vec![why]));
    let may = app
        .reviews
        .may(documents.report(), name, documents.today(), &visitor.name)
        .map_err(Fault::Unusable)?;
    let role = match &may.role {
        Ok(role) => role.clone(),
        Err(why) => return Err(Fault::Forbidden(format!("You cannot decide here: {why}."))),
    };
    // Whoever decides has seen what is decided.
    if documents.content(name) != Some(form.content.as_str()) {
        return refused("the procedure was changed after this page was opened: look at it again".to_owned());
    }
    match check_pin(app, &visitor.name, &form.pin, visitor.from)? {
        PinCheck::Right => {}
        PinCheck::Wrong => return refused("that is not your PIN".to_owned()),
        PinCheck::Wait(seconds) => {
            return refused(format!("too many PINs were wrong; try again in {seconds} s"));
        }
    }
    let decision = match decision(documents, name, &may, form) {
        Ok(decision) => decision,
        Err(why) => return refused(why),
    };
    let officer = Officer { by: visitor.name.clone(), role, date: documents.today() };
    app.reviews.decide(documents.report(), name, &officer, decision).map_err(Fault::Ours)
}

fn decision(
    documents: &Documents,
    name: &Name,
    may: &DecisionRights,
    form: &DecisionForm,
) -> Result<Decision, String> {
    let day = |day: &str, what: &str| Day::parse(day).map_err(|error| format!("{what}: {error}"));
    let reason = || form.reason.clone();
    match form.say {
        DecisionSay::Approve => {
            let walkthrough = match (form.walked_by.as_str(), form.walked_at.as_str()) {
                ("", "") => None,
                ("", _) | (_, "") => {
                    return Err("a walkthrough says who, when and where; or leave all three empty".to_owned());
                }
                (by, place) => Some(Walkthrough {
                    by: by.to_owned(),
                    date: day(&form.walked_on, "the day of the walkthrough")?,
                    place: place.to_owned(),
                }),
            };
            let accepted = may.open.iter().filter_map(|(code, step, _)| {
                let reason = form.accepted(code, step.as_ref().map(|step| &**step));
                let accepted = Accepted { code: code.clone(), step: step.clone(), reason: reason.to_owned() };
                (!reason.is_empty()).then_some(accepted)
            });
            let accepted = accepted.collect();
            Ok(Decision::Approve { until: day(&form.until, "the last day")?, walkthrough, accepted })
        }
        DecisionSay::Return => {
            let model = documents.library().procedures.get(name).map(|document| &document.model);
            let steps = model.map(step_names).unwrap_or_default();
            let remarks = steps.into_iter().filter_map(|step| {
                let text = form.remark(step);
                (!text.is_empty()).then(|| Remark { step: Name::from(step), text: text.to_owned() })
            });
            Ok(Decision::Return { remarks: remarks.collect(), reason: reason() })
        }
        DecisionSay::Withdraw => Ok(Decision::Withdraw { reason: reason() }),
        DecisionSay::Unsaid => Err("the form does not say what is decided".to_owned()),
    }
}
