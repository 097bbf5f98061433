//! The description of the interface, made from the types that read requests and write replies. `UPDATE_SCHEMAS=1` writes
//! `schemas/openapi.json` anew.

use super::DESCRIPTION;
use super::reply::{ListedReply, ProcedureReply, Refused, SignedIn, VerificationReply, WalkReply};
use crate::requests::{Answer, Beginning, Deviation, Release, Signature, SigningIn, Stop};
use records::exported::Exported;
use schemars::generate::SchemaSettings;
use schemars::{JsonSchema, Schema, SchemaGenerator};
use serde_json::{Map, Value, json};

/// A call: its path below `/api`, its method, and what is said and answered.
struct Operation {
    path: &'static str,
    method: &'static str,
    summary: &'static str,
    /// Whether it needs nobody signed in.
    open: bool,
    /// What is named in the query, with what it is.
    query: &'static [(&'static str, &'static str)],
    body: Option<Schema>,
    status: u16,
    answer: &'static str,
    reply: Value,
    /// The statuses of what is not taken, besides 401, 403, and 400 and 413 of whatever has a body.
    refusals: &'static [u16],
}

const FILTER: [(&str, &str); 7] = [
    ("serial", "Serial numbers."),
    ("procedure", "Names of procedures."),
    ("revision", "Revisions."),
    ("person", "People who walked or signed."),
    ("standing", "States."),
    ("from", "First day, 2026-11-02."),
    ("to", "Last day."),
];

/// Nothing, or values of that pattern parted by commas.
fn several(one: &str) -> String {
    format!("^(({one})( *, *({one}))*)?$")
}

/// What requests say and replies hold is described by one generator each: what may be left out in the one is always there in
/// the other.
struct Types {
    requests: SchemaGenerator,
    replies: SchemaGenerator,
}

impl Types {
    fn new() -> Self {
        let settings = || {
            let mut settings = SchemaSettings::draft2020_12();
            settings.definitions_path = "/components/schemas".into();
            settings.meta_schema = None;
            settings
        };
        Self {
            requests: settings().for_deserialize().into_generator(),
            replies: settings().for_serialize().into_generator(),
        }
    }

    fn body<T: JsonSchema>(&mut self) -> Option<Schema> {
        Some(self.requests.subschema_for::<T>())
    }

    fn reply<T: JsonSchema>(&mut self) -> Value {
        self.replies.subschema_for::<T>().into()
    }

    fn definitions(mut self) -> Map<String, Value> {
        let mut all = self.requests.take_definitions(true);
        all.append(&mut self.replies.take_definitions(true));
        all
    }
}

fn get(path: &'static str, summary: &'static str, reply: Value) -> Operation {
    Operation {
        path,
        method: "get",
        summary,
        open: false,
        query: &[],
        body: None,
        status: 200,
        answer: "As described.",
        reply,
        refusals: &[],
    }
}

fn operations(types: &mut Types) -> Vec<Operation> {
    let walk = types.reply::<WalkReply>();
    let change = |path, summary, body| Operation {
        method: "post",
        body,
        answer: "The walk as it stands now.",
        refusals: &[404, 409, 422],
        ..get(path, summary, walk.clone())
    };
    vec![
        Operation {
            open: true,
            answer: "This description.",
            ..get("/openapi.json", "This description.", json!({ "type": "object" }))
        },
        Operation {
            method: "post",
            open: true,
            body: types.body::<SigningIn>(),
            answer: "Who is signed in, and the token.",
            refusals: &[401, 429],
            ..get("/sign-in", "Sign in; the cookie is set.", types.reply::<SignedIn>())
        },
        get("/procedures", "The procedures.", types.reply::<Vec<ProcedureReply>>()),
        Operation {
            query: &FILTER,
            refusals: &[400],
            ..get(
                "/walks",
                "Walks, the newest first; before them those that are damaged, whatever is wanted. Every filter that is given \
                 must fit; several values are parted by commas.",
                types.reply::<Vec<ListedReply>>(),
            )
        },
        Operation {
            status: 201,
            answer: "The walk.",
            reply: walk.clone(),
            refusals: &[404, 409, 422],
            ..change("/walks", "Begin a walk.", types.body::<Beginning>())
        },
        Operation { refusals: &[404], ..get("/walks/{walk}", "A walk as it stands.", walk.clone()) },
        change("/walks/{walk}/answers", "Answer what is asked.", types.body::<Answer>()),
        change("/walks/{walk}/signatures", "A second person signs what is due.", types.body::<Signature>()),
        change("/walks/{walk}/deviations", "Do the act otherwise than written.", types.body::<Deviation>()),
        change("/walks/{walk}/stop", "Stop work.", types.body::<Stop>()),
        change("/walks/{walk}/release", "Release the machine after a stop.", types.body::<Release>()),
        Operation {
            refusals: &[404],
            ..get("/walks/{walk}/records", "The records of a walk, in order.", types.reply::<Vec<Exported>>())
        },
        get("/verification", "Whether the records hold together.", types.reply::<VerificationReply>()),
    ]
}

