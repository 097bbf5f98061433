//! Which path leads where.

use crate::handle::Handle;
use crate::{api, guard, pages};
use axum::Router;
use axum::extract::DefaultBodyLimit;
use axum::middleware;
use axum::routing::{get, post};

/// Every path.
pub(crate) fn router(handle: Handle) -> Router {
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
        .layer(middleware::from_fn_with_state(handle.clone(), guard::guard))
        .with_state(handle)
}
