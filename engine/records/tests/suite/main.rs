//! What the records say, judged without the program: what is due, what is out of service, and whether a walk may begin.

mod beginning;
mod change;
mod damaged;
mod documents;
mod due;
mod filter;
mod judged;
mod lately;
mod leaving;
mod told;

use document::Zone;
use records::{Register, Walked};

/// 2026-10-20, eight o'clock in universal time.
const START_MS: i64 = 1_792_483_200_000;
const DAY_MS: i64 = 86_400_000;

const REGISTER: &str = "
register:
  pump:
    due:
      wash: { every: 30 days }
      refit: { every: 200 days, after: { uses: 2, of: [wash] } }
    serials:
      A-1: { since: 2026-10-01 }
      A-2:
        since: 2026-10-10
        out_of_service: { since: 2026-10-15, by: Gwen Adeyi, reason: A castor is cracked. }
";

fn register(zone: &str) -> Register {
    Register::parse(&format!("site: {{ zone: {zone} }}{REGISTER}")).expect("a register")
}

/// A completed walk that ended at that time.
fn walked(procedure: &str, serial: &str, at_ms: i64) -> Walked {
    Walked {
        id: format!("{procedure}-{at_ms}"),
        procedure: procedure.to_owned(),
        revision: 1,
        content: String::new(),
        equipment: "pump".to_owned(),
        serial: serial.to_owned(),
        person: "Tomas Reeve".to_owned(),
        people: vec!["Tomas Reeve".to_owned(), "Anneke Voss".to_owned()],
        standing: "completed",
        ended: true,
        training: false,
        rehearsal: false,
        begun_day: Zone::UTC.day_of(at_ms),
        records: 2,
        completed: true,
        stopped: None,
        out_of_use: false,
        is_earlier: false,
        first_ms: at_ms,
        last_ms: at_ms,
    }
}

/// A walk in which work was stopped.
fn stopped(serial: &str, at_ms: i64) -> Walked {
    Walked {
        standing: "stopped",
        completed: false,
        stopped: Some("The lamp flickers.".to_owned()),
        out_of_use: true,
        ..walked("wash", serial, at_ms)
    }
}
