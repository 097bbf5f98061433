//! The run to a fault, acted out once more with steps put in: most insertions are seen to be of no use without a proof.

use super::sequences::Inserted;
use crate::story::records;
use crate::written::in_machine;
use document::model::Equipment;
use machine::{AbstractState, Choice, Cube, DONE, Effect, Machine, Next, NodeId, Place, Trace};

/// What stands at another place than before.
pub(super) enum Put<'a> {
    /// New steps.
    Steps(&'a [Inserted]),
    /// A step of the procedure, by its pointer, which stands no longer where it stood.
    Step(&'a str),
}

/// A run to a fault, with the records on its way.
pub(super) struct Acted<'a> {
    machine: &'a Machine,
    equipment: &'a Equipment,
    trace: &'a Trace,
    records: Vec<Vec<AbstractState>>,
}

impl<'a> Acted<'a> {
    pub(super) fn new(machine: &'a Machine, equipment: &'a Equipment, trace: &'a Trace) -> Self {
        Self { machine, equipment, trace, records: records(machine, trace) }
    }

    /// Whether the run no longer goes wrong with the steps put in before the step at `before`, a pointer; at the end if there
    /// is none. What else the steps do is for a proof to say.
    pub(super) fn ends(&self, put: &Put<'_>, before: Option<&str>) -> bool {
        let moves = &self.trace.moves;
        let Some(first) = (0..=moves.len()).find(|&at| self.enters(at, before)) else { return false };
        let gone = match put {
            Put::Step(pointer) => Some(*pointer),
            Put::Steps(_) => None,
        };
        // A step that is moved may have stood before.
        let from = if gone.is_some() { 0 } else { first };
        let (mut here, mut last) = (self.records[from].clone(), Vec::new());
        for (at, step) in moves.iter().enumerate().skip(from) {
            if gone.is_some_and(|gone| self.machine.node(step.place.node).pointer == gone) {
                last.clear();
                continue;
            }
            here.iter_mut().for_each(|record| record.place = step.place);
            if self.enters(at, before) {
                let Some(after) = self.put_in(&here, put) else { return false };
                here = after;
            }
            last = here.iter().flat_map(|record| self.machine.follow(record, step.outcome)).collect();
            if last.is_empty() {
                return true;
            }
            here = last.iter().map(|next: &Next| next.state.clone()).collect();
        }
        let left = moves.last().map(|step| step.place.node);
        let violation = self.trace.violation;
        here.iter_mut().for_each(|record| record.place = self.trace.end);
        let wrong = |record: &AbstractState| self.machine.goes_wrong(record, left, None, violation);
        if self.enters(moves.len(), before) {
            return self.put_in(&here, put).is_some_and(|after| !after.iter().any(wrong));
        }
        if last.is_empty() {
            return !here.iter().any(wrong);
        }
        !last.iter().any(|next| self.machine.goes_wrong(&next.state, left, Some(next), violation))
    }

    /// Whether the step is come to after so many moves; where none is named, the end.
    fn enters(&self, at: usize, before: Option<&str>) -> bool {
        let node = |at: usize| self.trace.moves.get(at).map_or(self.trace.end.node, |step| step.place.node);
        let pointer = |at: usize| self.machine.node(node(at)).pointer.as_str();
        match before {
            Some(before) => {
                pointer(at) == before && at.checked_sub(1).is_none_or(|left| pointer(left) != before)
            }
            None => at == self.trace.moves.len() && node(at) == DONE,
        }
    }

    fn put_in(&self, records: &[AbstractState], put: &Put<'_>) -> Option<Vec<AbstractState>> {
        match put {
            Put::Steps(sequence) => self.put_in_steps(records, sequence),
            Put::Step(pointer) => self.put_in_step(records, pointer),
        }
    }

    /// The records after a step of the procedure that goes well; none if it is itself at fault there.
    fn put_in_step(&self, records: &[AbstractState], pointer: &str) -> Option<Vec<AbstractState>> {
        let machine = self.machine;
        let source = machine.node(machine.entry).source;
        let is_it = |id: NodeId| machine.node(id).pointer == pointer && machine.node(id).source == source;
        let first = (0..machine.nodes.len() as u32).map(NodeId).find(|id| is_it(*id))?;
        let mut after = Vec::new();
        for record in records {
            let inside = AbstractState { place: Place::at(first), ..record.clone() };
            let mut open = vec![inside];
            while let Some(state) = open.pop() {
                if !is_it(state.place.node) {
                    after.push(AbstractState { place: record.place, ..state });
                    continue;
                }
                if !machine.unmet(&state).is_empty() {
                    return None;
                }
                let ways = machine.node(state.place.node).outcomes.iter().enumerate();
                for (way, _) in ways.filter(|(_, way)| goes_well(way.choice)) {
                    let next = machine.step(&state, way);
                    if next.iter().any(|next| !next.broken.is_empty()) {
                        return None;
                    }
                    open.extend(next.into_iter().map(|next| next.state));
                }
            }
        }
        Some(after)
    }

    /// The records after the steps; none if one of the steps is itself at fault there.
    fn put_in_steps(&self, records: &[AbstractState], sequence: &[Inserted]) -> Option<Vec<AbstractState>> {
        let Self { machine, equipment, .. } = *self;
        let mut records = records.to_vec();
        for inserted in sequence {
            match inserted {
                Inserted::Action(name) => {
                    let action = equipment.actions.get(name)?;
                    let work = action.work.as_ref().and_then(|work| equipment.work.get(work));
                    let needs = in_machine(&machine.layout, &action.requires)?;
                    let of_work = work
                        .map_or(Some(Cube::default()), |work| in_machine(&machine.layout, &work.requires))?;
                    let opened = action.disturbs.iter().filter(|name| !action.leaves.contains_key(*name));
                    let opened = opened.map(|name| machine.layout.find(name).map(Effect::Open));
                    let written =
                        in_machine(&machine.layout, &action.leaves)?.0.into_iter().map(Effect::Write);
                    let effects: Vec<Effect> = written.map(Some).chain(opened).collect::<Option<_>>()?;
                    for record in &mut records {
                        if !needs.holds(&machine.layout, &record.bits)
                            || !of_work.holds(&machine.layout, &record.bits)
                        {
                            return None;
                        }
                        for &effect in &effects {
                            let changed = machine.apply(record, effect).changed;
                            if !machine.broken(record, &changed).is_empty() {
                                return None;
                            }
                        }
                        for rule in machine.found(record) {
                            if !machine.rules[rule].when.meets(&machine.layout, &record.bits) {
                                machine.set_found(record, rule, false);
                            }
                        }
                    }
                }
                Inserted::Wait(millis) => {
                    if records.iter().any(|record| !machine.found(record).is_empty()) {
                        return None;
                    }
                    records = records.iter().map(|record| machine.pass_time(record, *millis)).collect();
                }
                Inserted::Confirm(seen) => {
                    for record in &mut records {
                        machine.apply(record, Effect::Look(*seen));
                    }
                }
            }
        }
        Some(records)
    }
}

/// Whether a step goes on as it is meant to.
fn goes_well(choice: Choice) -> bool {
    match choice {
        Choice::Done | Choice::Pass | Choice::Applies | Choice::PassedOver => true,
        Choice::Fail
        | Choice::Is(_)
        | Choice::CannotTell
        | Choice::Answer(_)
        | Choice::Item(_)
        | Choice::AllItems => false,
    }
}
