//! What is due on each machine, and which machines are out of service: by the register and the records on a day.

use crate::register::{Interval, Register, serial_key};
use crate::walks::Walked;
use document::{Day, Zone};
use serde::Serialize;

/// What is due, and what is out of service.
#[derive(Clone, Debug, Default, PartialEq, Eq, Serialize)]
pub struct Due {
    /// What is to be done on every machine, the earliest first; what has no day yet comes last.
    pub items: Vec<Item>,
    /// The machines out of service, in the order of the register.
    pub out: Vec<Out>,
    /// Machines that were worked on and are not in the register: equipment, serial number and how many walks. A serial
    /// number that was mistyped shows here, and its walk counts for no machine.
    pub unlisted: Vec<(String, String, usize)>,
}

/// One procedure on one machine.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Item {
    /// The equipment.
    pub equipment: String,
    /// The serial number.
    pub serial: String,
    /// The procedure.
    pub procedure: String,
    /// The day on which it falls due; none while only uses decide and too few are on record.
    pub on: Option<Day>,
    /// Whether that day has come.
    pub is_due: bool,
    /// Uses since it was last done, and after how many it is due.
    pub uses: Option<(u32, u32)>,
    /// The day of the last completed walk of it, and the walk.
    pub last: Option<(Day, String)>,
    /// The day the machine came into use, from which it counts where there is no such walk.
    pub since: Day,
    /// How many completed walks of it are on record.
    pub done: usize,
    /// When the last record was made that it follows from, in milliseconds since 1970; none where only the register tells.
    pub known_ms: Option<i64>,
}

/// A machine out of service.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Out {
    /// The equipment.
    pub equipment: String,
    /// The serial number.
    pub serial: String,
    /// The day since when.
    pub since: Day,
    /// Why.
    pub reason: String,
    /// Who said so.
    pub by: String,
    /// The stopped walk; none where the register says so.
    pub walk: Option<String>,
}

/// Works out what is due on a day of the site's zone. Walks that ended later, training and rehearsals do not count. Without
/// a register only what stopped walks tell is told.
#[must_use]
pub fn due(register: Option<&Register>, zone: Zone, walks: &[Walked], on: Day) -> Due {
    let day_of = |walk: &Walked| zone.day_of(walk.last_ms);
    let mut counted: Vec<&Walked> =
        walks.iter().filter(|walk| !walk.training && !walk.rehearsal && day_of(walk) <= on).collect();
    counted.sort_by_key(|walk| walk.last_ms);
    let mut due = Due::default();
    for (equipment, fleet) in register.iter().flat_map(|register| &register.register) {
        for (serial, machine) in &fleet.serials {
            let on_it: Vec<&Walked> =
                counted.iter().copied().filter(|walk| is_of(walk, equipment, serial)).collect();
            for (procedure, interval) in &fleet.due {
                let item = Item {
                    equipment: equipment.to_string(),
                    serial: serial.clone(),
                    procedure: procedure.to_string(),
                    ..item(procedure, interval, machine.since, &on_it, (zone, on))
                };
                due.items.push(item);
            }
            let by_hand = machine.out_of_service.iter().filter(|out| out.since <= on);
            due.out.extend(by_hand.map(|out| Out {
                equipment: equipment.to_string(),
                serial: serial.clone(),
                since: out.since,
                reason: out.reason.clone(),
                by: out.by.clone(),
                walk: None,
            }));
        }
    }
    // A machine that is not in the register stays out of use all the same.
    due.out.extend(counted.iter().filter(|walk| walk.out_of_use).map(|walk| Out {
        equipment: walk.equipment.clone(),
        serial: walk.serial.clone(),
        since: day_of(walk),
        reason: walk.stopped.clone().unwrap_or_else(|| "the procedure ends there".to_owned()),
        by: walk.person.clone(),
        walk: Some(walk.id.clone()),
    }));
    due.unlisted = register.map(|register| unlisted(register, &counted)).unwrap_or_default();
    due.items.sort_by(|a, b| {
        let day = |item: &Item| (item.on.is_none(), item.on);
        day(a).cmp(&day(b)).then_with(|| (&a.serial, &a.procedure).cmp(&(&b.serial, &b.procedure)))
    });
    due
}

fn is_of(walk: &Walked, equipment: &str, serial: &str) -> bool {
    walk.equipment == equipment && serial_key(&walk.serial) == serial_key(serial)
}

/// One procedure on one machine; the caller fills in which.
fn item(
    procedure: &str,
    interval: &Interval,
    since: Day,
    on_it: &[&Walked],
    (zone, today): (Zone, Day),
) -> Item {
    let day_of = |walk: &Walked| zone.day_of(walk.last_ms);
    let done: Vec<&&Walked> =
        on_it.iter().filter(|walk| walk.completed && walk.procedure == procedure).collect();
    let last = done.last().copied();
    let from_ms = last.map(|walk| walk.last_ms);
    let from = last.map_or(since, |walk| day_of(walk));
    let mut on = interval.every.map(|days| from.later(days));
    let mut known_ms = from_ms;
    let uses = interval.after.as_ref().map(|after| {
        let is_use = |walk: &&&Walked| {
            walk.completed
                && after.of.iter().any(|of| **of == *walk.procedure)
                && from_ms.is_none_or(|from| walk.last_ms > from)
        };
        let uses: Vec<&&Walked> = on_it.iter().filter(is_use).collect();
        let reached = usize::try_from(after.uses).ok().and_then(|limit| uses.get(limit.checked_sub(1)?));
        if let Some(walk) = reached {
            let day = day_of(walk);
            on = Some(on.map_or(day, |other| other.min(day)));
        }
        known_ms = known_ms.max(uses.last().map(|walk| walk.last_ms));
        (u32::try_from(uses.len()).unwrap_or(u32::MAX), after.uses)
    });
    Item {
        equipment: String::new(),
        serial: String::new(),
        procedure: String::new(),
        is_due: on.is_some_and(|day| day <= today),
        on,
        uses,
        last: last.map(|walk| (day_of(walk), walk.id.clone())),
        since,
        done: done.len(),
        known_ms,
    }
}

fn unlisted(register: &Register, counted: &[&Walked]) -> Vec<(String, String, usize)> {
    let mut found: Vec<(String, String, usize)> = Vec::new();
    for walk in counted {
        let Some(fleet) = register.register.get(walk.equipment.as_str()) else { continue };
        if fleet.serials.keys().any(|serial| is_of(walk, &walk.equipment, serial)) {
            continue;
        }
        match found.iter_mut().find(|(equipment, serial, _)| is_of(walk, equipment, serial)) {
            Some((.., walks)) => *walks += 1,
            None => found.push((walk.equipment.clone(), walk.serial.clone(), 1)),
        }
    }
    found.sort();
    found
}
