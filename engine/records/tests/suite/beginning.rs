//! Whether a walk may begin, and as what.

use super::documents::{PROCEDURE, library};
use document::{Day, InputFile};
use records::{Beginning, NotBegun};
use walk::Begin;

const WANTED: Beginning<'_> = Beginning {
    procedure: "wash",
    serial: " A-1 ",
    person: "Tomas Reeve",
    training: false,
    rehearsal: false,
    not_proved: None,
    is_approved: true,
};

fn begin(wanted: &Beginning<'_>, lacks: Option<&str>) -> Result<Begin, NotBegun> {
    begin_of(PROCEDURE, wanted, lacks)
}

fn begin_of(procedure: &str, wanted: &Beginning<'_>, lacks: Option<&str>) -> Result<Begin, NotBegun> {
    wanted.begin(&library(procedure), || Ok::<_, ()>(lacks.map(str::to_owned))).expect("nothing else fails")
}

#[test]
fn only_what_is_approved_and_walked_by_somebody_with_the_role_counts() {
    let real = begin(&WANTED, None).expect("it begins");
    assert_eq!((&*real.serial, real.training, real.rehearsal, real.revision), ("A-1", false, false, 3));
    let lacking = begin(&WANTED, Some("Tomas Reeve has not the role technician"));
    assert!(matches!(&lacking, Err(NotBegun::Lacks(why)) if why.contains("role")), "{lacking:?}");
    for (training, rehearsal, is_approved) in
        [(true, false, true), (false, true, true), (false, false, false)]
    {
        let wanted = Beginning { training, rehearsal, is_approved, ..WANTED };
        let begun = begin(&wanted, Some("nobody asks")).expect("training is open to all");
        assert_eq!((begun.training, begun.rehearsal), (true, rehearsal));
    }
}

#[test]
fn what_cannot_be_walked_or_is_no_serial_number_does_not_begin() {
    let finding = "step `act` needs the supply isolated";
    let unproved = begin(&Beginning { not_proved: Some(finding), ..WANTED }, None);
    assert_eq!(unproved, Err(NotBegun::NotProved(finding.to_owned())));
    let told = unproved.map_err(|why| why.to_string());
    let words =
        format!("This procedure is not proved under what is written now and cannot be begun: {finding}.");
    assert_eq!(told, Err(words));
    assert_eq!(begin(&Beginning { procedure: "rinse", ..WANTED }, None), Err(NotBegun::NoProcedure));
    let (longest, longer) = ("9".repeat(60), "9".repeat(61));
    assert!(begin(&Beginning { serial: &longest, ..WANTED }, None).is_ok());
    assert!(begin(&Beginning { serial: "Lot #7 a/b_c-1.2", ..WANTED }, None).is_ok());
    // The last two look like T-1: a sign that turns the direction (U+202E) and the Cyrillic letter Te (Unicode: from memory).
    for serial in [" ", "-", &longer, "A\n1", "%", "\u{fffd}", "T\u{202e}-1", "\u{422}-1"] {
        assert_eq!(begin(&Beginning { serial, ..WANTED }, None), Err(NotBegun::Serial), "{serial:?}");
    }
}

/// What is reckoned before a walk is what its first record holds: the documents, and room for all else.
#[test]
fn the_length_of_the_first_record_is_known_beforehand() {
    let odd = PROCEDURE.replace("title: ", "# \"\\\t\u{2126}\ntitle: ");
    for procedure in [PROCEDURE, &odd] {
        let documents = library(procedure).record_bytes("wash");
        let begun = begin_of(procedure, &WANTED, None).expect("it begins");
        let record = serde_json::to_string(&walk::Event::Begin(Box::new(begun))).expect("JSON");
        assert!(documents < record.len(), "{documents} of {}", record.len());
        assert!(
            record.len() < documents + document::limits::RECORD_HEAD_BYTES / 4,
            "{documents} of {}",
            record.len()
        );
    }
    assert!(library(&odd).record_bytes("wash") > library(PROCEDURE).record_bytes("wash") + 10);
}

