//! Looks in one item of a group at what another item wrote: what lets an item be offered again.

use document::Library;
use document::model::{Answer, Cube, Equipment, Kind, Name, Procedure, Step};
use std::collections::BTreeSet;

/// The constructs of the groups of these documents.
pub(super) fn crossed(library: &Library) -> BTreeSet<&'static str> {
    let mut found = BTreeSet::new();
    for document in library.procedures.values() {
        let Some(equipment) = library.equipment.get(&document.model.equipment) else { continue };
        let mut crossed = Crossed { library, equipment: &equipment.model, found: &mut found };
        crossed.groups(&document.model.steps);
    }
    found
}

struct Crossed<'a> {
    library: &'a Library,
    equipment: &'a Equipment,
    found: &'a mut BTreeSet<&'static str>,
}

impl<'a> Crossed<'a> {
    fn groups(&mut self, steps: &'a [Step]) {
        for step in steps {
            if let Kind::AnyOrder(items) = &step.kind {
                let left = self.written_by(step);
                self.group(items, &left);
            }
            if let Some((_, inner)) = step.inner() {
                self.groups(inner);
            }
        }
    }

    fn group(&mut self, items: &'a [Step], left: &BTreeSet<&'a Name>) {
        let each: Vec<BTreeSet<&Name>> = items
            .iter()
            .map(|item| {
                let mut written = BTreeSet::new();
                self.written(item, &mut written);
                written
            })
            .collect();
        let mut own = vec![BTreeSet::new(); items.len()];
        for (at, written) in each.iter().enumerate() {
            let beside =
                |name: &&Name| each.iter().enumerate().any(|(of, each)| of != at && each.contains(name));
            own[at] = written.iter().copied().filter(|name| !beside(name) && !left.contains(name)).collect();
        }
        for (at, item) in items.iter().enumerate() {
            let others: Vec<&BTreeSet<&Name>> =
                own.iter().enumerate().filter(|&(of, _)| of != at).map(|(_, own)| own).collect();
            self.looks(item, &others, Way { item: true, performed: false });
        }
    }

    /// What a step itself says that it leaves or disturbs.
    fn written_by(&self, step: &'a Step) -> BTreeSet<&'a Name> {
        let common = &step.common;
        let action = step.kind.action().and_then(|name| self.equipment.actions.get(name));
        let by_action = action.into_iter().flat_map(|action| action.leaves.keys().chain(&action.disturbs));
        common.leaves.keys().chain(&common.disturbs).chain(by_action).collect()
    }

    fn written(&self, step: &'a Step, into: &mut BTreeSet<&'a Name>) {
        into.extend(self.written_by(step));
        self.inside(step).iter().for_each(|inner| self.written(inner, into));
    }

    /// The steps that a step repeats or performs.
    fn inside(&self, step: &'a Step) -> &'a [Step] {
        match &step.kind {
            Kind::Perform(name) => self.procedure(name).map_or(&[], |procedure| &procedure.steps),
            Kind::Repeat(_)
            | Kind::AnyOrder(_)
            | Kind::Do(_)
            | Kind::Action(_)
            | Kind::Fasten(_)
            | Kind::Confirm(_)
            | Kind::Measure(_)
            | Kind::Wait(_)
            | Kind::Ask(_)
            | Kind::Hold(_) => step.inner().map_or(&[], |(_, inner)| inner),
        }
    }

    fn procedure(&self, name: &Name) -> Option<&'a Procedure> {
        self.library.procedures.get(name).map(|document| &document.model)
    }

    /// The looks of an item at what is the own of each other one.
    fn looks(&mut self, step: &'a Step, others: &[&BTreeSet<&Name>], way: Way) {
        let crosses =
            |cube: &Cube| others.iter().filter(|own| cube.keys().any(|name| own.contains(name))).count();
        let (construct, most) = match &step.kind {
            Kind::Confirm(cube) => ("crossed tick", crosses(cube)),
            Kind::Wait(wait) => ("crossed wait until", crosses(&wait.until)),
            Kind::Measure(measure) if measure.retests > 0 => ("crossed retest", crosses(&measure.shows)),
            Kind::Measure(measure) => ("crossed reading", crosses(&measure.shows)),
            Kind::Repeat(repeat) => ("crossed round", crosses(&repeat.until)),
            // A question that is an item itself leads out of the group, whatever is answered.
            Kind::Ask(_) if way.item => ("", 0),
            Kind::Ask(question) => {
                let shows = question.answers.values().map(|answer| match answer {
                    Answer::Goes(_) => 0,
                    Answer::Shows(outcome) => crosses(&outcome.shows),
                });
                ("crossed answer", shows.max().unwrap_or(0))
            }
            Kind::Do(_)
            | Kind::Action(_)
            | Kind::Fasten(_)
            | Kind::Hold(_)
            | Kind::AnyOrder(_)
            | Kind::Perform(_) => ("", 0),
        };
        if most > 0 {
            self.found.insert(construct);
            if way.performed {
                self.found.insert("crossed in performed");
            }
        }
        if most > 1 {
            self.found.insert("crossed twice at once");
        }
        let performed = way.performed || matches!(step.kind, Kind::Perform(_));
        for inner in self.inside(step) {
            self.looks(inner, others, Way { item: false, performed });
        }
    }
}

/// How a look lies in its group.
#[derive(Clone, Copy)]
struct Way {
    /// It is an item itself.
    item: bool,
    /// It belongs to a procedure that an item performs.
    performed: bool,
}
