//! A record: what somebody at the machine is entitled to believe (R1).

use super::model::{Judged, Settling};

/// One box, with all that decides what becomes of it.
#[derive(Clone, Debug, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Record {
    /// For every variable the values it may have, a bit each.
    pub field: Vec<u64>,
    /// For every variable the time in milliseconds that has surely counted towards settling; 0 where nothing settles.
    pub clock: Vec<u64>,
    /// Conditions opened since they were last looked at or written, a bit each.
    pub opened: u64,
    /// Settling conditions of which only a look tells from now on, a bit each.
    pub look_only: u64,
    /// Rules found broken and not yet ended, a bit each.
    pub found: u64,
    /// Conditions with a normal value that an act wrote, a bit each.
    pub wrote: u64,
}

impl Judged {
    /// A record of which nothing is known.
    #[must_use]
    pub fn nothing_known(&self) -> Record {
        let mut record = Record {
            field: (0..self.vars.len()).map(|var| self.all(var)).collect(),
            clock: vec![0; self.vars.len()],
            opened: 0,
            look_only: 0,
            found: 0,
            wrote: 0,
        };
        self.keep_in_order(&mut record);
        record
    }

    /// What holds of every record (R3): what may yet give way may have given way; where it surely has, the clock is full.
    pub(super) fn keep_in_order(&self, record: &mut Record) {
        for (var, variable) in self.vars.iter().enumerate() {
            let Some(settles) = &variable.settles else { continue };
            if record.field[var] & settles.from != 0 {
                record.field[var] |= settles.to;
                record.clock[var] = record.clock[var].min(settles.after);
            } else {
                record.clock[var] = settles.after;
            }
        }
    }

    /// Makes a field smaller; whether anything is left.
    pub(super) fn narrow(&self, record: &mut Record, var: usize, set: u64) -> bool {
        record.field[var] &= set;
        let left = record.field[var] != 0;
        self.keep_in_order(record);
        left
    }

    /// The parts of a record in which a cube does not hold: the first conjunct false, the first true and the second false
    /// and so on.
    pub(super) fn parts_without(&self, record: &Record, cube: &[(usize, u64)]) -> Vec<Record> {
        let mut parts = self.cut(record, cube);
        parts.iter_mut().for_each(|part| self.keep_in_order(part));
        parts
    }

    /// The same before anything may have fallen again.
    pub(super) fn cut(&self, record: &Record, cube: &[(usize, u64)]) -> Vec<Record> {
        let (mut parts, mut rest) = (Vec::new(), record.clone());
        for &(var, set) in cube {
            let mut part = rest.clone();
            part.field[var] &= !set & self.all(var);
            if part.field[var] != 0 {
                parts.push(part);
            }
            rest.field[var] &= set;
            if rest.field[var] == 0 {
                break;
            }
        }
        parts
    }

    /// Time passes (R5). What settles meanwhile does not last where a cause stood over it before: it may have come about in
    /// the middle of that time (R24).
    pub(super) fn pass_time(&self, record: &mut Record, time: u64) {
        let settles = |var: usize| {
            let settles = self.vars[var].settles.as_ref()?;
            record.surely(&settles.holds).then_some((var, settles))
        };
        let counts: Vec<(usize, &Settling)> = (0..self.vars.len()).filter_map(settles).collect();
        let over = self.stood_over(record, counts.iter().fold(0, |all, (var, _)| all | 1 << var));
        let mut settled = 0u64;
        for (var, settles) in counts {
            record.clock[var] = (record.clock[var] + time).min(settles.after);
            if record.clock[var] == settles.after && record.look_only >> var & 1 == 0 {
                if record.field[var] & settles.from != 0 {
                    settled |= 1 << var;
                }
                record.field[var] &= !settles.from;
            }
        }
        self.keep_in_order(record);
        self.lose_fleeting(record, settled & over);
    }
}

impl Record {
    /// Whether every membership surely holds.
    #[must_use]
    pub fn surely(&self, cube: &[(usize, u64)]) -> bool {
        cube.iter().all(|&(var, set)| self.field[var] & !set == 0)
    }

    /// Whether all of them may hold.
    #[must_use]
    pub fn may(&self, cube: &[(usize, u64)]) -> bool {
        cube.iter().all(|&(var, set)| self.field[var] & set != 0)
    }
}
