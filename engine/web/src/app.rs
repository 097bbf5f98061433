//! What all requests share, and which path leads where.

use crate::day::now_ms;
use crate::document_store::{DocumentStore, Documents};
use crate::fault::Fault;
use crate::guesses::Guesses;
use crate::review_service::ReviewService;
use crate::sign_ins::SignIns;
use crate::store::Store;
use crate::{api, guard, pages};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware;
use axum::response::Response;
use axum::routing::{get, post};
use document::Date;
use document::model::Name;
use records::day_of;
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use walk::Walk;

/// What all requests share.
pub(crate) struct App {
    pub(crate) documents: Arc<DocumentStore>,
    /// What stands beside the procedures.
    pub(crate) reviews: Box<dyn ReviewService>,
    /// Names by which this program may be reached, besides addresses and `localhost`.
    pub(crate) hosts: Vec<String>,
    /// After so many milliseconds without use a sign-in locks.
    pub(crate) lock_ms: i64,
    /// The role that allows deviations and releases machines after a stop, where the equipment names none.
    releasing_role: String,
    /// Takes a line for whoever runs the program. No PIN, token or form goes there.
    pub(crate) log: Box<dyn Fn(&str) + Send + Sync>,
    store: Mutex<Store>,
    sign_ins: Mutex<SignIns>,
    guesses: Mutex<Guesses>,
}

/// A lock that a panic elsewhere left behind is taken all the same: what it guards is on disk or can be asked again.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl App {
    pub(crate) fn new(
        documents: Arc<DocumentStore>,
        store: Store,
        options: crate::serve::Options,
        reviews: Box<dyn ReviewService>,
        log: Box<dyn Fn(&str) + Send + Sync>,
    ) -> Self {
        let lock_ms = i64::from(options.lock_minutes).saturating_mul(60_000);
        Self {
            documents,
            reviews,
            hosts: options.hosts,
            lock_ms,
            releasing_role: options.releasing_role,
            log,
            store: Mutex::new(store),
            sign_ins: Mutex::new(SignIns::new(lock_ms)),
            guesses: Mutex::default(),
        }
    }

    /// The documents in force now. A request that asks once goes by the same to its end.
    pub(crate) fn documents(&self) -> Arc<Documents> {
        self.documents.current()
    }

    /// How a procedure stands today.
    pub(crate) fn standing(&self, documents: &Documents, procedure: &str) -> Result<review::Standing, Fault> {
        self.reviews.standing(documents.library(), procedure).map_err(Fault::Ours)
    }

    /// The people of the site where a walk's documents stand.
    pub(crate) fn people(&self, walk: &Walk) -> Result<Option<review::People>, Fault> {
        self.reviews.people(walk.library(), &walk.begin().procedure).map_err(Fault::Ours)
    }

    /// Why a person may not walk a procedure for good today; nothing if they hold the role of one of its performers, by the
    /// file of people or, where there is none, by the credential store.
    pub(crate) fn may_not_walk<'a>(
        &self,
        people: Option<&review::People>,
        performers: impl IntoIterator<Item = &'a Name>,
        name: &str,
    ) -> Result<Option<String>, Fault> {
        let today = day_of(now_ms());
        if let Some(people) = people {
            let on = Date::parse(&today).map_err(Fault::ours)?;
            return Ok(people.may_not_walk(name, performers, &on));
        }
        let person = self.store().credentials.person(name)?.ok_or(Fault::NotThere)?;
        let refused = performers.into_iter().map(|role| person.lacks(role, &today));
        Ok(refused.collect::<Option<Vec<String>>>().and_then(|all| all.into_iter().next()))
    }

    /// The role that allows deviations and releases the machine, as the walk's equipment has it.
    pub(crate) fn releasing_role(&self, walk: &Walk) -> String {
        let named = walk.equipment().and_then(|equipment| equipment.release.as_ref());
        named.map_or_else(|| self.releasing_role.clone(), ToString::to_string)
    }

    pub(crate) fn store(&self) -> MutexGuard<'_, Store> {
        locked(&self.store)
    }

    pub(crate) fn sign_ins(&self) -> MutexGuard<'_, SignIns> {
        locked(&self.sign_ins)
    }

    pub(crate) fn guesses(&self) -> MutexGuard<'_, Guesses> {
        locked(&self.guesses)
    }
}

/// Does work that waits for the disk or takes long, away from the thread that listens.
pub(crate) async fn work(
    app: &Arc<App>,
    job: impl FnOnce(&App) -> Result<Response, Fault> + Send + 'static,
) -> Result<Response, Fault> {
    let app = Arc::clone(app);
    match tokio::task::spawn_blocking(move || job(&app)).await {
        Ok(response) => response,
        Err(error) => Err(Fault::ours(error)),
    }
}

/// Every path.
pub(crate) fn router(app: Arc<App>) -> Router {
    Router::new()
        .route("/", get(pages::home::show))
        .route("/sign-in", get(pages::sign_in::show).post(pages::sign_in::submit))
        .route("/unlock", get(pages::unlock::show).post(pages::unlock::submit))
        .route("/lock", post(pages::unlock::lock))
        .route("/sign-out", post(pages::sign_in::end))
        .route("/begin/{procedure}", get(pages::begin::show).post(pages::begin::submit))
        .route("/walks/{walk}", get(pages::walk::show).post(pages::walk::submit))
        .route("/walks/{walk}/sign", post(pages::sign::submit))
        .route("/walks/{walk}/deviate", get(pages::deviate::show).post(pages::deviate::submit))
        .route("/walks/{walk}/stop", get(pages::stop::show).post(pages::stop::submit))
        .route("/walks/{walk}/photo", post(pages::photo::submit).layer(pages::photo::limit()))
        .route("/photos/{hash}", get(pages::photo::show))
        .route("/machines", get(pages::machines::show))
        .route("/machines.ics", get(pages::machines::calendar))
        .route("/library", get(pages::library::show))
        .route("/review/{procedure}", get(pages::review::show).post(pages::review::submit))
        .route("/review/{procedure}/card", get(pages::review::card))
        .route("/review/{procedure}/paper.pdf", get(pages::review::paper))
        .route("/records", get(pages::records::show))
        .route("/records.json", get(pages::export::all_json))
        .route("/records.csv", get(pages::export::all_csv))
        .route("/records/{walk}", get(pages::record::show))
        .route("/records/{walk}/record.pdf", get(pages::record::paper))
        .route("/records/{walk}/export.json", get(pages::export::json))
        .route("/records/{walk}/export.csv", get(pages::export::csv))
        .route("/verify", get(pages::verify::show))
        .route("/assets/{name}", get(pages::assets::show))
        .nest("/api", api::router())
        .fallback(pages::not_there)
        .layer(DefaultBodyLimit::max(guard::BODY_BYTES_MAX))
        .layer(middleware::from_fn_with_state(Arc::clone(&app), guard::guard))
        .with_state(app)
}
