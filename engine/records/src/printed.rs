//! The record of one walk as a sheet: who, what, on which machine, every event, and whether the records hold together.

use crate::time::shown;
use card::sheet::{Block, Part, Sheet, Table, Tone};
use document::Zone;
use journal::{Storage, Verification};
use walk::{Event, Outline};

/// The facts of a walk by their names, as the page and the paper show them.
#[must_use]
pub fn facts(
    id: &str,
    outline: &Outline,
    verification: &Verification,
    head: Option<&str>,
) -> Vec<(String, String)> {
    let begin = &outline.begin;
    let state = outline.status.words();
    let held = match verification {
        Verification::Intact { .. } => "intact, each hash as computed".to_owned(),
        Verification::Broken(fault) => format!("Do not hold together: {fault}"),
    };
    // Of format 1 no walk carried any.
    let carried = || begin.certificate.clone().unwrap_or_else(|| "none".to_owned());
    let certificate = (!begin.is_earlier()).then(|| ("Certificate", carried()));
    let what = [
        ("Walk", id.to_owned()),
        ("State", outline.stopped.as_ref().map_or(state.to_owned(), |reason| format!("{state}: {reason}"))),
        ("Procedure", format!("{}, revision {}", begin.procedure, begin.revision)),
        ("Content", begin.content.clone()),
    ];
    let of_walk = [
        ("Machine", format!("{}, serial {}", begin.equipment, begin.serial)),
        ("Begun by", begin.person.clone()),
        ("Last walked by", outline.person.clone()),
        ("Records", held),
        ("Last hash", head.unwrap_or_default().to_owned()),
    ];
    let facts = what.into_iter().chain(certificate).chain(of_walk);
    facts.map(|(name, value)| (name.to_owned(), value)).collect()
}

/// The whole record of a walk, as of its last event; its day is that of the site's zone.
///
/// # Errors
/// If there is no such walk, a record cannot be read, or the journal fails.
pub fn sheet(journal: &dyn Storage, id: &str, zone: Zone) -> Result<Sheet, walk::Error> {
    let (outline, events, verification) = walk::as_it_stands(journal, id)?;
    let head = journal.records(id)?.last().map(|record| record.hash.to_string());
    let begin = &outline.begin;
    let mut marks = Vec::new();
    if begin.training {
        marks.push("TRAINING ONLY: this walk counts for nothing");
    }
    if begin.rehearsal {
        marks.push("REHEARSAL: its clock jumped over waits");
    }
    let rows = events.iter().zip(walk::words(&events)).enumerate().map(|(seq, ((at, event), words))| {
        let words = match event {
            Event::Photographed { photo, .. } => format!("{words} (whole hash {photo})"),
            _ => words,
        };
        vec![seq.to_string().into(), shown(*at).into(), words.into()]
    });
    let table = Table {
        headers: ["No.", "Time (UTC)", "Event"].map(str::to_owned).into(),
        shares: vec![9, 26, 65],
        rows: rows.collect(),
    };
    let title = outline.title.as_ref().unwrap_or(&begin.procedure);
    let verdict = match &verification {
        Verification::Intact { .. } => None,
        Verification::Broken(fault) => {
            let told = card::sheet::Line::from(format!("The records do not hold together: {fault}"));
            Some(told.toned(Tone::Against))
        }
    };
    let day = events.last().map(|(at, _)| zone.day_of(*at).to_string());
    Ok(Sheet {
        title: format!("Record: {title}"),
        running: format!("{id}, {} revision {}", begin.procedure, begin.revision),
        content: begin.content.clone(),
        day,
        mark: marks.join("; "),
        verdict,
        facts: facts(id, &outline, &verification, head.as_deref()),
        parts: vec![Part::new("events", "Events", vec![Block::Table(table)])],
        ..Sheet::default()
    })
}
