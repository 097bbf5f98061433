//! The JSON interface: what it answers is what its description says.

use super::device::{Device, Reply};
use super::server::{PEOPLE, SMALL, Server};
use super::walker::willing;
use crate::walks::root;
use serde_json::{Value, json};

struct Caller {
    device: Device,
    csrf: String,
    description: Value,
    seen: std::collections::BTreeSet<String>,
}

impl Caller {
    fn new(server: &Server) -> Self {
        let text = std::fs::read_to_string(root().join("schemas/openapi.json")).expect("the description");
        let description = serde_json::from_str(&text).expect("JSON");
        Self { device: Device::new(server), csrf: String::new(), description, seen: [].into() }
    }

    /// Sends a call; the reply must be one of those described for it.
    fn call(&mut self, method: &str, path: &str, template: &str, body: Option<&Value>) -> (u16, Value) {
        let more = format!("Content-Type: application/json\r\nX-CSRF-Token: {}\r\n", self.csrf);
        let text = body.map(Value::to_string).unwrap_or_default();
        let bytes = self.device.request(method, &format!("/api{path}"), &more, &text);
        let reply: Reply = self.device.send(&bytes);
        let value: Value =
            serde_json::from_str(&reply.body).unwrap_or_else(|_| panic!("{path}: {}", reply.body));
        let operation = &self.description["paths"][template][method.to_lowercase()];
        let schema =
            &operation["responses"][reply.status.to_string()]["content"]["application/json"]["schema"];
        assert!(schema.is_object(), "{method} {path}: {} is not described: {value}", reply.status);
        // The description itself holds whatever a description does; any other reply nothing that is not described.
        let open = template == "/openapi.json";
        let whole = json!({
            "allOf": [schema],
            "unevaluatedProperties": open,
            "components": self.description["components"],
        });
        let validator = jsonschema::draft202012::new(&whole).expect("a schema");
        let faults: Vec<String> = validator.iter_errors(&value).map(|fault| fault.to_string()).collect();
        assert!(faults.is_empty(), "{method} {path}: {faults:?}: {value}");
        self.seen.insert(format!("{} {template}", method.to_lowercase()));
        (reply.status, value)
    }

    fn get(&mut self, path: &str, template: &str) -> (u16, Value) {
        self.call("GET", path, template, None)
    }

    fn post(&mut self, path: &str, template: &str, body: &Value) -> (u16, Value) {
        self.call("POST", path, template, Some(body))
    }

    fn sign_in(&mut self, name: &str) {
        let pin = PEOPLE.iter().find(|(known, ..)| *known == name).expect("a person").1;
        let (status, value) = self.post("/sign-in", "/sign-in", &json!({ "name": name, "pin": pin }));
        assert_eq!(status, 200);
        value["csrf"].as_str().expect("a token").clone_into(&mut self.csrf);
    }
}

#[test]
fn a_walk_is_walked_by_another_program_as_described() {
    let server = Server::start(&SMALL);
    let mut caller = Caller::new(&server);
    assert_eq!(caller.get("/walks", "/walks").0, 401);
    assert_eq!(caller.get("/openapi.json", "/openapi.json").1, caller.description);
    let wrong = json!({ "name": "Tomas Reeve", "pin": "000000" });
    assert_eq!(caller.post("/sign-in", "/sign-in", &wrong).0, 401);
    assert_eq!(caller.post("/sign-in", "/sign-in", &json!({ "name": [] })).0, 400);
    caller.sign_in("Tomas Reeve");
    assert_eq!(caller.get("/procedures", "/procedures").1[0]["name"], "strainer-clean");
    let begin = json!({ "procedure": "strainer-clean", "serial": "OSK-0117", "rehearsal": true });
    let token = std::mem::take(&mut caller.csrf);
    assert_eq!(caller.post("/walks", "/walks", &begin).0, 403, "a call without the token");
    caller.csrf = token;
    assert_eq!(caller.post("/walks", "/walks", &json!({ "procedure": "none", "serial": "1" })).0, 404);
    assert_eq!(
        caller.post("/walks", "/walks", &json!({ "procedure": "strainer-clean", "serial": "" })).0,
        422
    );
    let (status, mut walk) = caller.post("/walks", "/walks", &begin);
    assert_eq!(status, 201);
    let path = format!("/walks/{}", walk["id"].as_str().expect("a name"));
    let answers = format!("{path}/answers");
    for number in 0..200 {
        let Some((below, mut answer)) = willing(&walk) else { break };
        assert_eq!(below, "answers");
        answer["key"] = json!(format!("k-{number}"));
        let (status, next) = caller.post(&answers, "/walks/{walk}/answers", &answer);
        assert_eq!(status, 200, "{answer}: {next}");
        if number == 3 {
            assert_eq!(
                caller.post(&answers, "/walks/{walk}/answers", &answer).1["position"],
                next["position"]
            );
            let late = json!({ "say": answer["say"], "value": answer["value"], "position": walk["position"], "key": "another" });
            assert_eq!(caller.post(&answers, "/walks/{walk}/answers", &late).0, 409);
            let sign =
                json!({ "person": "Anneke Voss", "pin": "518263", "position": next["position"], "key": "s" });
            assert_eq!(caller.post(&format!("{path}/signatures"), "/walks/{walk}/signatures", &sign).0, 422);
        }
        walk = next;
    }
    assert_eq!(walk["standing"], "completed");
    assert_eq!(caller.get(&path, "/walks/{walk}").1["ended"], true);
    assert_eq!(caller.get("/walks/none", "/walks/{walk}").0, 404);
    let records = caller.get(&format!("{path}/records"), "/walks/{walk}/records").1;
    assert_eq!(records[0]["event"], "begin");
    let list = caller.get("/walks?serial=OSK-0117,OSK-0118&revision=1", "/walks").1;
    assert_eq!(list.as_array().map(Vec::len), Some(1));
    assert_eq!(caller.get("/walks?revision=3", "/walks").1, json!([]));
    assert_eq!(caller.get("/verification", "/verification").1["intact"], true);

    // A second walk is stopped, left and released.
    let (_, walk) = caller.post("/walks", "/walks", &begin);
    let path = format!("/walks/{}", walk["id"].as_str().expect("a name"));
    let mut deviate = json!({ "reason": "x", "person": "Gwen Adeyi", "pin": "730194", "key": "d" });
    deviate["position"] = walk["position"].clone();
    assert_eq!(caller.post(&format!("{path}/deviations"), "/walks/{walk}/deviations", &deviate).0, 422);
    let stop = json!({ "reason": "The bowl is cracked.", "key": "stop" });
    let (_, stopped) = caller.post(&format!("{path}/stop"), "/walks/{walk}/stop", &stop);
    assert_eq!(stopped["standing"], "stopped");
    let mut release =
        json!({ "remark": "A new bowl.", "person": "Anneke Voss", "pin": "518263", "key": "r" });
    release["position"] = stopped["position"].clone();
    assert_eq!(caller.post(&format!("{path}/release"), "/walks/{walk}/release", &release).0, 422);
    release["person"] = json!("Gwen Adeyi");
    release["pin"] = json!("730194");
    assert_eq!(
        caller.post(&format!("{path}/release"), "/walks/{walk}/release", &release).1["returned"],
        true
    );

    // Every call that is described was made.
    let paths = caller.description["paths"].as_object().expect("paths");
    for (path, methods) in paths {
        for method in methods.as_object().expect("methods").keys() {
            assert!(caller.seen.contains(&format!("{method} {path}")), "{method} {path} was not called");
        }
    }
}