#[test]
fn whoever_begins_is_told_what_is_out_of_service() {
    let register = super::register("Etc/UTC");
    let walks = [super::stopped("A-1", super::START_MS)];
    let told = |on: &str, equipment: &str, serial: Option<&str>| {
        let on = Day::parse(on).expect("a day");
        records::out_of_service(Some(&register), register.site.zone, &walks, on, equipment, serial)
    };
    let (by_hand, by_a_stop) = (
        "A-2 since 2026-10-15: A castor is cracked. (Gwen Adeyi)",
        "A-1 since 2026-10-20: The lamp flickers. (Tomas Reeve)",
    );
    // Before the machine is named all are told, and of the named one its own, however its number is typed.
    assert_eq!(told("2026-10-20", "pump", None), [by_hand, by_a_stop]);
    assert_eq!(told("2026-10-20", "pump", Some(" a-2 ")), [by_hand]);
    assert_eq!(told("2026-10-20", "pump", Some("A-1")), [by_a_stop]);
    for (on, equipment, serial) in [
        ("2026-10-14", "pump", None),
        ("2026-10-19", "pump", Some("A-1")),
        ("2026-10-20", "pump", Some("A-3")),
        ("2026-10-20", "cart", None),
    ] {
        assert_eq!(told(on, equipment, serial), [""; 0], "{on} {equipment} {serial:?}");
    }
}

#[test]
fn a_machine_that_the_register_does_not_list_is_told_of() {
    let register = super::register("Etc/UTC");
    let on = Day::parse("2026-10-20").expect("a day");
    let notices = |register: Option<&records::Register>, serial: &str| {
        records::machine_notices(register, document::Zone::UTC, &[], &[], on, "pump", serial)
    };
    assert_eq!(notices(Some(&register), "A-1"), []);
    assert_eq!(notices(Some(&register), "A-9"), [records::MachineNotice::Unlisted("A-9".to_owned())]);
    assert_eq!(notices(None, "A-9"), [], "where there is no register nobody lists machines");
}

#[test]
fn what_cannot_be_shown_is_not_walked() {
    // In a step, and in the head.
    for broken in [
        PROCEDURE.replace("do: Act.", "do: 'Wait {{ nothing }}.'"),
        PROCEDURE.replace("purpose: Wash.", "purpose: 'Wash {{ nothing }}.'"),
    ] {
        let refused = begin_of(&broken, &WANTED, None).expect_err("nobody sees its steps");
        assert!(matches!(refused, NotBegun::NotShown(_)), "{refused:?}");
        assert!(refused.to_string().contains("no amount is named `nothing`"), "{refused}");
    }
}

/// Nobody can see the charge: a start by hand would take it for gone, for real, for training and in a rehearsal.
#[test]
fn what_requires_what_nobody_sees_is_not_begun_by_hand() {
    let file = |name: &str, text: String| InputFile { name: name.to_owned(), bytes: text.into_bytes() };
    let pump = "equipment: pump\ntitle: A pump\nrevision: 1\nroles: { technician: Works on it. }\nhazards: {}\nconditions:\n  \
        supply: { values: [isolated, live], ask: Is it dark? }\n  charge: { values: [present, gone], seen_by: nobody, \
        settles: { from: present, to: gone, after: 45 s, while: { supply: isolated } }, lost_when: { supply: live } }\n";
    let inner = PROCEDURE.replace("steps:", "requires: { supply: isolated, charge: gone }\nsteps:");
    let outer = PROCEDURE
        .replace("procedure: wash", "procedure: outer")
        .replace("steps:", "requires: { supply: isolated }\nsteps:\n  - { id: wait, wait: { for: 45 s } }")
        .replace("do: Act.", "perform: wash");
    let files = [file("pump.yaml", pump.to_owned()), file("wash.yaml", inner), file("outer.yaml", outer)];
    let library = document::read(&files).library;
    let begin =
        |wanted: Beginning<'_>| wanted.begin(&library, || Ok::<_, ()>(None)).expect("nothing else fails");
    for (training, rehearsal) in [(false, false), (true, false), (false, true)] {
        let why = begin(Beginning { training, rehearsal, ..WANTED }).expect_err("it is refused").to_string();
        let wanted = "`wash` is not begun by hand: nobody can see whether it is so: charge gone. \
            It is performed from `outer`: begin that.";
        assert_eq!(why, wanted);
    }
    assert!(begin(Beginning { procedure: "outer", ..WANTED }).is_ok());
    // Nor where whoever begins it asked nobody before.
    let unasked =
        Begin::training(&library, "wash", "A-1".to_owned(), "Tomas Reeve".to_owned()).expect("it is there");
    let mut journal = journal::Journal::in_memory().expect("a journal");
    let refused = walk::begin(&mut journal, "one", unasked, 0).err().expect("it is refused").to_string();
    assert!(refused.contains("charge gone. Begin a procedure that brings it about"), "{refused}");
    assert_eq!(journal.head().expect("a head").len, 0, "nothing is recorded");
}
