//! What a walk takes from its equipment besides what its proof and its looks go by: figures, and what work, actions and rules
//! ask of people. The walk goes by its own; where the equipment as it stands now says otherwise, it must not.

use document::model::Name;
use serde_json::{Map, Value as Json};

/// In what the equipment as it stands now says otherwise, each by its kind and name. Both are what of the equipment
/// decides about the walk's procedure. What is not known to be words, or to be judged by the proof and by
/// [`crate::asked_for_more`], counts.
pub(crate) fn asked_otherwise(old: &Json, new: &Json) -> Vec<String> {
    let (Json::Object(old), Json::Object(new)) = (old, new) else { return vec!["all of it".to_owned()] };
    let keys = new.keys().chain(old.keys().filter(|key| !new.contains_key(*key)));
    let mut all = Vec::new();
    for key in keys {
        let (was, is) = (part(old, key), part(new, key));
        match key.as_str() {
            // The proof goes by them, and what the walk itself looks at and waits for is compared by its meaning.
            "conditions" | "energy" | "safe_state" => {}
            // Words, and what only the check of the document reads.
            "equipment" | "title" | "defer" | "writing" | "terms" | "accept" | "roles" | "tools"
            | "supplies" | "spares" | "wear" => {}
            "never" => named("rule", was, is, is_asked_by_rule, &mut all),
            "work" => named("work", was, is, |was, is| was != is, &mut all),
            // One more is one more way out: no step does it.
            "actions" => {
                named("action", was, is, |was, is| was.is_some_and(|was| differ(was, is, &["do"])), &mut all)
            }
            "hazards" => named(
                "hazard",
                was,
                is,
                |was, is| was.is_some_and(|was| differ(was, is, &HAZARD_WORDS)),
                &mut all,
            ),
            "instruments" => named("instrument", was, is, |was, is| is_other(was, is, &["label"]), &mut all),
            "fasteners" => named("fasteners", was, is, |was, is| is_other(was, is, &["note"]), &mut all),
            "amounts" => named("amount", was, is, |was, is| was != is, &mut all),
            "variants" => named("variant", was, is, |was, is| was != is, &mut all),
            _ if was == is => {}
            other => all.push(other.replace('_', " ")),
        }
    }
    all
}

const HAZARD_WORDS: [&str; 3] = ["hazard", "consequence", "avoid"];

fn part<'a>(of: &'a Map<String, Json>, key: &str) -> Option<&'a Json> {
    of.get(key).filter(|value| !value.is_null())
}

/// Tells the entries as they stand now that `is_otherwise`. What the walk goes by and is not asked any more asks no more.
fn named(
    kind: &str,
    was: Option<&Json>,
    is: Option<&Json>,
    is_otherwise: impl Fn(Option<&Json>, Option<&Json>) -> bool,
    all: &mut Vec<String>,
) {
    let Some(Json::Object(now)) = is else { return };
    for (name, entry) in now {
        if is_otherwise(was.and_then(|was| was.get(name)), Some(entry)) {
            all.push(format!("{kind} {}", Name::from(name.as_str()).words()));
        }
    }
}

/// A rule that must never be so is proved; who releases it, the walk asks by its own.
fn is_asked_by_rule(was: Option<&Json>, is: Option<&Json>) -> bool {
    let has_release = |rule: &&Json| rule.get("released_by").is_some();
    if was.iter().chain(is.iter()).any(has_release) {
        return is_other(was, is, &["why"]);
    }
    was.is_some_and(|was| differ(was, is, &["why", "when"]))
}

fn is_other(was: Option<&Json>, is: Option<&Json>, words: &[&str]) -> bool {
    was.is_none_or(|was| differ(was, is, words))
}

/// Whether two entries differ in more than their words.
fn differ(was: &Json, is: Option<&Json>, words: &[&str]) -> bool {
    let (Json::Object(was), Some(Json::Object(is))) = (was, is) else { return Some(was) != is };
    let keys = was.keys().chain(is.keys()).filter(|key| !words.contains(&key.as_str()));
    keys.into_iter().any(|key| was.get(key) != is.get(key))
}

#[cfg(test)]
mod tests {
    use super::asked_otherwise;
    use serde_json::json;

    #[test]
    fn a_figure_counts_and_a_word_does_not() {
        let old = json!({
            "title": "A rig",
            "instruments": { "meter": { "label": "The meter", "uncertainty": "0.1 V" } },
            "fasteners": { "lid": { "torque": "2 N·m", "note": "Dry." } },
            "amounts": { "soak": { "method": "line-purge", "volumes": 1 } },
        });
        let now = |path: &str, value: serde_json::Value| {
            let mut new = old.clone();
            *new.pointer_mut(path).expect("it is there") = value;
            asked_otherwise(&old, &new)
        };
        assert_eq!(now("/instruments/meter/uncertainty", json!("0.5 V")), ["instrument meter"]);
        assert_eq!(now("/fasteners/lid/torque", json!("1 N·m")), ["fasteners lid"]);
        assert_eq!(now("/amounts/soak/volumes", json!(9)), ["amount soak"]);
        for (path, word) in
            [("/title", "The rig"), ("/instruments/meter/label", "A meter"), ("/fasteners/lid/note", "Wet.")]
        {
            assert!(now(path, json!(word)).is_empty(), "{path}");
        }
        let mut unknown = old.clone();
        unknown["new-key"] = json!(1);
        assert_eq!(asked_otherwise(&old, &unknown), ["new-key"]);
    }
}
