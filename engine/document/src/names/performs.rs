//! Procedures that are done inside others.

use super::scope::Scope;
use crate::codes::{N07, N08};
use crate::diagnostic::Diagnostic;
use crate::library::{Library, performed};
use crate::model::Name;
use crate::words::meant;
use std::collections::{BTreeMap, BTreeSet};

impl Scope<'_> {
    /// A performed procedure is there and works on the same equipment.
    pub(super) fn performed(&mut self, at: &str, name: &Name, library: &Library) {
        let place = self.at(at);
        match library.procedures.get(name) {
            None if library.faulty_procedures.contains_key(&**name) => {}
            None => {
                let known = library
                    .procedures
                    .keys()
                    .map(|name| &**name)
                    .chain(library.faulty_procedures.keys().map(String::as_str));
                let finding =
                    Diagnostic::error(N07, place, format!("no document given is the procedure `{name}`"));
                self.tell_with(finding, || meant(name, known));
            }
            Some(other) if other.model.equipment != self.equipment.model.equipment => {
                let finding = Diagnostic::error(
                    N07,
                    place,
                    format!(
                        "the procedure `{name}` works on `{}`, and this one on `{}`",
                        other.model.equipment, self.equipment.model.equipment
                    ),
                )
                .note(other.place("/equipment"), "its equipment")
                .help("perform a procedure of the same equipment");
                self.tell(finding);
            }
            Some(_) => {}
        }
    }
}

/// Which procedures each performs.
type Arrows<'a> = BTreeMap<&'a str, BTreeSet<&'a str>>;

/// No procedure performs itself, directly or through others; each circle is told once, with the whole chain.
pub(super) fn circles(library: &Library, found: &mut Vec<Diagnostic>) {
    let arrows: Arrows<'_> = library
        .procedures
        .iter()
        .map(|(name, document)| {
            let inner: BTreeSet<&str> =
                performed(&document.model).into_iter().map(|(name, _)| &**name).collect();
            (&**name, inner)
        })
        .collect();
    let mut told: BTreeSet<&str> = BTreeSet::new();
    for (name, document) in &library.procedures {
        if told.contains(&**name) {
            continue;
        }
        let Some(chain) = way_back(&arrows, name) else { continue };
        told.extend(chain.iter().copied());
        let first = chain.get(1).copied().unwrap_or(name);
        let at = performed(&document.model).into_iter().find(|(performed, _)| &***performed == first);
        let place = document.place(at.as_ref().map_or("/procedure", |(_, at)| at));
        let shown: Vec<String> = chain.iter().chain([&&**name]).map(|name| format!("`{name}`")).collect();
        found.push(
            Diagnostic::error(
                N08,
                place,
                format!("the procedure `{name}` would perform itself: {}", shown.join(" → ")),
            )
            .help("take one of these `perform` steps out; to do steps again, use `repeat`"),
        );
    }
}

/// The shortest chain of performed procedures from one back to itself, without the return.
fn way_back<'a>(arrows: &Arrows<'a>, start: &'a str) -> Option<Vec<&'a str>> {
    let mut came: BTreeMap<&str, &str> = BTreeMap::new();
    let mut queue = vec![start];
    let mut next = 0;
    while let Some(&name) = queue.get(next) {
        next += 1;
        for &inner in arrows.get(name).into_iter().flatten() {
            if inner == start {
                let mut chain = vec![name];
                while let Some(&last) = chain.last()
                    && last != start
                    && let Some(&before) = came.get(last)
                {
                    chain.push(before);
                }
                chain.reverse();
                return Some(chain);
            }
            if !came.contains_key(inner) {
                came.insert(inner, name);
                queue.push(inner);
            }
        }
    }
    None
}
