//! Requests as forms and other programs send them.

use super::{
    Answer, AnswerValue, Beginning, DecisionForm, DecisionSay, Key, Position, Say, Stop, fields, from_form,
    from_json, from_query,
};
use crate::fault::Fault;
use records::Filter;
use serde::de::DeserializeOwned;
use serde_json::{Value, json};
use std::collections::BTreeMap;

fn form<T: DeserializeOwned>(fields: &[(&str, &str)]) -> Result<T, String> {
    let fields: BTreeMap<String, String> =
        fields.iter().map(|(name, text)| ((*name).to_owned(), (*text).to_owned())).collect();
    from_form(&fields).map_err(told)
}

fn sent<T: DeserializeOwned>(body: Value) -> Result<T, String> {
    written(&body.to_string())
}

fn written<T: DeserializeOwned>(body: &str) -> Result<T, String> {
    from_json(serde_json::from_str(body).expect("an object")).map_err(told)
}

/// A form as a browser encodes it.
fn encoded<T: DeserializeOwned>(form: &[u8]) -> Result<T, String> {
    fields(form).and_then(|fields| from_form(&fields)).map_err(told)
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
    let body = json!({ "say": "leave-look", "value": " on or off ", "position": 12, "key": "k-1" });
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

const NO_POSITION: &str = "`position` is not a whole number from 0 to 9007199254740991.";

#[test]
fn what_json_leaves_out_is_missing_and_what_a_form_leaves_out_is_empty() {
    assert_eq!(sent::<Answer>(json!({ "position": 1, "key": "k" })).unwrap_err(), "`say` is missing.");
    assert_eq!(sent::<Answer>(json!({ "say": "done", "key": "k" })).unwrap_err(), "`position` is missing.");
    assert_eq!(sent::<Answer>(json!({ "say": "done", "position": 1 })).unwrap_err(), "`key` is missing.");
    assert_eq!(form::<Answer>(&[("say", "done"), ("key", "k")]).unwrap_err(), NO_POSITION);
    let keyless = form::<Answer>(&[("say", "done"), ("position", "1")]).unwrap_err();
    assert_eq!(keyless, "`key` is not 1 to 80 letters of A to Z or a to z, digits and hyphens.");
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
    assert_eq!(sent::<Beginning>(body.clone()).unwrap_err(), of_another("key"));
    for not in ["", "a b"] {
        body["key"] = json!(not);
        let why = sent::<Beginning>(body.clone()).unwrap_err();
        assert_eq!(why, "`key` is not 1 to 80 letters of A to Z or a to z, digits and hyphens.");
    }
}

/// RFC 8259, 4: what a name means that is there twice is unpredictable (from memory).
#[test]
fn names_that_are_unknown_or_there_twice_are_refused() {
    let misspelt = sent::<Beginning>(json!({ "procedure": "p", "serial": "T-1", "trainig": true }));
    assert_eq!(misspelt.unwrap_err(), "`trainig` is not known here.");
    let twice = written::<Beginning>(r#"{ "procedure": "p", "serial": "T-1", "serial": "T-2" }"#);
    assert_eq!(twice.unwrap_err(), "`serial` is given twice.");
    let misspelt = encoded::<Beginning>(b"csrf=x&serial=T-1&trainig=yes");
    assert_eq!(misspelt.unwrap_err(), "`trainig` is not known here.");
    let twice = encoded::<Beginning>(b"csrf=x&serial=T-1&serial=T-2");
    assert_eq!(twice.unwrap_err(), "`serial` is given twice.");
    assert_eq!(form::<DecisionForm>(&[("acept:W16@", "so")]).unwrap_err(), "`acept:W16@` is not known here.");
}

#[test]
fn a_filter_that_is_unknown_or_wrong_is_refused_by_its_name() {
    let wanted =
        |query: &str| fields(query.as_bytes()).and_then(|fields| from_query::<Filter>(&fields)).map_err(told);
    let all = wanted("serial=T-1,T-2&revision=1, 12&standing=on+hold,stopped&from=2026-11-02&to=")
        .expect("a filter");
    assert_eq!((all.serial.as_str(), all.standing.as_str(), all.to), ("T-1,T-2", "on hold,stopped", None));
    assert!(wanted("revision=&standing=&person=").is_ok(), "a form sends empty fields where all are meant");
    for (query, why) in [
        ("seriel=T-1", "`seriel` is not known here."),
        ("csrf=x", "`csrf` is not known here."),
        ("serial=T-1&serial=T-2", "`serial` is given twice."),
        ("revision=abc", "`revision` is no revision; write a number such as 2."),
        ("revision=1,", "`revision` is no revision; write a number such as 2."),
        ("from=soon", "`from` is no day; write one such as 2026-11-02."),
    ] {
        assert_eq!(wanted(query).unwrap_err(), why, "{query}");
    }
    let why = wanted("standing=nonsense").unwrap_err();
    assert!(why.starts_with("`standing` is none of: not started, in progress,"), "{why}");
}

#[test]
fn a_box_of_a_form_is_ticked_or_not_and_nothing_else() {
    let training = |form: &[u8]| encoded::<Beginning>(form).map(|beginning| beginning.training);
    assert_eq!(training(b"serial=T-1&training=yes"), Ok(true));
    assert_eq!((training(b"serial=T-1"), training(b"serial=T-1&training=")), (Ok(false), Ok(false)));
    for not in ["on", "no", "nonsense", "true"] {
        let why = training(format!("serial=T-1&training={not}").as_bytes()).unwrap_err();
        assert_eq!(why, "`training` is `yes` or is not sent.", "{not}");
    }
}

/// The URL standard, 5.1, and RFC 3986, 2.1 (both from memory).
#[test]
fn a_form_is_text_as_a_browser_encodes_it() {
    let serial = |form: &[u8]| encoded::<Beginning>(form).map(|beginning| beginning.serial);
    assert_eq!(serial(b"serial=T+1%2F%c3%a4&&rehearsal").as_deref(), Ok("T 1/\u{e4}"));
    for not in [
        &b"serial=%"[..],
        b"serial=%zz",
        b"serial=%+1",
        b"serial=%4",
        b"serial=%ff%fe",
        b"serial=\xff",
        b"%ff=1",
    ] {
        let why = serial(not).unwrap_err();
        assert!(why.starts_with("What was sent is not text in UTF-8"), "{why}");
    }
    let lone = written::<Beginning>(r#"{ "procedure": "p", "serial": "\ud800" }"#);
    assert_eq!(lone.unwrap_err(), "`serial` is no text in Unicode.");
}

#[test]
fn texts_of_other_programs_have_the_limits_of_the_forms() {
    let note = |text: &str| {
        sent::<Answer>(json!({ "say": "note", "value": text, "position": 1, "key": "k" }))
            .map(|answer| answer.value.0)
    };
    let longest = "\u{e4}".repeat(4000);
    assert_eq!(note(&longest).as_deref(), Ok(longest.as_str()));
    assert_eq!(note(&(longest + "x")).unwrap_err(), "`value` has more than 4000 letters.");
    // A browser counts the end of a line as one letter and sends two.
    assert!(note(&"\r\n".repeat(1500).replace("\r\n", "x\r\n")).is_ok());
    let stop = |letters: usize| {
        sent::<Stop>(json!({ "reason": "x".repeat(letters), "key": "k" })).map(|stop| stop.reason)
    };
    assert!(stop(2000).is_ok());
    assert_eq!(stop(2001).unwrap_err(), "`reason` has more than 2000 letters.");
}

/// RFC 8259, 6, leaves it open whether 3 and 3.0 are one number; JSON Schema takes both for whole (both from memory).
#[test]
fn positions_are_whole_and_exact_everywhere() {
    let position = |value: Value| {
        sent::<Answer>(json!({ "say": "done", "position": value, "key": "k" })).map(|answer| answer.position)
    };
    assert_eq!(position(json!(3.0)), Ok(Position(3)));
    assert_eq!(position(json!(9_007_199_254_740_991_u64)), Ok(Position(9_007_199_254_740_991)));
    let written_position = |digits: &str| {
        written::<Answer>(&format!(r#"{{ "say": "done", "position": {digits}, "key": "k" }}"#))
            .map(|answer| answer.position)
    };
    // The nearest number with a sign, a fraction and an exponent that most programs keep is whole.
    assert_eq!(written_position("9007199254740990.9"), Err(NO_POSITION.to_owned()));
    for not in [json!(9_007_199_254_740_992_u64), json!(-1), json!(1.5), json!(1e300)] {
        assert_eq!(position(not.clone()), Err(NO_POSITION.to_owned()), "{not}");
    }
    for text in ["", "-1", "1.5", "x", "9007199254740992"] {
        let answer = form::<Answer>(&[("say", "done"), ("position", text), ("key", "k")]);
        assert_eq!(answer.map(|answer| answer.position), Err(NO_POSITION.to_owned()), "{text}");
    }
}

#[test]
fn a_value_may_be_a_text_a_number_or_a_truth_value() {
    for (value, text) in [(json!("4 m"), "4 m"), (json!(3), "3"), (json!(true), "yes"), (json!(false), "no")]
    {
        let answer = sent::<Answer>(json!({ "say": "fasten", "value": value, "position": 1, "key": "k" }));
        assert_eq!(answer.expect("an answer").value, AnswerValue(text.to_owned()));
    }
    for digits in ["12.50", "3.0", "-0", "123456789012345678901234567890", "1e400"] {
        let body = format!(r#"{{ "say": "note", "value": {digits}, "position": 1, "key": "k" }}"#);
        assert_eq!(written::<Answer>(&body).expect("an answer").value, AnswerValue(digits.to_owned()));
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
