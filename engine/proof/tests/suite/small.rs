//! Every procedure of up to four steps over two conditions: the longer the procedures, the fewer letters they are made of.

use super::compare::Compared;
use document::Library;
use document::model::Step;
use oracle::{equipment, library, procedure};
use serde_json::{Value, json};

/// Two conditions of two values, in ways that matter to each other.
fn worlds() -> Vec<(Value, Value)> {
    let plain = json!({ "values": ["v0", "v1"] });
    let settles = json!({ "values": ["v0", "v1"], "settles": { "from": "v1", "to": "v0", "after": "10 s" } });
    let evidence = json!({ "values": ["v0", "v1"], "normal": "v0", "lost_when": { "a": "v1" } });
    let circle = json!({ "values": ["v0", "v1"], "lost_when": { "b": "v1" } });
    let rule = |a: &str, b: &str| json!({ "r": { "when": { "a": a, "b": b }, "hazard": "harm" } });
    vec![
        (json!({ "a": settles, "b": plain }), rule("v1", "v1")),
        (json!({ "a": settles, "b": evidence }), json!({})),
        (json!({ "a": plain, "b": plain }), rule("v1", "v0")),
        (json!({ "a": settles, "b": settles }), rule("v0", "v1")),
        (json!({ "a": circle, "b": evidence }), rule("v1", "v1")),
    ]
}

/// The first letters make the procedures of four steps. `next`, `skip` and `back` stand for the step after, the one
/// after that, and the first.
fn letters() -> Vec<Value> {
    vec![
        json!({ "do": "Act.", "leaves": { "a": "v1" } }),
        json!({ "do": "Act.", "requires": { "b": "v0" }, "leaves": { "b": "v1" } }),
        json!({ "wait": { "for": "10 s" } }),
        json!({ "do": "Act.", "requires": { "a": "v0" }, "disturbs": ["b"] }),
        json!({ "confirm": { "a": "v0", "b": "v0" }, "otherwise": "skip" }),
        json!({ "ask": "Which?", "answers": { "x": { "shows": { "b": "v0" }, "then": "next" }, "y": "skip" } }),
        json!({ "wait": { "for": "6 s" } }),
        json!({ "do": "Act.", "leaves": { "a": "v0" } }),
        json!({ "confirm": { "a": "v1" }, "otherwise": "stop" }),
        json!({ "do": "Act.", "leaves": { "a": ["v0", "v1"], "b": "v0" } }),
        json!({ "do": "Act.", "requires": { "a": "v1" } }),
        json!({ "ask": "Which?", "answers": {
            "x": { "shows": { "a": "v0" }, "then": "next" }, "y": { "shows": { "a": "v1" }, "then": "done" }
        } }),
        json!({ "confirm": { "b": "v0" }, "otherwise": "back", "disturbs": ["a"] }),
        json!({
            "measure": { "what": "it", "instrument": "gauge", "at_least": "1 V", "shows": { "b": "v0" }, "retests": 1 },
            "otherwise": "skip", "leaves": { "a": "v0" }
        }),
        json!({ "wait": { "until": { "b": "v1" }, "limit": "30 s", "for": "10 s" }, "otherwise": "skip", "leaves": { "a": "v1" } }),
        json!({ "wait": { "for": "10 s" }, "leaves": { "a": "v1" } }),
        json!({ "do": "Act.", "leaves": { "b": "v1" }, "then": "skip" }),
    ]
}

/// The letter as a step of a procedure of `length` steps.
fn step(letter: &Value, at: usize, length: usize) -> Step {
    let name = |at: usize| if at < length { format!("\"s{at}\"") } else { "\"done\"".to_owned() };
    let text = letter.to_string().replace("\"next\"", &name(at + 1)).replace("\"skip\"", &name(at + 2));
    let mut step: Value = serde_json::from_str(&text.replace("\"back\"", "\"s0\"")).expect("a letter");
    step["id"] = json!(format!("s{at}"));
    serde_json::from_value(step).expect("a step")
}

/// The machine may be left in one state, by acts that need each other; what `a` is lapses unseen.
fn stoppable(rig: &mut Value) {
    rig["safe_state"] = json!({ "a": "v0", "b": "v0" });
    rig["actions"]["mend-a"] =
        json!({ "do": "Act.", "restores": true, "requires": { "b": "v0" }, "leaves": { "a": "v0" } });
    rig["actions"]["mend-b"] = json!({ "do": "Act.", "restores": true, "leaves": { "b": "v0" } });
    rig["conditions"]["a"]["lapses"] = json!("15 min");
}

fn all(compared: &mut Compared, worlds: &[(Value, Value)], length: usize, letters: &[Value]) {
    for (conditions, rules) in worlds {
        for (requires, leaves) in
            [(json!({}), json!({ "b": "v0" })), (json!({ "a": "v0", "b": "v0" }), json!({}))]
        {
            let mut rig = equipment(conditions.clone(), rules.clone());
            if length < 4 {
                stoppable(&mut rig);
            }
            rig["variants"] = json!({});
            rig["amounts"] = json!({});
            let first = serde_json::to_value([json!({ "id": "s0", "do": "Act." })]).expect("a step");
            let main = procedure("main", requires, leaves, first);
            let mut library = library(&[&rig, &main]).expect("no findings");
            let steps: Vec<Vec<Step>> = (0..length)
                .map(|at| letters.iter().map(|letter| step(letter, at, length)).collect())
                .collect();
            each(compared, &mut library, &steps, &mut Vec::new());
        }
    }
}

/// Every word: the number of a letter for each place.
fn each(compared: &mut Compared, library: &mut Library, steps: &[Vec<Step>], word: &mut Vec<usize>) {
    if word.len() < steps.len() {
        for letter in 0..steps[0].len() {
            word.push(letter);
            each(compared, library, steps, word);
            word.pop();
        }
        return;
    }
    let document = library.procedures.get_mut("main").expect("the procedure");
    document.model.steps = word.iter().zip(steps).map(|(&letter, steps)| steps[letter].clone()).collect();
    if let Err(error) = compared.one(library, "main") {
        panic!(
            "{error}\n{:#?}\n{:#?}",
            library.equipment["rig"].model.conditions, library.procedures["main"].model
        );
    }
}

#[test]
fn the_proof_agrees_with_the_judge_on_all_procedures_of_four_steps() {
    let mut compared = Compared::default();
    all(&mut compared, &worlds()[..2], 4, &letters()[..7]);
    assert_eq!((compared.cases, compared.given_up), (2 * 2 * 7_usize.pow(4), 0));
    super::report("procedures of four steps", &compared);
}

#[test]
fn the_proof_agrees_with_the_judge_on_all_procedures_of_up_to_three_steps() {
    let mut compared = Compared::default();
    let (worlds, letters) = (worlds(), letters());
    all(&mut compared, &worlds, 1, &letters);
    all(&mut compared, &worlds, 2, &letters);
    all(&mut compared, &worlds[1..], 3, &letters[..8]);
    all(&mut compared, &worlds[..1], 3, &letters[..13]);
    assert_eq!(compared.given_up, 0);
    super::report("procedures of up to three steps", &compared);
}
