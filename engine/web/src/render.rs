//! Pages from templates. Everything is escaped; the cards' prose alone is HTML already.

use crate::fault::{Fault, quoted};
use crate::visitor::Visitor;
use axum::http::StatusCode;
use axum::response::{Html, IntoResponse, Response};
use card::page::Diagram;
use card::prose::Prose;
use minijinja::value::Serde;
use minijinja::{AutoEscape, Environment, UndefinedBehavior, Value, context};
use std::sync::LazyLock;

const TEMPLATES: [(&str, &str); 20] = [
    ("base.html", include_str!("../templates/base.html")),
    ("begin.html", include_str!("../templates/begin.html")),
    ("deviate.html", include_str!("../templates/deviate.html")),
    ("fault.html", include_str!("../templates/fault.html")),
    ("forms.html", include_str!("../templates/forms.html")),
    ("home.html", include_str!("../templates/home.html")),
    ("leaving.html", include_str!("../templates/leaving.html")),
    ("library.html", include_str!("../templates/library.html")),
    ("machines.html", include_str!("../templates/machines.html")),
    ("prompt.html", include_str!("../templates/prompt.html")),
    ("record.html", include_str!("../templates/record.html")),
    ("records.html", include_str!("../templates/records.html")),
    ("review.html", include_str!("../templates/review.html")),
    ("sign-in.html", include_str!("../templates/sign-in.html")),
    ("step.html", include_str!("../templates/step.html")),
    ("stop.html", include_str!("../templates/stop.html")),
    ("tools.html", include_str!("../templates/tools.html")),
    ("unlock.html", include_str!("../templates/unlock.html")),
    ("verify.html", include_str!("../templates/verify.html")),
    ("walk.html", include_str!("../templates/walk.html")),
];

static ENVIRONMENT: LazyLock<Result<Environment<'static>, minijinja::Error>> = LazyLock::new(|| {
    let mut environment = Environment::new();
    environment.set_auto_escape_callback(|_| AutoEscape::Html);
    environment.set_undefined_behavior(UndefinedBehavior::SemiStrict);
    environment.add_function("drawing", |drawing: Serde<Diagram>, key: &str| card::svg_inline(&drawing, key));
    let ticked = |drawing: Serde<Diagram>, key: &str, done: Vec<usize>, next: usize| {
        card::svg_ticked(&drawing, key, &done, next)
    };
    environment.add_function("ticked", ticked);
    environment.add_filter("prose", |prose: Serde<Prose>| Value::from_safe_string(prose.html()));
    environment.add_filter("words", |prose: Serde<Prose>| prose.text());
    environment.add_filter("urlencode", |text: &str| quoted(text));
    for (name, source) in TEMPLATES {
        environment.add_template(name, source)?;
    }
    Ok(environment)
});

fn filled(template: &str, values: Value) -> Result<String, Fault> {
    let environment = ENVIRONMENT.as_ref().map_err(Fault::ours)?;
    Ok(environment.get_template(template)?.render(values)?)
}

/// A page for somebody, or for nobody in particular.
pub(crate) fn page(
    template: &str,
    visitor: Option<&Visitor>,
    lock_ms: i64,
    values: Value,
) -> Result<Response, Fault> {
    page_as(StatusCode::OK, template, visitor, lock_ms, values)
}

/// The same with another status.
pub(crate) fn page_as(
    status: StatusCode,
    template: &str,
    visitor: Option<&Visitor>,
    lock_ms: i64,
    values: Value,
) -> Result<Response, Fault> {
    let frame = context! {
        person => visitor.map(|visitor| visitor.name.as_str()),
        csrf => visitor.map(|visitor| visitor.csrf.as_str()),
        lock_ms => lock_ms,
    };
    Ok((status, Html(filled(template, context! { ..values, ..frame })?)).into_response())
}

/// The page of something that went wrong; plain text if even that cannot be made.
pub(crate) fn fault(title: &str, told: &str) -> Response {
    let values = context! { title, told, person => (), csrf => (), lock_ms => 0 };
    match filled("fault.html", values) {
        Ok(page) => Html(page).into_response(),
        Err(_) => format!("{title}. {told}").into_response(),
    }
}
