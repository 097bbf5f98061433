//! Documents are mended where the judge finds something wrong: something is put right before the fault, or less is asked.

use super::places::{each_step, list_with, step_of, steps_in};
use crate::judge::{Fault, Judged, explore};
use crate::random::Random;
use document::model::{Equipment, Procedure};
use serde_json::{Value, json};

/// How often the judge is asked.
const ROUNDS: usize = 10;
/// Records past which nothing is mended.
const RECORDS: usize = 3_000;
/// Most steps of a procedure.
const STEPS: usize = 12;

/// The documents with most or all that is wrong put right.
pub(super) fn mended(mut documents: Vec<Value>, random: &mut Random) -> Vec<Value> {
    let mut made = 0;
    for _ in 0..ROUNDS {
        let judged = judged(&documents);
        let Ok(found) = explore(&judged, RECORDS) else { return documents };
        if found.faults.is_empty() {
            return documents;
        }
        for fault in found.faults.iter().take(4) {
            made += 1;
            Mend { documents: &mut documents, judged: &judged, random, made }.mend(fault);
        }
    }
    documents
}

/// The documents as the judge reads them. Whether the reader accepts them as files, which takes longer, is asked once they are
/// mended.
fn judged(documents: &[Value]) -> Judged {
    const SHAPE: &str = "documents have their shape";
    let equipment: Equipment = serde_json::from_value(documents[0].clone()).expect(SHAPE);
    let read = |document: &Value| serde_json::from_value::<Procedure>(document.clone()).expect(SHAPE);
    let procedures: Vec<Procedure> = documents[1..].iter().map(read).collect();
    Judged::of(&equipment, &procedures.iter().collect::<Vec<_>>(), "main")
}

struct Mend<'a> {
    documents: &'a mut Vec<Value>,
    judged: &'a Judged,
    random: &'a mut Random,
    /// A number for the name of a new step.
    made: usize,
}

