//! The equipment: conditions of every kind, rules, types of work, acts that restore.

use super::maker::{Made, Maker};
use crate::documents;
use serde_json::{Map, Value, json};

impl Maker {
    pub(super) fn rig(&mut self) -> Value {
        let most = if self.random.percent(15) { 5 } else { 3 };
        let count = 2 + self.random.below(most);
        let hidden: Vec<bool> = (0..count).map(|at| at > 0 && self.random.percent(25)).collect();
        self.conditions = hidden
            .iter()
            .map(|&hidden| Made { values: 2 + self.random.below(5) / 3, hidden, falls_to: None })
            .collect();
        let mut conditions = Map::new();
        for at in 0..count {
            let condition = self.condition(at);
            conditions.insert(format!("c{at}"), condition);
        }
        let mut rules = Map::new();
        for at in 0..self.random.below(if self.mild { 3 } else { 4 }) {
            let most = 1 + self.random.below(3);
            let when = self.cube(1, most);
            rules.insert(format!("r{at}"), json!({ "when": when, "hazard": "harm" }));
        }
        let mut rig = documents::equipment(Value::Object(conditions), Value::Object(rules));
        rig["fasteners"] = json!({
            "bolts": { "layout": "line", "count": 3, "order": "centre-out", "torque": "1.2 N·m" }
        });
        for work in ["near", "far"] {
            rig["work"][work]["requires"] = self.demand(0, 1);
        }
        let act = self.action(2);
        rig["actions"]["act"] = act;
        if self.random.percent(50) {
            rig["safe_state"] = self.cube(1, 2);
            for at in 0..self.random.below(4) {
                let mut act = self.action(3);
                act["restores"] = json!(true);
                rig["actions"][format!("mend{at}")] = act;
            }
        }
        rig
    }

    fn action(&mut self, most: usize) -> Value {
        let mut act = json!({ "do": "Act.", "leaves": self.cube(1, most), "requires": self.demand(0, 1) });
        if self.random.percent(20) {
            act["disturbs"] = json!([self.a_condition()]);
        }
        if self.random.percent(20) {
            act["work"] = json!(self.random.pick(&["near", "far"]));
        }
        act
    }

    fn condition(&mut self, at: usize) -> Value {
        let Made { values, hidden, falls_to: _ } = self.conditions[at];
        let names: Vec<String> = (0..values).map(|value| format!("v{value}")).collect();
        let mut condition = json!({ "values": names });
        if self.random.percent(if hidden { 85 } else { 20 }) {
            condition["settles"] = self.settling(at, &names);
        } else if self.random.percent(35) {
            let cause = self.causes(at);
            if !cause.is_null() {
                condition["lost_when"] = cause;
            }
        }
        let settles = condition.get("settles").is_some();
        let under = settles && condition["settles"].get("while").is_some_and(Value::is_object);
        if settles && self.random.percent(if under { 45 } else { 15 }) {
            let cause = self.causes(at);
            if !cause.is_null() {
                condition["lost_when"] = cause;
            }
        }
        if hidden {
            if !settles || self.random.percent(20) {
                condition["seen_by"] = json!("nobody");
            }
        } else {
            self.seeing(at, &mut condition, settles);
        }
        if self.random.percent(if self.mild { 25 } else { 12 }) {
            condition["keeps"] = json!(true);
        }
        if self.random.percent(30) {
            condition["normal"] = json!(self.random.pick(&names));
        }
        if self.random.percent(10) {
            condition["lapses"] = json!("15 min");
        }
        condition
    }

    fn seeing(&mut self, at: usize, condition: &mut Value, settles: bool) {
        match self.random.below(10) {
            0 | 1 if settles => condition["seen_by"] = json!("measure"),
            0 => {}
            1 => {
                condition["seen_by"] = json!("measure");
                condition["ask"] = self.asks(at);
            }
            _ => condition["ask"] = self.asks(at),
        }
        if self.random.percent(15) {
            // What covers it can itself be looked at.
            let seen: Vec<usize> =
                (0..self.conditions.len()).filter(|&of| of != at && !self.conditions[of].hidden).collect();
            let when = self.cube_of(&seen, 1, 1);
            if when.as_object().is_some_and(|when| !when.is_empty()) {
                condition["seen_when"] = when;
            }
        }
    }

    /// One question, or where there are several values often one for each, sometimes not for all.
    fn asks(&mut self, at: usize) -> Value {
        let values = self.conditions[at].values;
        if values == 2 || self.random.percent(20) {
            return json!("Which is it?");
        }
        let without = self.random.percent(15).then(|| self.random.below(values));
        let asked = (0..values).filter(|&value| Some(value) != without);
        Value::Object(asked.map(|value| (format!("v{value}"), json!("Is it this?"))).collect())
    }

    fn settling(&mut self, at: usize, names: &[String]) -> Value {
        let from = self.random.below(names.len());
        let to = (from + 1 + self.random.below(names.len() - 1)) % names.len();
        self.conditions[at].falls_to = Some(to);
        let mut settles = json!({ "from": names[from], "to": names[to], "after": "10 s" });
        match self.random.below(10) {
            0..=5 => {
                let when = self.cube_beside(at, 2);
                if when.as_object().is_some_and(|when| !when.is_empty()) {
                    settles["while"] = when;
                }
            }
            6..=8 => settles["while"] = json!("none"),
            _ => {}
        }
        settles
    }

    /// One cause or a list of causes; nothing where every cause would be the condition itself.
    fn causes(&mut self, at: usize) -> Value {
        let mut causes: Vec<Value> = Vec::new();
        let several = self.random.percent(40);
        for _ in 0..if several { 2 } else { 1 } {
            let mut cause = self.cube_beside(at, 2);
            // What settles brings a cause about by itself.
            for of in 0..at {
                let falls_to = self.conditions[of].falls_to.filter(|_| cause.get(format!("c{of}")).is_some());
                if let Some(to) = falls_to.filter(|_| self.random.percent(50)) {
                    cause[format!("c{of}")] = json!(format!("v{to}"));
                }
            }
            if cause.as_object().is_some_and(|cause| !cause.is_empty()) {
                causes.push(cause);
            }
        }
        match (&causes[..], several) {
            ([], _) => Value::Null,
            ([one], false) => one.clone(),
            _ => json!(causes),
        }
    }

    /// A cube of conditions other than this one, of those before it more often than of those after it.
    fn cube_beside(&mut self, at: usize, most: usize) -> Value {
        let after = self.random.percent(30);
        let beside: Vec<usize> =
            (0..self.conditions.len()).filter(|&of| of < at || after && of > at).collect();
        self.cube_of(&beside, 1, most)
    }
}
