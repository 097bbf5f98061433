//! Stopping work: the computed way to the state in which the machine may be left.

use ::check::Report;
use document::model::Name;
use machine::step_number;
use records::leaving::{AS_IT_IS, NO_WAY, Way};
use review::pages::WayOut;
use std::collections::BTreeMap;
use std::fmt::Write as _;
use walk::Walk;

/// What to do before leaving the machine, from everything it may be like now. Empty where the equipment states no such
/// state.
pub(super) fn before_leaving(walk: &Walk) -> String {
    let mut text = String::new();
    match records::leaving::way(walk) {
        None => {}
        Some(Way::AsItIs(looks)) => {
            let _ = writeln!(text, "  {AS_IT_IS}");
            for look in looks {
                let _ = writeln!(text, "  {look}");
            }
        }
        Some(Way::Steps(steps)) => {
            for (depth, words) in steps {
                let _ = writeln!(text, "  {}{words}", "  ".repeat(depth));
            }
        }
        Some(Way::Unknown) => {
            let _ = writeln!(text, "  {NO_WAY}");
        }
    }
    text
}

/// How the machine can be left from each step of the procedure itself, by the step's number; nothing for a procedure of
/// which nothing is proved.
pub(crate) fn from_each_step(report: &Report, name: &Name) -> BTreeMap<String, Vec<WayOut>> {
    let mut stops: BTreeMap<String, Vec<WayOut>> = BTreeMap::new();
    let checked = report.procedures.iter().find(|checked| checked.procedure == *name);
    let proved = checked.and_then(|checked| checked.machine.as_ref().zip(checked.proof.as_ref()));
    let equipment = report.library.procedures.get(name).map(|document| &document.model.equipment);
    let equipment = equipment.and_then(|equipment| report.library.equipment.get(equipment));
    let Some(((machine, proof), equipment)) = proved.zip(equipment) else { return stops };
    for (id, leavings) in &proof.leaving {
        let node = machine.node(*id);
        if node.procedure != machine.procedure {
            continue;
        }
        let ways = stops.entry(step_number(&node.pointer)).or_default();
        let lines =
            leavings.iter().map(|leaving| Way::new(machine, Some(&equipment.model), leaving).one_line());
        for way in lines.map(|(words, is_known)| WayOut { words, is_known }) {
            if !ways.contains(&way) {
                ways.push(way);
            }
        }
    }
    for ways in stops.values_mut() {
        ways.sort();
    }
    stops
}