/// What is described of a call.
fn described(operation: &Operation, refused: &Value) -> Value {
    let Operation { path, method, summary, open, query, body, status, answer, reply, refusals } = operation;
    let mut statuses: Vec<u16> = [&[403][..], refusals].concat();
    if !open {
        statuses.push(401);
    }
    if body.is_some() {
        statuses.extend([400, 413]);
    }
    statuses.sort_unstable();
    statuses.dedup();
    let content = |schema: &Value| json!({ "application/json": { "schema": schema } });
    let mut responses = Map::new();
    responses.insert(status.to_string(), json!({ "description": answer, "content": content(reply) }));
    for status in statuses {
        let why = "Not taken: the reason, and what would help.";
        responses.insert(status.to_string(), json!({ "description": why, "content": content(refused) }));
    }
    let parameter = |name: &str, place: &str, required: bool, what: &str| {
        let schema = json!({ "type": "string" });
        json!({ "name": name, "in": place, "required": required, "schema": schema, "description": what })
    };
    let mut parameters = Vec::new();
    if path.contains("{walk}") {
        parameters.push(parameter("walk", "path", true, "The walk's name."));
    }
    if *method == "post" && !open {
        parameters.push(parameter("x-csrf-token", "header", true, "The token that signing in gave."));
    }
    for (name, what) in *query {
        let mut named = parameter(name, "query", false, what);
        // A form sends an empty one where none is meant.
        match *name {
            "from" | "to" => {
                named["schema"] = json!({ "anyOf": [{ "type": "string", "format": "date" }, { "type": "string", "maxLength": 0 }] });
            }
            "revision" => named["schema"]["pattern"] = several("[1-9][0-9]{0,8}").into(),
            "standing" => named["schema"]["pattern"] = several(&records::STATUSES.join("|")).into(),
            _ => (),
        }
        parameters.push(named);
    }
    let mut described = Map::new();
    described.insert("summary".to_owned(), json!(summary));
    if *open {
        described.insert("security".to_owned(), json!([]));
    }
    described.insert("parameters".to_owned(), json!(parameters));
    if let Some(body) = body {
        let body = json!({ "required": true, "content": content(&json!(body)) });
        described.insert("requestBody".to_owned(), body);
    }
    described.insert("responses".to_owned(), responses.into());
    described.into()
}

fn generated() -> String {
    let mut types = Types::new();
    let refused = types.reply::<Refused>();
    let mut paths: Map<String, Value> = Map::new();
    for operation in operations(&mut types) {
        let methods = paths.entry(operation.path).or_insert_with(|| json!({}));
        methods[operation.method] = described(&operation, &refused);
    }
    let about = "Walks and records for other programs, under the same rules as the pages. Sign in first: the cookie says who \
                 calls, and every call that changes something carries the token that signing in gave, in the header \
                 `x-csrf-token`.";
    let description = json!({
        "openapi": "3.1.0",
        "info": { "title": "Gatewright", "version": env!("CARGO_PKG_VERSION"), "description": about },
        "servers": [{ "url": "/api" }],
        "security": [{ "visit": [] }],
        "paths": paths,
        "components": {
            "securitySchemes": { "visit": { "type": "apiKey", "in": "cookie", "name": crate::visitor::COOKIE } },
            "schemas": types.definitions(),
        },
    });
    serde_json::to_string_pretty(&description).expect("JSON") + "\n"
}

#[test]
#[expect(clippy::disallowed_methods, reason = "the test updates a committed file")]
fn the_committed_description_is_current() {
    let generated = generated();
    if std::env::var_os("UPDATE_SCHEMAS").is_some() {
        let path = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("../../schemas/openapi.json");
        std::fs::write(path, generated).expect("the description is written");
    } else {
        assert!(
            generated == DESCRIPTION,
            "openapi.json is not current: run the test again with UPDATE_SCHEMAS=1"
        );
    }
}

/// Every call that the router knows is described, and no other.
#[test]
fn what_is_routed_is_described() {
    let source = include_str!("mod.rs");
    let mut routed = Vec::new();
    for route in source.split(".route(\"").skip(1) {
        let (path, handlers) = route.split_once('"').expect("a path");
        let handlers = handlers.split(['\n']).next().expect("a line");
        for (method, called) in [("get", "get("), ("post", "post(")] {
            if handlers.contains(called) {
                routed.push(format!("{method} {path}"));
            }
        }
    }
    let mut described: Vec<String> = operations(&mut Types::new())
        .iter()
        .map(|operation| format!("{} {}", operation.method, operation.path))
        .collect();
    routed.sort_unstable();
    described.sort_unstable();
    assert_eq!(routed, described);
}
