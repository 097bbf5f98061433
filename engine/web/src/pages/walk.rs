//! The walk: what is asked, and the answer to it.

use super::machines;
use crate::app::App;
use crate::changed::changed;
use crate::day::clock;
use crate::fault::{Fault, go};
use crate::forms::Post;
use crate::handle::Handle;
use crate::requests::Answer;
use crate::standing::Standing;
use crate::store::{AnswerOutcome, refusal};
use crate::visitor::Visitor;
use crate::{answers, random, render, view};
use axum::extract::{Path, State};
use axum::http::StatusCode;
use axum::response::Response;
use minijinja::context;
use minijinja::value::{Serde, Value};
use records::leaving;
use walk::Refusal;

/// So many events are shown as what went before.
const BEFORE_SHOWN: usize = 3;

/// What is told at the top of the page, if anything.
#[derive(Default)]
pub(crate) struct Notice {
    pub(crate) status: StatusCode,
    pub(crate) refusal: Option<Refusal>,
    pub(crate) elsewhere: bool,
    /// What was typed, to be mended.
    pub(crate) typed: String,
}

impl Notice {
    pub(crate) fn refused(refusal: Refusal) -> Self {
        Self { status: StatusCode::UNPROCESSABLE_ENTITY, refusal: Some(refusal), ..Self::default() }
    }

    pub(crate) fn why(reason: &str, opens: &str) -> Self {
        Self::refused(refusal(reason, opens))
    }

    pub(crate) fn elsewhere() -> Self {
        Self { status: StatusCode::CONFLICT, elsewhere: true, ..Self::default() }
    }
}

pub(crate) async fn show(
    State(handle): State<Handle>,
    visitor: Visitor,
    Path(id): Path<String>,
) -> Result<Response, Fault> {
    handle.run(move |app| page(app, &visitor, &id, Notice::default())).await
}

/// The page of a walk as it stands.
pub(crate) fn page(app: &App, visitor: &Visitor, id: &str, notice: Notice) -> Result<Response, Fault> {
    let standing = Standing::of(app, visitor, id)?;
    let events = walk::events(&app.store().journal, id)?;
    let Standing { walk, judged, footing: _, attends, page } = &standing;
    let attends = *attends;
    let begin = walk.begin();
    let step = view::step(walk, page);
    let prompt = standing.asked(step.as_ref());
    let status = walk.status();
    // The beginning is no answer.
    let before = walk.spoken(&events, events.len().saturating_sub(1).min(BEFORE_SHOWN));
    let is_stopped = walk.stop_reason().is_some() || status == walk::Status::Stopped;
    let leaving = is_stopped.then(|| leaving::next_for(walk, judged.ground.as_ref(), attends, clock(walk)));
    let values = context! {
        id,
        title => walk.procedure().map(|procedure| procedure.title.as_str()),
        procedure => &begin.procedure,
        revision => begin.revision,
        equipment => walk.equipment().map(|equipment| equipment.title.as_str()),
        serial => &begin.serial,
        walker => walk.person(),
        is_walker => walk.person() == visitor.name,
        attends,
        judging => standing.judged.is_under_way(),
        standing => status.words(),
        ended => status.is_ended(),
        training => begin.training,
        rehearsal => begin.rehearsal,
        defer => walk.equipment().and_then(|equipment| equipment.defer.as_deref()),
        changed => changed(app, &records::Basis::new(begin)),
        machine => machines::told_in(app, walk)?,
        heading => view::heading(walk),
        step => Value::from(Serde(&step)),
        total => page.steps.len(),
        round => walk.node().rounds.last(),
        before => before,
        next => step.as_ref().and_then(|step| view::next(page, step)),
        prompt => Value::from(Serde(&prompt)),
        take_back => walk.can_take_back().filter(|_| attends),
        may_deviate => attends && walk.may_deviate(),
        reason => walk.stop_reason(),
        returned => walk.is_returned(),
        releasing_role => app.releasing_role(walk).replace('-', " "),
        leaving_timer => Value::from(Serde(leaving.as_ref().and_then(|next| view::leaving_timer(walk, next)))),
        leaving => Value::from(Serde(&leaving)),
        position => walk.position(),
        key => random::token()?,
        refusal => notice.refusal.as_ref().map(|refusal| refusal.reason.as_str()),
        opens => notice.refusal.as_ref().map(|refusal| refusal.opens.as_str()),
        elsewhere => notice.elsewhere,
        surprise => walk.surprise(),
        found_broken => view::found_broken(walk),
        deviated => walk.not_proved_from_here(),
        no_certificate => walk.carries_none(),
        typed => notice.typed,
    };
    render::page_as(notice.status, "walk.html", Some(visitor), app.lock_ms, values)
}

/// Takes what a form says to a walk and shows its page. `typed` is what is shown again, to be mended.
pub(crate) async fn answered<T: Send + 'static>(
    handle: Handle,
    id: String,
    Post { visitor, request }: Post<T>,
    typed: String,
    give: impl FnOnce(&App, &Visitor, &str, &T) -> Result<AnswerOutcome, Fault> + Send + 'static,
) -> Result<Response, Fault> {
    handle
        .run(move |app| {
            let outcome = give(app, &visitor, &id, &request)?;
            after(app, &visitor, &id, typed, outcome)
        })
        .await
}

/// The walk's page after an answer: the next question, or what was wrong.
pub(crate) fn after(
    app: &App,
    visitor: &Visitor,
    id: &str,
    typed: String,
    outcome: AnswerOutcome,
) -> Result<Response, Fault> {
    match outcome {
        AnswerOutcome::Recorded => Ok(go(&format!("/walks/{id}"))),
        AnswerOutcome::Refused(refusal) => {
            page(app, visitor, id, Notice { typed, ..Notice::refused(refusal) })
        }
        AnswerOutcome::Superseded => page(app, visitor, id, Notice::elsewhere()),
    }
}

pub(crate) async fn submit(
    State(handle): State<Handle>,
    Path(id): Path<String>,
    post: Post<Answer>,
) -> Result<Response, Fault> {
    let typed = post.request.number.clone();
    answered(handle, id, post, typed, answers::answer).await
}
