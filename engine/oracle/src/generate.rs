//! Random procedures with everything in them.

use crate::documents::{equipment, procedure, with};
use crate::random::Random;
use serde_json::{Map, Value, json};

/// Equipment `rig` and its procedures `inner` and `main`, which performs the other, of a seed: everything a step can be is
/// in some of them. Of odd seeds little is demanded, so that runs get far. Some have findings: [`crate::library`] tells.
#[must_use]
pub fn random_documents(seed: u64) -> Vec<Value> {
    Generator { random: Random::new(seed), conditions: Vec::new(), ids: 0, mild: seed % 2 == 1 }.documents()
}

struct Generator {
    random: Random,
    /// How many values each has.
    conditions: Vec<usize>,
    ids: usize,
    /// Few demands, so that runs get far.
    mild: bool,
}

/// What encloses a list of steps.
#[derive(Clone, Copy)]
struct Around<'a> {
    /// Names that can be gone to.
    names: &'a [String],
    in_group: bool,
    depth: usize,
}

impl Generator {
    fn documents(mut self) -> Vec<Value> {
        let count = 2 + self.random.below(3);
        self.conditions = (0..count).map(|_| 2 + self.random.below(2)).collect();
        let mut conditions = Map::new();
        for at in 0..count {
            let condition = self.condition(at);
            conditions.insert(format!("c{at}"), condition);
        }
        let mut rules = Map::new();
        for at in 0..self.random.below(if self.mild { 2 } else { 4 }) {
            let most = 1 + self.random.below(3);
            let when = self.cube(1, most);
            rules.insert(format!("r{at}"), json!({ "when": when, "hazard": "harm" }));
        }
        let mut rig = equipment(Value::Object(conditions), Value::Object(rules));
        for work in ["near", "far"] {
            rig["work"][work]["requires"] = self.demand(0, 1);
        }
        rig["actions"]["act"]["leaves"] = self.cube(0, 1);
        rig["actions"]["act"]["requires"] = self.demand(0, 1);
        if self.random.percent(40) {
            let at = self.random.below(self.conditions.len());
            rig["actions"]["act"]["disturbs"] = json!([format!("c{at}")]);
        }
        if self.random.percent(30) {
            rig["actions"]["act"]["work"] = json!(self.random.pick(&["near", "far"]));
        }
        if self.random.percent(40) {
            self.stopping(&mut rig);
        }
        let inner_steps = self.list(2, Around { names: &[], in_group: true, depth: 1 });
        let inner = procedure("inner", self.demand(0, 1), json!({}), inner_steps);
        let size = 3 + self.random.below(6);
        let steps = self.list(size, Around { names: &[], in_group: false, depth: 0 });
        let main = procedure("main", self.cube(0, 3), self.demand(0, 2), steps);
        vec![rig, inner, main]
    }

    /// A state in which the machine may be left, and acts that may lead there.
    fn stopping(&mut self, rig: &mut Value) {
        rig["safe_state"] = self.cube(1, 2);
        for at in 0..1 + self.random.below(3) {
            let mut act = json!({ "do": "Act.", "restores": true, "leaves": self.cube(1, 2) });
            act["requires"] = self.demand(0, 1);
            if self.random.percent(15) {
                let at = self.random.below(self.conditions.len());
                act["disturbs"] = json!([format!("c{at}")]);
            }
            rig["actions"][format!("mend{at}")] = act;
        }
    }

    fn condition(&mut self, at: usize) -> Value {
        let values = self.conditions[at];
        let names: Vec<String> = (0..values).map(|value| format!("v{value}")).collect();
        let mut condition = json!({ "values": names });
        if self.random.percent(40) {
            let from = self.random.below(values);
            let to = (from + 1 + self.random.below(values - 1)) % values;
            condition["settles"] = json!({ "from": names[from], "to": names[to], "after": "10 s" });
        }
        if self.random.percent(15) {
            condition["lapses"] = json!("handover");
        }
        if self.random.percent(50) {
            condition["ask"] = json!("Which is it?");
        }
        if self.random.percent(30) {
            condition["normal"] = json!(self.random.pick(&names));
        }
        if self.random.percent(30) {
            let mut cause = self.cube(1, 2);
            cause.as_object_mut().expect("a map").remove(&format!("c{at}"));
            if cause.as_object().is_some_and(|cause| !cause.is_empty()) {
                condition["lost_when"] = cause;
            }
        }
        condition
    }

    /// So many conditions, each with some of its values.
    fn cube(&mut self, least: usize, most: usize) -> Value {
        let mut cube = Map::new();
        for _ in 0..least + self.random.below(most - least + 1) {
            let at = self.random.below(self.conditions.len());
            let values = self.conditions[at];
            let mut set: Vec<String> =
                (0..values).filter(|_| self.random.percent(40)).map(|value| format!("v{value}")).collect();
            if set.is_empty() || set.len() == values && self.random.percent(80) {
                set = vec![format!("v{}", self.random.below(values))];
            }
            cube.insert(format!("c{at}"), json!(set));
        }
        Value::Object(cube)
    }

