//! Requests as forms and other programs send them.

use super::{
    Answer, AnswerValue, Beginning, DecisionForm, DecisionSay, Key, Position, Say, from_form, from_json,
};
use crate::fault::Fault;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::collections::BTreeMap;

fn form<T: DeserializeOwned>(fields: &[(&str, &str)]) -> Result<T, String> {
    let fields: BTreeMap<String, String> =
        fields.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    from_form(&fields).map_err(told)
}

fn sent<T: DeserializeOwned>(body: Value) -> Result<T, String> {
    let Value::Object(object) = body else { panic!("an object") };
    from_json(object).map_err(told)
}

fn told(fault: Fault) -> String {
    match fault {
        Fault::Unusable(why) => why,
        other => panic!("{other:?}"),
    }
}

fn key(text: &str) -> Key {
    Key::try_from(text.to_owned()).expect("a key")
}

#[test]
fn a_form_and_json_say_the_same() {
    let fields =
        [("say", "leave-look"), ("value", " on or off "), ("position", "12"), ("key", "k-1"), ("csrf", "x")];
    let body =
        json!({ "say": "leave-look", "value": " on or off ", "position": 12, "key": "k-1", "else": [null] });
    for answer in [form::<Answer>(&fields), sent(body)] {
        let Answer { say, value, number, unit, position, key: its } = answer.expect("an answer");
        assert_eq!(
            (say, value, position, its),
            (Say::LeaveLook, AnswerValue("on or off".into()), Position(12), key("k-1"))
        );
        assert_eq!((number.as_str(), unit.as_str()), ("", ""));
    }
    let fields = [("serial", "OSK-0117"), ("rehearsal", "yes"), ("key", "")];
    let body = json!({ "procedure": "", "serial": "OSK-0117", "rehearsal": true });
    for beginning in [form::<Beginning>(&fields), sent(body)] {
        let Beginning { procedure, serial, rehearsal, training, key } = beginning.expect("a beginning");
        assert_eq!((procedure.as_str(), serial.as_str(), key), ("", "OSK-0117", None));
        assert!(rehearsal && !training);
    }
}

#[test]
fn what_json_leaves_out_is_missing_and_what_a_form_leaves_out_is_empty() {
    assert_eq!(sent::<Answer>(json!({ "position": 1, "key": "k" })).unwrap_err(), "`say` is missing.");
    assert_eq!(sent::<Answer>(json!({ "say": "done", "key": "k" })).unwrap_err(), "`position` is missing.");
    assert_eq!(sent::<Answer>(json!({ "say": "done", "position": 1 })).unwrap_err(), "`key` is missing.");
    assert_eq!(form::<Answer>(&[("say", "done"), ("key", "k")]).unwrap_err(), "The answer says not to what.");
    let keyless = form::<Answer>(&[("say", "done"), ("position", "1")]).unwrap_err();
    assert!(keyless.starts_with("The answer carries no key."), "{keyless}");
    let nothing = form::<Answer>(&[("position", "1"), ("key", "k")]).expect("a walk refuses it");
    assert_eq!(nothing.say, Say::Unknown);
}

#[test]
fn values_of_another_type_are_told_by_their_names() {
    let of_another = |name: &str| format!("`{name}` is of another type than the description says.");
    for (name, value) in [
        ("say", json!(1)),
        ("say", json!(null)),
        ("value", json!([])),
        ("value", json!(null)),
        ("number", json!(7)),
        ("unit", json!({})),
        ("position", json!("1")),
        ("position", json!(true)),
        ("position", json!(null)),
        ("key", json!(1)),
    ] {
        let mut body = json!({ "say": "done", "position": 1, "key": "k" });
        body[name] = value.clone();
        assert_eq!(sent::<Answer>(body).unwrap_err(), of_another(name), "{value}");
    }
    let mut body = json!({ "procedure": "p", "serial": "1", "rehearsal": "yes" });
    assert_eq!(sent::<Beginning>(body.clone()).unwrap_err(), of_another("rehearsal"));
    body["rehearsal"] = json!(false);
    body["key"] = json!(null);
    assert_eq!(sent::<Beginning>(body).unwrap_err(), of_another("key"));
}

/// RFC 8259, 6, leaves it open whether 3 and 3.0 are one number; JSON Schema takes both for whole (both from memory).
#[test]
fn positions_are_whole_and_exact_everywhere() {
    let position = |value: Value| {
        sent::<Answer>(json!({ "say": "done", "position": value, "key": "k" })).map(|answer| answer.position)
    };
    assert_eq!(position(json!(3.0)), Ok(Position(3)));
    assert_eq!(position(json!(9_007_199_254_740_991_u64)), Ok(Position(9_007_199_254_740_991)));
    for not in [json!(9_007_199_254_740_992_u64), json!(-1), json!(1.5), json!(1e300)] {
        assert_eq!(position(not.clone()), Err("The answer says not to what.".to_owned()), "{not}");
    }
    for text in ["", "-1", "1.5", "x", "9007199254740992"] {
        let answer = form::<Answer>(&[("say", "done"), ("position", text), ("key", "k")]);
        assert_eq!(
            answer.map(|answer| answer.position),
            Err("The answer says not to what.".to_owned()),
            "{text}"
        );
    }
}

#[test]
fn a_value_may_be_a_text_a_number_or_a_truth_value() {
    for (value, text) in [
        (json!("4 m"), "4 m"),
        (json!(3), "3"),
        (json!(3.0), "3"),
        (json!(true), "yes"),
        (json!(false), "no"),
    ] {
        let answer = sent::<Answer>(json!({ "say": "fasten", "value": value, "position": 1, "key": "k" }));
        assert_eq!(answer.expect("an answer").value, AnswerValue(text.to_owned()));
    }
}

#[test]
fn keys_are_short_and_plain() {
    for bad in ["", "a b", "ä", "k\n1", &"k".repeat(81)] {
        assert!(Key::try_from(bad.to_owned()).is_err(), "{bad:?}");
    }
    assert_eq!(key(&"k".repeat(80)).as_str().len(), 80);
}

#[test]
fn a_decision_says_what_was_typed_at_steps_and_findings() {
    let fields = [
        ("say", "return"),
        ("walked-by", "Tomas Reeve"),
        ("remark:drain", " too soon "),
        ("accept:W16@drain", "so written"),
        ("accept:W03@", "all of it"),
        ("pin", "402917"),
    ];
    let decision = form::<DecisionForm>(&fields).expect("a decision");
    assert_eq!(decision.say, DecisionSay::Return);
    assert_eq!((decision.walked_by.as_str(), decision.until.as_str()), ("Tomas Reeve", ""));
    assert_eq!((decision.remark("drain"), decision.remark("fill")), ("too soon", ""));
    assert_eq!(
        (decision.accepted("W16", Some("drain")), decision.accepted("W03", None)),
        ("so written", "all of it")
    );
    let shown = serde_json::to_string(&decision).expect("JSON");
    assert!(!shown.contains("402917"), "a PIN is never shown again: {shown}");
    assert_eq!(form::<DecisionForm>(&[("say", "burn")]).expect("read").say, DecisionSay::Unsaid);
}
