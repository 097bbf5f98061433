//! A technician at the JSON interface who answers whatever is asked, each answer with a key of its own.

use super::device::{Device, Reply, raw};
use super::server::{PEOPLE, Server};
use serde_json::{Value, json};

/// Figures that the bundled procedures accept, by what is measured.
const READINGS: [(&str, &str); 5] = [
    ("bond strip", "1 ohm"),
    ("grip of the wand", "0.5 Mohm"),
    ("voltage", "25.8 V"),
    ("gap", "18 mm"),
    ("label", "50000 mg/L"),
];

/// An answer: the path below the walk's, and what is said.
pub(crate) type Say = (&'static str, Value);

/// What a willing technician answers to a walk as it stands; nothing at its end. The position is filled in.
pub(crate) fn willing(walk: &Value) -> Option<Say> {
    let prompt = &walk["prompt"];
    let kind = prompt["is"].as_str().expect("a kind");
    let said = |say: &str, value: &Value| {
        Some(("answers", json!({ "say": say, "value": value, "position": walk["position"] })))
    };
    if kind == "ended" {
        return None;
    }
    if walk["attends"] == json!(false) {
        return said("resume", &json!(""));
    }
    match kind {
        "variant" => said("variant", &prompt["values"][0]),
        "look" => said("look", &json!(true)),
        // Nothing was begun or changed while nobody was there.
        "as-left" if prompt["question"].as_str().is_some_and(|question| question.contains("begun")) => {
            said("look", &json!("no"))
        }
        "as-left" => said("look", &json!("yes")),
        "act" => said("done", &json!("")),
        "fasten" => said("fasten", &prompt["next"]),
        "answer" => said("answer", &prompt["answers"][0]),
        "item" => said("item", &prompt["items"][0]["path"]),
        "wait" if prompt["timer"]["over"] == json!(true) => said("look", &json!("yes")),
        "wait" | "settle" => said("timer", &json!("jump")),
        "reading" => {
            let what = prompt["what"].as_str().expect("a text");
            let (_, figure) =
                READINGS.iter().find(|(words, _)| what.contains(words)).expect("a known reading");
            let (_, mut answer) = said("reading", &json!("")).expect("an answer");
            answer["number"] = json!(figure);
            Some(("answers", answer))
        }
        "sign" => {
            let (name, pin, _) = PEOPLE[1];
            Some(("signatures", json!({ "person": name, "pin": pin, "position": walk["position"] })))
        }
        other => panic!("nothing answers {other}"),
    }
}

/// A device that calls, with the token of its sign-in.
#[derive(Clone)]
pub(crate) struct Walker {
    pub(crate) device: Device,
    pub(crate) csrf: String,
}

impl Walker {
    pub(crate) fn signed_in(server: &Server, name: &str) -> Self {
        let mut walker = Self { device: Device::new(server), csrf: String::new() };
        let pin = PEOPLE.iter().find(|(known, ..)| *known == name).expect("a person").1;
        let (status, value) =
            walker.call("POST", "/sign-in", &json!({ "name": name, "pin": pin })).expect("an answer");
        assert_eq!(status, 200, "{value}");
        value["csrf"].as_str().expect("a token").clone_into(&mut walker.csrf);
        walker
    }

    /// Sends a call; nothing if the server is gone before it answered.
    pub(crate) fn call(&mut self, method: &str, path: &str, body: &Value) -> Option<(u16, Value)> {
        let more = format!("Content-Type: application/json\r\nX-CSRF-Token: {}\r\n", self.csrf);
        let text = if body.is_null() { String::new() } else { body.to_string() };
        let bytes = self.device.request(method, &format!("/api{path}"), &more, &text);
        let reply: Reply = raw(&self.device.address, &bytes)?;
        if let Some(cookie) = reply.header("set-cookie") {
            let pair = cookie.split(';').next().and_then(|pair| pair.split_once('='));
            self.device.cookies.extend(pair.map(|(name, value)| (name.to_owned(), value.to_owned())));
        }
        // What came is cut off where the server was killed while it answered: it had answered all the same.
        Some((reply.status, serde_json::from_str(&reply.body).unwrap_or_default()))
    }

    pub(crate) fn get(&mut self, path: &str) -> Option<(u16, Value)> {
        self.call("GET", path, &Value::Null)
    }

    /// Begins a rehearsal.
    pub(crate) fn begin(&mut self, procedure: &str) -> Option<(u16, Value)> {
        let body = json!({ "procedure": procedure, "serial": "OSK-0117", "rehearsal": true });
        self.call("POST", "/walks", &body)
    }
}
