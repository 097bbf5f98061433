//! Who took part in a step: whoever verifies it is none of them.

use document::same_person;
use std::collections::BTreeMap;

/// Who did what, as far as somebody may have to verify it.
#[derive(Clone, Debug, Default)]
pub(crate) struct Hands {
    /// For each step under way, and each in which it stands, by path: who did something at it since the walk came to it.
    at_step: BTreeMap<String, Vec<String>>,
    /// Who was at the walk since it came to the present place: each may have begun the act there.
    standing: Vec<String>,
}

/// The path itself and those of the steps in which it stands.
fn around(path: &str) -> impl Iterator<Item = &str> {
    path.match_indices('/').map(|(at, _)| &path[..at]).chain([path])
}

fn is_within(path: &str, outer: &str) -> bool {
    path.strip_prefix(outer).is_some_and(|rest| rest.is_empty() || rest.starts_with('/'))
}

fn add(people: &mut Vec<String>, person: &str) {
    if !people.iter().any(|known| same_person(known, person)) {
        people.push(person.to_owned());
    }
}

impl Hands {
    /// The walk comes to a place, from another step or not: what is come to anew, nobody did yet.
    pub(crate) fn came(&mut self, from: &str, to: &str, person: &str) {
        for entered in around(to).filter(|outer| !is_within(from, outer)) {
            self.at_step.remove(entered);
        }
        self.begins(person);
    }

    /// Nobody but who is at the walk has stood where it is.
    pub(crate) fn begins(&mut self, person: &str) {
        self.standing = vec![person.to_owned()];
    }

    /// Somebody goes on with the walk.
    pub(crate) fn came_on(&mut self, person: &str) {
        add(&mut self.standing, person);
    }

    /// Somebody did the step at the path, or a part of it.
    pub(crate) fn did(&mut self, path: &str, person: &str) {
        for outer in around(path) {
            add(self.at_step.entry(outer.to_owned()).or_default(), person);
        }
    }

    /// Somebody released a hold point: of what it stands in they did nothing.
    pub(crate) fn released(&mut self, path: &str, person: &str) {
        add(self.at_step.entry(path.to_owned()).or_default(), person);
    }

    /// Whoever was there may have done a part of it.
    pub(crate) fn all_did(&mut self, path: &str) {
        for person in std::mem::take(&mut self.standing) {
            self.did(path, &person);
            self.standing.push(person);
        }
    }

    /// What was done there is over: verified, denied, or begun anew by whoever is at the walk.
    pub(crate) fn is_over(&mut self, path: &str, person: &str) {
        self.at_step.remove(path);
        self.begins(person);
    }

    /// Whether somebody did the step, or a part of it.
    pub(crate) fn took_part(&self, path: &str, person: &str) -> bool {
        self.at_step.get(path).is_some_and(|people| people.iter().any(|known| same_person(known, person)))
    }
}
