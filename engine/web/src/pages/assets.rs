//! The style sheet, the script and the icon.

use crate::fault::Fault;
use axum::extract::Path;
use axum::http::header;
use axum::response::{IntoResponse, Response};

const ASSETS: [(&str, &str, &str); 3] = [
    ("style.css", "text/css; charset=utf-8", include_str!("../../assets/style.css")),
    ("page.js", "text/javascript; charset=utf-8", include_str!("../../assets/page.js")),
    ("icon.svg", "image/svg+xml", include_str!("../../assets/icon.svg")),
];

pub(crate) async fn show(Path(name): Path<String>) -> Result<Response, Fault> {
    let asset = ASSETS.iter().find(|(known, ..)| *known == name);
    let (_, media, text) = asset.ok_or(Fault::NotThere)?;
    // Asked for again after every start: a new program must not be seen through an old style sheet.
    Ok(([(header::CONTENT_TYPE, *media), (header::CACHE_CONTROL, "no-cache")], *text).into_response())
}