    /// A cube that is asked for.
    fn demand(&mut self, least: usize, most: usize) -> Value {
        if self.mild && self.random.percent(70) { json!({}) } else { self.cube(least, most) }
    }

    fn list(&mut self, size: usize, around: Around<'_>) -> Value {
        let own: Vec<String> = (0..size).map(|_| self.id()).collect();
        let steps = (0..size).map(|at| {
            // Mostly forwards: a step back makes a loop, which has findings of its own but is proved all the same.
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
            names if !names.is_empty() && self.random.percent(70) => json!(self.random.pick(names)),
            _ => json!(self.random.pick(&["done", "stop"])),
        }
    }

    fn step(&mut self, id: &str, around: Around<'_>) -> Value {
        let kind = self.kind(around);
        let mut step = with(json!({ "id": id }), kind);
        if self.random.percent(if self.mild { 8 } else { 25 }) {
            step["requires"] = self.cube(1, 2);
        }
        if self.random.percent(if step.get("do").is_some() { 85 } else { 15 }) {
            step["leaves"] = self.cube(1, 2);
        }
        if self.random.percent(12) {
            let at = self.random.below(self.conditions.len());
            step["disturbs"] = json!([format!("c{at}")]);
        }
        if self.random.percent(10) {
            step["work"] = json!(self.random.pick(&["near", "far"]));
        }
        if self.random.percent(12) {
            let tip = *self.random.pick(&["small", "large"]);
            // What a performed procedure does on no machine is not for this step to say.
            if step.get("perform").is_none() {
                step["only"] = json!({ "tip": tip });
                inside_for(&mut step, tip);
            }
        }
        if step.get("ask").is_none() && self.random.percent(10) {
            step["then"] = self.target(around);
        }
        step
    }

    fn kind(&mut self, around: Around<'_>) -> Value {
        let otherwise = self.target(around);
        match self.random.below(if around.depth < 2 { 24 } else { 18 }) {
            0..=4 => json!({ "do": "Act." }),
            5 => json!({ "action": "act" }),
            6..=9 => json!({ "confirm": self.cube(1, 2), "otherwise": otherwise }),
            10 | 11 => json!({
                "measure": {
                    "what": "the voltage", "instrument": "gauge", "at_least": "1 V",
                    "shows": self.cube(0, 2), "retests": self.random.below(3)
                },
                "otherwise": otherwise
            }),
            12..=14 => json!({ "wait": { "for": self.random.pick(&["4 s", "6 s", "10 s", "$purge"]) } }),
            15 => {
                json!({ "wait": { "until": self.cube(1, 2), "limit": "30 s", "for": "6 s" }, "otherwise": otherwise })
            }
            16 | 17 => self.question(around),
            18 | 19 if !around.in_group => self.group(around),
            20 | 21 => {
                let size = 1 + self.random.below(2);
                let steps = self.list(size, Around { depth: around.depth + 1, ..around });
                let repeat =
                    json!({ "until": self.cube(1, 1), "at_most": 1 + self.random.below(3), "steps": steps });
                json!({ "repeat": repeat, "otherwise": otherwise })
            }
            22 | 23 if around.depth == 0 => json!({ "perform": "inner" }),
            _ => json!({ "do": "Act." }),
        }
    }

    fn question(&mut self, around: Around<'_>) -> Value {
        let mut answers = Map::new();
        for answer in 0..2 + self.random.below(2) {
            let to = self.target(around);
            let answered = match self.random.percent(50) {
                true => json!({ "shows": self.cube(1, 1), "then": to }),
                false => to,
            };
            answers.insert(format!("a{answer}"), answered);
        }
        json!({ "ask": "Which is it?", "answers": answers })
    }

    fn group(&mut self, around: Around<'_>) -> Value {
        let items = (0..2 + self.random.below(2)).map(|_| {
            let id = self.id();
            self.step(&id, Around { in_group: true, depth: around.depth + 1, ..around })
        });
        json!({ "any_order": items.collect::<Vec<_>>() })
    }
}

/// Steps inside one for a variant that are for some variant are for that one: the reader refuses what is done on no machine.
fn inside_for(step: &mut Value, tip: &str) {
    let steps = ["/any_order", "/repeat/steps"].map(|inner| step.pointer(inner).is_some().then_some(inner));
    for inner in steps.into_iter().flatten() {
        for step in step.pointer_mut(inner).and_then(Value::as_array_mut).into_iter().flatten() {
            if step.get("only").is_some() {
                step["only"] = json!({ "tip": tip });
            }
            inside_for(step, tip);
        }
    }
}
