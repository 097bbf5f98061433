//! Lists of steps.

use super::maker::Maker;
use crate::documents::with;
use serde_json::{Value, json};

/// What encloses a list of steps.
#[derive(Clone, Copy)]
pub(super) struct Around<'a> {
    /// Names that can be gone to.
    names: &'a [String],
    in_group: bool,
    depth: usize,
    /// Whether `inner` may be performed.
    performs: bool,
    /// For which machines the steps are, where not for all.
    tip: Option<&'static str>,
}

impl Around<'_> {
    pub(super) fn main() -> Self {
        Self { names: &[], in_group: false, depth: 0, performs: true, tip: None }
    }

    /// In `inner`, which may be performed in a group and so has none.
    pub(super) fn performed() -> Self {
        Self { names: &[], in_group: true, depth: 1, performs: false, tip: None }
    }
}

impl Maker {
    pub(super) fn list(&mut self, size: usize, around: Around<'_>) -> Value {
        let own: Vec<String> = (0..size).map(|_| self.id()).collect();
        let steps = (0..size).map(|at| {
            // Mostly forwards: a step back makes a loop.
            let later = if self.random.percent(8) { &own[..] } else { &own[at + 1..] };
            let names: Vec<String> = later.iter().chain(around.names).cloned().collect();
            self.step(&own[at], Around { names: &names, ..around })
        });
        Value::Array(steps.collect())
    }

    fn id(&mut self) -> String {
        self.ids += 1;
        format!("s{}", self.ids)
    }

    fn target(&mut self, around: Around<'_>) -> Value {
        match around.names {
            names if !names.is_empty() && self.random.percent(60) => json!(self.random.pick(names)),
            _ => json!(self.random.pick(&["done", "stop", "stop"])),
        }
    }

    fn step(&mut self, id: &str, around: Around<'_>) -> Value {
        // A step that holds others chooses for them too, and what is performed is for every machine.
        let tip = (around.performs && self.random.percent(10)).then(|| self.one_tip(around));
        let kind = self.kind(Around { tip: tip.or(around.tip), ..around });
        let mut step = with(json!({ "id": id }), kind);
        let acts = ["do", "action", "fasten"].iter().any(|key| step.get(*key).is_some());
        if self.random.percent(if self.mild { 15 } else { 20 }) {
            step["requires"] = self.cube(1, 2);
        }
        if self.random.percent(if acts { 80 } else { 12 }) {
            step["leaves"] = self.cube(1, 3);
        }
        if self.random.percent(12) {
            step["disturbs"] = json!([self.a_condition()]);
        }
        if self.random.percent(if step.get("repeat").is_some() { 25 } else { 12 }) {
            step["work"] = json!(self.random.pick(&["near", "far"]));
        }
        if let Some(tip) = tip {
            step["only"] = json!({ "tip": tip });
        }
        if self.random.percent(12) {
            step["verified_by"] = json!("technician");
        }
        if step.get("ask").is_none() && self.random.percent(12) {
            step["then"] = self.target(around);
        }
        step
    }

