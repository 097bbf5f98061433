//! What makes documents: its source of numbers, and cubes over the conditions it has made.

use crate::random::Random;
use serde_json::{Value, json};

/// What a generated condition is, as far as the steps have to know.
#[derive(Clone, Copy, Debug)]
pub(super) struct Made {
    /// How many values it has.
    pub(super) values: usize,
    /// Whether nobody can see it: no look names it.
    pub(super) hidden: bool,
    /// The value that it comes to by itself, if it settles.
    pub(super) falls_to: Option<usize>,
}

/// Makes documents.
pub(super) struct Maker {
    pub(super) random: Random,
    pub(super) conditions: Vec<Made>,
    pub(super) ids: usize,
    /// What the procedure that may be performed looks at.
    pub(super) seen_in_inner: Vec<usize>,
    /// Few demands, so that runs get far.
    pub(super) mild: bool,
}

impl Maker {
    pub(super) fn new(seed: u64, mild: bool) -> Self {
        Self { random: Random::new(seed), conditions: Vec::new(), ids: 0, seen_in_inner: Vec::new(), mild }
    }

    /// So many conditions, each with some of its values.
    pub(super) fn cube(&mut self, least: usize, most: usize) -> Value {
        let all: Vec<usize> = (0..self.conditions.len()).collect();
        self.cube_of(&all, least, most)
    }

    /// A cube of what can be seen; empty where nothing can.
    pub(super) fn seen(&mut self, least: usize, most: usize) -> Value {
        let seen: Vec<usize> = (0..self.conditions.len()).filter(|&at| !self.conditions[at].hidden).collect();
        self.cube_of(&seen, least, most)
    }

    pub(super) fn cube_of(&mut self, of: &[usize], least: usize, most: usize) -> Value {
        let mut cube = json!({});
        if of.is_empty() {
            return cube;
        }
        for _ in 0..least + self.random.below(most - least + 1) {
            // One that the cube has not, where there is one.
            let first = self.random.below(of.len());
            let others = of[first..].iter().chain(&of[..first]);
            let fresh = others.copied().find(|at| cube.get(format!("c{at}")).is_none());
            let at = fresh.unwrap_or(of[first]);
            cube[format!("c{at}")] = self.values(at);
        }
        cube
    }

    /// One value of a condition, or sometimes several.
    pub(super) fn values(&mut self, at: usize) -> Value {
        let values = self.conditions[at].values;
        let one = self.random.below(values);
        let several = self.random.percent(25);
        let set: Vec<String> = (0..values)
            .filter(|&value| value == one || several && self.random.percent(40))
            .map(|value| format!("v{value}"))
            .collect();
        if let [one] = &set[..] { json!(one) } else { json!(set) }
    }

    /// A cube that is asked for.
    pub(super) fn demand(&mut self, least: usize, most: usize) -> Value {
        if self.mild && self.random.percent(50) { json!({}) } else { self.cube(least, most) }
    }

    pub(super) fn a_condition(&mut self) -> String {
        format!("c{}", self.random.below(self.conditions.len()))
    }
}
