//! What is due on each machine, and which machines are out of service: by the register and the records on a day.

use crate::register::{Interval, Register, serial_key};
use crate::walks::Walked;
use document::{Day, Zone};
use serde::Serialize;
use std::collections::BTreeMap;

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
    let mut on_machines: BTreeMap<(&str, String), Vec<&Walked>> = BTreeMap::new();
    for walk in &counted {
        on_machines.entry((&walk.equipment, serial_key(&walk.serial))).or_default().push(walk);
    }
    let mut due = Due::default();
    for (equipment, fleet) in register.iter().flat_map(|register| &register.register) {
        for (serial, machine) in &fleet.serials {
            let on_it = on_machines.get(&(&**equipment, serial_key(serial))).map_or(&[][..], Vec::as_slice);
            for (procedure, interval) in &fleet.due {
                let item = Item {
                    equipment: equipment.to_string(),
                    serial: serial.clone(),
                    procedure: procedure.to_string(),
                    ..item(procedure, interval, machine.since, on_it, (zone, on))
                };
                due.items.push(item);
            }
        }
    }
    due.out = out(register, zone, walks, on);
    due.unlisted = register.map(|register| unlisted(register, &on_machines)).unwrap_or_default();
    due.items.sort_by(|a, b| {
        let day = |item: &Item| (item.on.is_none(), item.on);
        day(a).cmp(&day(b)).then_with(|| (&a.serial, &a.procedure).cmp(&(&b.serial, &b.procedure)))
    });
    due
}

/// The machines out of service on a day.
pub(crate) fn out(register: Option<&Register>, zone: Zone, walks: &[Walked], on: Day) -> Vec<Out> {
    let mut all = Vec::new();
    for (equipment, fleet) in register.iter().flat_map(|register| &register.register) {
        for (serial, machine) in &fleet.serials {
            let by_hand = machine.out_of_service.iter().filter(|out| out.since <= on);
            all.extend(by_hand.map(|out| Out {
                equipment: equipment.to_string(),
                serial: serial.clone(),
                since: out.since,
                reason: out.reason.clone(),
                by: out.by.clone(),
                walk: None,
            }));
        }
    }
    let day_of = |walk: &Walked| zone.day_of(walk.last_ms);
    let is_out = |walk: &&Walked| walk.out_of_use && !walk.training && !walk.rehearsal && day_of(walk) <= on;
    let mut stopped: Vec<&Walked> = walks.iter().filter(is_out).collect();
    stopped.sort_by_key(|walk| walk.last_ms);
    // A machine that is not in the register stays out of use all the same.
    all.extend(stopped.into_iter().map(|walk| Out {
        equipment: walk.equipment.clone(),
        serial: walk.serial.clone(),
        since: day_of(walk),
        reason: walk.stopped.clone().unwrap_or_else(|| "the procedure ends there".to_owned()),
        by: walk.person.clone(),
        walk: Some(walk.id.clone()),
    }));
    all
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

/// Each as it was first written.
fn unlisted(
    register: &Register,
    on_machines: &BTreeMap<(&str, String), Vec<&Walked>>,
) -> Vec<(String, String, usize)> {
    let is_unlisted = |equipment: &str, key: &String| {
        let fleet = register.register.get(equipment);
        fleet.is_some_and(|fleet| fleet.serials.keys().all(|serial| serial_key(serial) != *key))
    };
    let unlisted = on_machines.iter().filter(|((equipment, key), _)| is_unlisted(equipment, key));
    let told = unlisted.map(|(_, walks)| (walks[0].equipment.clone(), walks[0].serial.clone(), walks.len()));
    let mut found: Vec<(String, String, usize)> = told.collect();
    found.sort();
    found
}
