//! Every short sequence of steps over one tiny machine: a switch, a cover, a charge that nobody sees.

use crate::documents::{equipment, procedure, with};
use serde_json::{Value, json};

/// How many steps a sequence is made of.
pub const ALPHABET: usize = 18;

/// The step of a number, as one of a sequence; `next` and `over` are where it may lead.
fn step(number: usize, id: &str, next: &str, over: &str) -> Value {
    let kind = match number {
        0 => json!({ "do": "Act.", "leaves": { "switch": "off" } }),
        1 => json!({ "do": "Act.", "leaves": { "switch": "on" } }),
        2 => json!({ "do": "Act.", "leaves": { "cover": "open" } }),
        3 => json!({ "do": "Act.", "leaves": { "cover": "shut" } }),
        4 => json!({ "do": "Act.", "leaves": { "cover": "open", "switch": "off" } }),
        5 => json!({ "do": "Act.", "leaves": { "charge": "gone" }, "disturbs": ["switch"] }),
        6 => json!({ "do": "Act.", "requires": { "charge": "gone" } }),
        7 => json!({ "confirm": { "switch": "off" }, "otherwise": "stop" }),
        8 => json!({ "confirm": { "cover": "shut", "switch": "off" }, "otherwise": over }),
        9 => json!({
            "ask": "Which is it?",
            "answers": {
                "off": { "shows": { "switch": "off" }, "then": next },
                "on": { "shows": { "switch": "on" }, "then": over }
            }
        }),
        10 => json!({ "wait": { "for": "10 s" } }),
        11 => json!({ "wait": { "for": "5 s" } }),
        12 => json!({
            "measure": {
                "what": "the voltage", "instrument": "gauge", "at_least": "1 V", "shows": { "cover": "shut" },
                "retests": 1
            },
            "disturbs": ["switch"], "otherwise": over
        }),
        13 => json!({ "wait": { "until": { "switch": "off" }, "limit": "30 s" }, "otherwise": "stop" }),
        14 => json!({ "do": "Act.", "leaves": { "switch": "off" }, "verified_by": "technician" }),
        15 => json!({ "hold": { "released_by": "technician", "check": "Check it." } }),
        16 => json!({ "action": "act", "then": "stop" }),
        _ => json!({
            "repeat": {
                "until": { "cover": "shut" }, "at_most": 2,
                "steps": [{ "id": format!("{id}-in"), "do": "Act.", "leaves": { "cover": "shut" } }]
            },
            "requires": { "switch": "off" }, "otherwise": "stop"
        }),
    };
    with(json!({ "id": id }), kind)
}

fn machine() -> Value {
    let conditions = json!({
        "switch": { "values": ["off", "on"], "ask": "Is it off?" },
        "cover": { "values": ["shut", "open"], "ask": "Is it shut?", "normal": "shut" },
        "charge": {
            "values": ["present", "gone"],
            "settles": { "from": "present", "to": "gone", "after": "10 s", "while": { "switch": "off" } },
            "lost_when": { "switch": "on" }
        }
    });
    let rules = json!({
        "charged": { "when": { "cover": "open", "charge": "present" }, "hazard": "harm" },
        "live": { "when": { "cover": "open", "switch": "on" }, "hazard": "harm" }
    });
    let mut machine = equipment(conditions, rules);
    machine["actions"]["act"]["leaves"] = json!({ "switch": "on" });
    machine["safe_state"] = json!({ "cover": "shut", "switch": "off" });
    machine["actions"]["off"] = json!({ "do": "Act.", "restores": true, "leaves": { "switch": "off" } });
    machine["actions"]["shut"] = json!({ "do": "Act.", "restores": true, "requires": { "switch": "off" }, "leaves": { "cover": "shut" } });
    machine
}

/// The documents of every sequence of one step, then of two, up to so many: a power of [`ALPHABET`] for each length.
pub fn enumerated(most: u32) -> impl Iterator<Item = Vec<Value>> {
    (1..=most).flat_map(|length| {
        (0..ALPHABET.pow(length)).map(move |number| {
            let names: Vec<String> = (0..length).map(|at| format!("s{at}")).collect();
            let name = |at: usize| names.get(at).map_or("done", String::as_str);
            let mut rest = number;
            let steps = (0..length as usize).map(|at| {
                let kind = rest % ALPHABET;
                rest /= ALPHABET;
                step(kind, name(at), name(at + 1), name(at + 2))
            });
            let steps = Value::Array(steps.collect());
            vec![machine(), procedure("main", json!({ "cover": "shut" }), json!({}), steps)]
        })
    })
}

#[cfg(test)]
mod tests {
    use super::{ALPHABET, enumerated};
    use crate::documents::library;
    use crate::judge::{Judged, explore};
    use std::collections::BTreeMap;

    #[test]
    fn every_short_sequence_has_a_verdict() {
        let mut times: BTreeMap<String, usize> = BTreeMap::new();
        let mut all = 0;
        for documents in enumerated(2) {
            let shown: Vec<_> = documents.iter().collect();
            let library = library(&shown).unwrap_or_else(|error| panic!("{error}"));
            let found = explore(&Judged::new(&library, "main"), 10_000).expect("a small one");
            all += 1;
            if found.faults.is_empty() {
                *times.entry("none".to_owned()).or_default() += 1;
            }
            for fault in &found.faults {
                *times
                    .entry(fault.to_string().split('(').next().unwrap_or_default().to_owned())
                    .or_default() += 1;
            }
        }
        assert_eq!(all, ALPHABET + ALPHABET.pow(2));
        let kinds = ["need", "none", "promise", "resume", "rule", "unmended"];
        assert_eq!(times.keys().map(String::as_str).collect::<Vec<_>>(), kinds, "{times:?}");
        // What two steps let somebody know of the charge lasts, and can be known again.
        let least = |kind: &str| if kind == "resume" { 5 } else { 20 };
        assert!(times.iter().all(|(kind, &times)| times >= least(kind)), "{times:?}");
    }
}
