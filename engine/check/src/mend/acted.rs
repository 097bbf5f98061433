//! The run to a fault, acted out once more with steps put in: most insertions are seen to be of no use without a proof.

use super::sequences::Inserted;
use crate::written::in_machine;
use document::model::Equipment;
use machine::{AbstractState, Cube, Effect, Machine, NodeId, Trace};

/// Whether the run no longer goes wrong with the steps put in before the step at `before`, a pointer; at the end if there is
/// none. What else the steps do is for a proof to say.
pub(super) fn ends(
    machine: &Machine,
    equipment: &Equipment,
    trace: &Trace,
    sequence: &[Inserted],
    before: Option<&str>,
) -> bool {
    let pointer = |id: NodeId| machine.node(id).pointer.as_str();
    let mut records: Vec<AbstractState> =
        machine.start_of(&trace.start, trace.violation).into_iter().collect();
    let (mut last, mut left) = (Vec::new(), None);
    for step in &trace.moves {
        let here = step.place.node;
        let enters = left.is_none_or(|left| pointer(left) != pointer(here));
        if enters && before == Some(pointer(here)) {
            let Some(after) = put_in(machine, equipment, records, sequence) else { return false };
            records = after;
        }
        last = records.iter().flat_map(|record| machine.follow(record, step.outcome)).collect();
        if last.is_empty() {
            return true;
        }
        records = last.iter().map(|next: &machine::Next| next.state.clone()).collect();
        left = Some(here);
    }
    let end = trace.end.node;
    let enters = left.is_none_or(|left| pointer(left) != pointer(end));
    let is_next = before.is_none() && end == machine::DONE || before == Some(pointer(end));
    if enters && is_next {
        let Some(after) = put_in(machine, equipment, records, sequence) else { return false };
        return !after.iter().any(|record| machine.goes_wrong(record, left, None, trace.violation));
    }
    let first = trace.moves.is_empty().then_some(records).unwrap_or_default();
    let wrong = |next: &machine::Next| machine.goes_wrong(&next.state, left, Some(next), trace.violation);
    !last.iter().any(wrong)
        && !first.iter().any(|record| machine.goes_wrong(record, None, None, trace.violation))
}

/// The records after the steps; none if one of the steps is itself at fault there.
fn put_in(
    machine: &Machine,
    equipment: &Equipment,
    mut records: Vec<AbstractState>,
    sequence: &[Inserted],
) -> Option<Vec<AbstractState>> {
    for inserted in sequence {
        match inserted {
            Inserted::Action(name) => {
                let action = equipment.actions.get(name)?;
                let work = action.work.as_ref().and_then(|work| equipment.work.get(work));
                let needs = in_machine(&machine.layout, &action.requires)?;
                let of_work =
                    work.map_or(Some(Cube::default()), |work| in_machine(&machine.layout, &work.requires))?;
                let opened = action.disturbs.iter().filter(|name| !action.leaves.contains_key(*name));
                let opened = opened.map(|name| machine.layout.find(name).map(Effect::Open));
                let written = in_machine(&machine.layout, &action.leaves)?.0.into_iter().map(Effect::Write);
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