impl Mend<'_> {
    fn mend(&mut self, fault: &Fault) {
        match fault {
            Fault::Need { at, condition, set } => {
                let value = self.value(condition, *set);
                let mut leaves = self.taken_off(condition);
                leaves[condition] = value;
                let put = self.random.percent(60) && self.insert(at, leaves);
                if !put {
                    self.ask_less(at, condition);
                }
            }
            Fault::Rule { rule, at } => {
                let ended = self.ended(rule);
                let put = self.random.percent(50) && self.insert(at, ended);
                if !put && self.random.percent(60) {
                    self.write_less(at, rule);
                } else if !put {
                    self.documents[0]["never"].as_object_mut().expect("rules").shift_remove(rule);
                }
            }
            Fault::Unmended(at) => {
                let rules: Vec<String> = self.judged.rules.iter().map(|(name, _)| name.clone()).collect();
                let rule = self.random.pick(&rules).clone();
                let ended = self.ended(&rule);
                if at == "done" || !self.insert(at, ended) || self.random.percent(20) {
                    self.documents[0]["never"].as_object_mut().expect("rules").shift_remove(&rule);
                }
            }
            Fault::Promise(condition) => self.promise(condition),
            Fault::Unanswered(at) => {
                if let Some(answers) = self.step(at).and_then(|step| step["answers"].as_object_mut()) {
                    for answer in answers.values_mut().take(1).filter(|answer| answer.is_object()) {
                        *answer = answer["then"].clone();
                    }
                }
            }
            Fault::Stop(_) | Fault::Universal => self.restoring(),
            Fault::Resume { at: _, condition } => self.known_again(condition),
        }
    }

    /// One of the values of a set.
    fn value(&mut self, condition: &str, set: u64) -> Value {
        let of = self.judged.vars.iter().find(|of| of.name == condition).expect("a condition");
        let in_set = (0..of.values.len()).filter(|&at| set >> at & 1 == 1);
        let values: Vec<&String> = in_set.map(|at| &of.values[at]).collect();
        json!(self.random.pick(&values))
    }

    /// Often what makes each cause false that may end a condition.
    fn taken_off(&mut self, condition: &str) -> Value {
        let mut off = json!({});
        let judged = self.judged;
        let of = judged.vars.iter().find(|of| of.name == condition).expect("a condition");
        for cause in &of.lost {
            let others: Vec<(String, u64)> = cause
                .iter()
                .map(|&(var, set)| (judged.vars[var].name.clone(), judged.all(var) & !set))
                .filter(|&(_, other)| other != 0)
                .collect();
            if !others.is_empty() && self.random.percent(60) {
                let (name, other) = self.random.pick(&others).clone();
                off[&name] = self.value(&name, other);
            }
        }
        off
    }

    /// What makes a rule false.
    fn ended(&mut self, rule: &str) -> Value {
        let (_, when) = self.judged.rules.iter().find(|(name, _)| name == rule).expect("a rule");
        let free: Vec<(String, u64)> = when
            .iter()
            .map(|&(var, set)| (self.judged.vars[var].name.clone(), self.judged.all(var) & !set))
            .filter(|&(_, other)| other != 0)
            .collect();
        if free.is_empty() {
            return json!({});
        }
        let (name, other) = self.random.pick(&free).clone();
        let value = self.value(&name, other);
        json!({ name: value })
    }

    /// The step that a fault names, in either procedure.
    fn step(&mut self, at: &str) -> Option<&mut Value> {
        let id = step_of(at);
        self.documents.iter_mut().skip(1).find_map(|document| {
            let (list, at, _) = list_with(&mut document["steps"], id, false)?;
            list.get_mut(at)
        })
    }

    /// An act before the step that a fault names; whether there was room for it.
    fn insert(&mut self, at: &str, leaves: Value) -> bool {
        let id = step_of(at).to_owned();
        let new = format!("m{}", self.made);
        let first = at == "start";
        if leaves.as_object().is_none_or(serde_json::Map::is_empty) {
            return false;
        }
        for document in self.documents.iter_mut().skip(1) {
            let many = steps_in(&document["steps"]) >= STEPS;
            let Some((list, at, any_order)) = list_with(&mut document["steps"], &id, false) else { continue };
            if first || many || any_order {
                return false;
            }
            // Whoever went to the step goes to what is put before it.
            list.insert(at, json!({ "id": new, "do": "Put it right.", "leaves": leaves }));
            let text = document["steps"].to_string();
            let moved = text.replace(&format!("\"then\":\"{id}\""), &format!("\"then\":\"{new}\""));
            let moved =
                moved.replace(&format!("\"otherwise\":\"{id}\""), &format!("\"otherwise\":\"{new}\""));
            document["steps"] = serde_json::from_str(&moved).expect("what was printed");
            return true;
        }
        false
    }

    fn ask_less(&mut self, at: &str, condition: &str) {
        if let Some(step) = self.step(at) {
            remove(step, &["requires"], condition);
        }
        for work in ["near", "far"] {
            remove(&mut self.documents[0], &["work", work, "requires"], condition);
        }
        remove(&mut self.documents[0], &["actions", "act", "requires"], condition);
        remove(&mut self.documents[1], &["requires"], condition);
        if at == "start" {
            remove(&mut self.documents[2], &["requires"], condition);
        }
        // What encloses the step asks too.
        let ids: Vec<String> =
            at.split(' ').next().unwrap_or_default().split('/').map(str::to_owned).collect();
        for id in ids {
            if let Some(step) = self.step(&id) {
                remove(step, &["requires"], condition);
            }
        }
    }

    fn write_less(&mut self, at: &str, rule: &str) {
        let (_, when) = self.judged.rules.iter().find(|(name, _)| name == rule).expect("a rule");
        let names: Vec<String> = when.iter().map(|&(var, _)| self.judged.vars[var].name.clone()).collect();
        let name = self.random.pick(&names).clone();
        if at == "start" {
            remove(&mut self.documents[2], &["requires"], &name);
            return;
        }
        if let Some(step) = self.step(at) {
            remove(step, &["leaves"], &name);
            if let Some(disturbs) = step.get_mut("disturbs").and_then(Value::as_array_mut) {
                disturbs.retain(|disturbed| *disturbed != name.as_str());
            }
        }
    }

    fn promise(&mut self, condition: &str) {
        match self.random.below(3) {
            0 => {
                let promised = &self.documents[2]["leaves"][condition];
                let to = if promised.is_null() {
                    &self.documents[0]["conditions"][condition]["normal"]
                } else {
                    promised
                };
                let to = to.as_array().map_or_else(|| to.clone(), |list| list[0].clone());
                if !to.is_null() && steps_in(&self.documents[2]["steps"]) < STEPS {
                    let last = json!({ "id": format!("m{}", self.made), "do": "Put it back.", "leaves": { condition: to } });
                    self.documents[2]["steps"].as_array_mut().expect("steps").push(last);
                    // Whoever was done before it now stops.
                    each_step(&mut self.documents[2]["steps"], &mut |step| {
                        for key in ["then", "otherwise"] {
                            if step.get(key).is_some_and(|to| *to == "done") {
                                step[key] = json!("stop");
                            }
                        }
                    });
                }
            }
            1 => remove(&mut self.documents[2], &["leaves"], condition),
            _ => remove(&mut self.documents[0], &["conditions", condition], "normal"),
        }
    }

    fn restoring(&mut self) {
        if self.documents[0].get("safe_state").is_none() {
            return;
        }
        match self.random.below(4) {
            0 => {
                self.documents[0].as_object_mut().expect("a document").shift_remove("safe_state");
            }
            1 => {
                let rest = self.documents[0]["safe_state"].clone();
                let some: Vec<String> =
                    rest.as_object().into_iter().flat_map(|rest| rest.keys().cloned()).collect();
                if !some.is_empty() {
                    let name = self.random.pick(&some).clone();
                    if some.len() > 1 {
                        remove(&mut self.documents[0], &["safe_state"], &name);
                    }
                }
            }
            _ => {
                let mut leaves = self.documents[0]["safe_state"].clone();
                for value in leaves.as_object_mut().into_iter().flat_map(|map| map.values_mut()) {
                    if let Some(first) = value.as_array().and_then(|list| list.first().cloned()) {
                        *value = first;
                    }
                }
                let act = json!({ "do": "Put it right.", "restores": true, "leaves": leaves });
                self.documents[0]["actions"][format!("mend{}", self.random.below(4))] = act;
            }
        }
    }

    fn known_again(&mut self, condition: &str) {
        let choice = self.random.below(3);
        let of = &mut self.documents[0]["conditions"][condition];
        let nobody = of.get("seen_by").is_some_and(|by| *by == "nobody");
        let hidden = nobody || of.get("ask").is_none() && of.get("settles").is_some();
        match choice {
            0 => of["keeps"] = json!(true),
            1 if !hidden => {
                of["ask"] = json!("Which is it?");
                remove(of, &[], "seen_when");
            }
            1 if of.get("settles").is_some() => of["settles"]["while"] = json!("none"),
            1 => of["keeps"] = json!(true),
            _ => remove(of, &[], "lost_when"),
        }
    }
}

/// Takes a key out of a map down a path, where all of it is there.
fn remove(value: &mut Value, path: &[&str], key: &str) {
    let map = path.iter().try_fold(value, |value, step| value.get_mut(*step));
    if let Some(map) = map.and_then(Value::as_object_mut) {
        map.shift_remove(key);
    }
}