    fn one_tip(&mut self, around: Around<'_>) -> &'static str {
        around.tip.unwrap_or(if self.random.percent(50) { "small" } else { "large" })
    }

    fn kind(&mut self, around: Around<'_>) -> Value {
        let otherwise = self.target(around);
        let seen = self.seen(1, 3);
        match self.random.below(if around.depth < 2 { 28 } else { 20 }) {
            0..=2 => json!({ "do": "Act." }),
            4 => json!({ "action": "act" }),
            5 => json!({ "fasten": { "fasteners": "bolts", "pass": "tighten" } }),
            6..=9 => json!({ "confirm": seen, "otherwise": otherwise }),
            10..=12 => {
                let (shows, retests) = (self.seen(0, 2), self.random.below(3));
                json!({
                    "measure": {
                        "what": "the voltage", "instrument": "gauge", "at_least": "1 V",
                        "shows": shows, "retests": retests
                    },
                    "otherwise": otherwise
                })
            }
            13 | 14 => json!({ "wait": { "for": self.random.pick(&["4 s", "6 s", "10 s", "$purge"]) } }),
            15 => {
                let mut wait = json!({ "until": seen, "limit": "30 s" });
                if self.random.percent(50) {
                    wait["for"] = json!("6 s");
                }
                json!({ "wait": wait, "otherwise": otherwise })
            }
            3 | 16 | 17 => self.question(around),
            18 => json!({ "hold": { "released_by": "technician", "check": "Check it." } }),
            19 => json!({ "action": "act" }),
            20..=22 if !around.in_group => self.group(around),
            23 | 24 => {
                let size = 1 + self.random.below(2);
                let steps = self.list(size, Around { depth: around.depth + 1, ..around });
                let at_most = 1 + self.random.below(2);
                json!({ "repeat": { "until": seen, "at_most": at_most, "steps": steps }, "otherwise": otherwise })
            }
            25..=27 if around.performs => json!({ "perform": "inner" }),
            _ => json!({ "do": "Act." }),
        }
    }

    fn question(&mut self, around: Around<'_>) -> Value {
        let mut answers = json!({});
        let all_show = self.random.percent(50);
        let shared_out = self.random.percent(45);
        let about = self.seen(1, 1);
        let about = about.as_object().and_then(|about| about.keys().next().cloned());
        for answer in 0..2 + self.random.below(2) {
            let to = self.target(around);
            let shows = match &about {
                // Of one condition the answers often share its values out.
                Some(name) if all_show && shared_out => json!({ name: format!("v{answer}") }),
                _ => self.seen(1, 2),
            };
            let known = all_show
                && shared_out
                && about.as_ref().is_some_and(|name| {
                    self.conditions[name[1..].parse::<usize>().unwrap_or(0)].values <= answer
                });
            answers[format!("a{answer}")] = match (all_show || self.random.percent(50)) && !known {
                true => json!({ "shows": shows, "then": to }),
                false => to,
            };
        }
        json!({ "ask": "Which is it?", "answers": answers })
    }

    fn group(&mut self, around: Around<'_>) -> Value {
        let inside = Around { in_group: true, depth: around.depth + 1, ..around };
        let mut items = if self.random.percent(60) { self.crossed(inside) } else { Vec::new() };
        let most = if items.is_empty() { 2 + self.random.below(5) / 4 } else { self.random.below(8) / 7 };
        for _ in 0..most {
            let id = self.id();
            items.push(self.step(&id, inside));
        }
        json!({ "any_order": items })
    }

    /// An item that writes something, and one that looks at it without leaving the group.
    fn crossed(&mut self, around: Around<'_>) -> Vec<Value> {
        let performs = around.performs && !self.seen_in_inner.is_empty() && self.random.percent(35);
        let looked_at = self.seen_in_inner.clone();
        let seen = if performs { self.cube_of(&looked_at, 1, 2) } else { self.seen(1, 2) };
        let Some(shown) = seen.as_object().filter(|seen| !seen.is_empty()) else { return Vec::new() };
        let written: Vec<String> = shown.keys().cloned().collect();
        let mut acts: Vec<Value> = Vec::new();
        for name in written {
            let value = self.values(name[1..].parse().unwrap_or(0));
            // Often one item for each, so that one look contradicts several.
            if acts.is_empty() || self.random.percent(60) {
                acts.push(json!({ "id": self.id(), "do": "Act.", "leaves": { name: value } }));
            } else {
                acts[0]["leaves"][name] = value;
            }
        }
        let shown = seen.clone();
        let looks = if performs { json!({ "perform": "inner" }) } else { self.looking(seen, around) };
        acts.push(with(json!({ "id": self.id() }), looks));
        if self.random.percent(30) {
            let looks = self.looking(shown, around);
            acts.push(with(json!({ "id": self.id() }), looks));
        }
        acts
    }

    /// A look at these, after which the way goes on in the same item.
    fn looking(&mut self, seen: Value, around: Around<'_>) -> Value {
        let otherwise = self.target(around);
        let at_most = 1 + self.random.below(2);
        let shows_one = |name: &String, value: usize| json!({ name: format!("v{value}") });
        match self.random.below(10) {
            0 | 1 => {
                let steps = self.list(at_most, around);
                json!({ "repeat": { "until": seen, "at_most": 2, "steps": steps }, "otherwise": otherwise })
            }
            2 | 3 => json!({
                "measure": {
                    "what": "the voltage", "instrument": "gauge", "at_least": "1 V",
                    "shows": seen, "retests": self.random.below(3)
                },
                "otherwise": otherwise
            }),
            4 => json!({ "confirm": seen, "otherwise": otherwise }),
            5 => json!({ "wait": { "until": seen, "limit": "30 s" }, "otherwise": otherwise }),
            kind => {
                let next = self.id();
                let name = seen.as_object().and_then(|seen| seen.keys().next().cloned()).unwrap_or_default();
                let look = if kind == 6 {
                    json!({ "confirm": seen, "otherwise": next })
                } else {
                    let (yes, no) = (shows_one(&name, 0), shows_one(&name, 1));
                    json!({ "ask": "Which is it?", "answers": {
                        "a0": { "shows": yes, "then": next }, "a1": { "shows": no, "then": next }
                    } })
                };
                let look = with(json!({ "id": self.id() }), look);
                let act = self.step(&next, Around { depth: 2, ..around });
                json!({
                    "repeat": { "until": self.seen(1, 1), "at_most": at_most, "steps": [look, act] },
                    "otherwise": otherwise
                })
            }
        }
    }
}
