//! `record`: reads walks back.

use crate::arguments::{ExportForm, JournalFile, Record, RecordCommand};
use crate::exit::Exit;
use crate::output;
use anyhow::{Context, Result};
use chrono::{DateTime, SecondsFormat};
use journal::{Journal, Verification};
use serde::Serialize;
use std::fmt::Write as _;
use walk::{Event, Standing};

pub(crate) fn run(options: &Record) -> Result<Exit> {
    let journal = open(&options.journal)?;
    match &options.command {
        RecordCommand::List => list(&journal),
        RecordCommand::Show { walk } => show(&journal, walk),
        RecordCommand::Verify => verify(&journal),
        RecordCommand::Export { walk, form } => export(&journal, walk.as_deref(), *form),
    }
}

fn open(file: &JournalFile) -> Result<Journal> {
    let path = file.journal.display();
    Journal::open_existing(&file.journal).with_context(|| format!("the records in `{path}` cannot be read"))
}

fn list(journal: &Journal) -> Result<Exit> {
    let mut text = String::new();
    for chain in journal.chains()? {
        let walk = walk::fold(journal, &chain.id)?;
        let begin = walk.begin();
        let _ = writeln!(
            text,
            "{}  {}  {}  {} revision {}  serial {}  {}{}",
            chain.id,
            time(chain.first_at),
            standing(walk.standing(), &walk),
            begin.procedure,
            begin.revision,
            begin.serial,
            begin.person,
            if begin.training { "  training only" } else { "" }
        );
    }
    if text.is_empty() {
        text.push_str("no walk is recorded\n");
    }
    output::say(&text)?;
    Ok(Exit::Clean)
}

/// The standing as it is to someone who reads the record: a walk under way that nobody paused is interrupted.
fn standing(standing: Standing, walk: &walk::Walk) -> String {
    match walk.stop_reason() {
        Some(reason) => format!("{} ({reason})", standing.words()),
        None => standing.words().to_owned(),
    }
}

fn show(journal: &Journal, id: &str) -> Result<Exit> {
    let walk = walk::fold(journal, id)?;
    let begin = walk.begin();
    let mut text = String::new();
    let _ = writeln!(text, "walk        {id}");
    let _ = writeln!(text, "procedure   {} revision {}", begin.procedure, begin.revision);
    let _ = writeln!(text, "content     {}", begin.content);
    let _ = writeln!(text, "equipment   {} serial {}", begin.equipment, begin.serial);
    let _ = writeln!(text, "begun by    {}", begin.person);
    let _ = writeln!(text, "standing    {}", standing(walk.standing(), &walk));
    if begin.training {
        let _ = writeln!(text, "            TRAINING ONLY - NOT APPROVED");
    }
    text.push('\n');
    for (seq, (at_ms, event)) in walk::events(journal, id)?.iter().enumerate() {
        let _ = writeln!(text, "{seq:4}  {}  {}", time(*at_ms), words(event));
    }
    output::say(&text)?;
    Ok(Exit::Clean)
}

/// An event in words.
fn words(event: &Event) -> String {
    match event {
        Event::Begin(begin) => format!("begun by {}", begin.person),
        Event::Variant { variant, value } => format!("{variant} is {value}"),
        Event::Confirmed { condition, values } => format!("confirmed: {condition} {}", values.join(" or ")),
        Event::NormalConfirmed { conditions } => {
            let all: Vec<String> = conditions.iter().map(|(name, value)| format!("{name} {value}")).collect();
            format!("confirmed together: {}", all.join(", "))
        }
        Event::Looked { step, condition, values, yes } => {
            format!("{step}: {condition} {}: {}", values.join(" or "), if *yes { "yes" } else { "no" })
        }
        Event::Done { step } => format!("{step}: done"),
        Event::Verified { step, person, role } => format!("{step}: verified by {person}, {role}"),
        Event::Released { step, person, role } => format!("{step}: released by {person}, {role}"),
        Event::Reading { step, reading, attempt, verdict } => {
            format!("{step}: reading {attempt} is {reading}, {verdict}")
        }
        Event::Answered { step, answer } => format!("{step}: answered {answer}"),
        Event::Chosen { step } => format!("{step}: chosen next"),
        Event::WaitStarted { step, millis } => {
            format!("{step}: timer of {} started", calc::quantity::Duration::from_millis(*millis))
        }
        Event::WaitOver { step } => format!("{step}: time over"),
        Event::LimitReached { step } => format!("{step}: limit reached"),
        Event::Noted { step, text } => format!("{step}: note: {text}"),
        Event::Paused => "paused".to_owned(),
        Event::Resumed { person, unannounced: false } => format!("resumed by {person}"),
        Event::Resumed { person, unannounced: true } => {
            format!("resumed by {person} after an interruption that nobody announced")
        }
        Event::Stopped { reason } => format!("work stopped: {reason}"),
    }
}

/// The step that an event belongs to.
pub(super) fn step_of(event: &Event) -> Option<&str> {
    match event {
        Event::Looked { step, .. }
        | Event::Done { step }
        | Event::Verified { step, .. }
        | Event::Released { step, .. }
        | Event::Reading { step, .. }
        | Event::Answered { step, .. }
        | Event::Chosen { step }
        | Event::WaitStarted { step, .. }
        | Event::WaitOver { step }
        | Event::LimitReached { step }
        | Event::Noted { step, .. } => Some(step),
        _ => None,
    }
}

fn verify(journal: &Journal) -> Result<Exit> {
    match journal.verify()? {
        Verification::Intact { records } => {
            let head = journal.head()?;
            let records = card::count(usize::try_from(records)?, "record");
            output::say(&format!(
                "intact: {records}, each hash as computed\nhead {} {}\n",
                head.len, head.hash
            ))?;
            Ok(Exit::Clean)
        }
        Verification::Broken(fault) => {
            output::say(&format!("not intact: {fault}\n"))?;
            Ok(Exit::Findings)
        }
    }
}

/// One record for other programs.
#[derive(Serialize)]
struct Exported {
    walk: String,
    seq: u64,
    at: String,
    previous: String,
    hash: String,
    #[serde(flatten)]
    event: serde_json::Value,
}

fn export(journal: &Journal, walk: Option<&str>, form: ExportForm) -> Result<Exit> {
    let ids: Vec<String> = match walk {
        Some(walk) => vec![walk.to_owned()],
        None => journal.chains()?.into_iter().map(|chain| chain.id).collect(),
    };
    if matches!(form, ExportForm::Text) {
        for id in &ids {
            show(journal, id)?;
        }
        return Ok(Exit::Clean);
    }
    let mut rows = Vec::new();
    for id in &ids {
        for record in journal.records(id)? {
            rows.push(Exported {
                walk: id.clone(),
                seq: record.seq,
                at: time(record.at_ms),
                previous: record.previous.to_string(),
                hash: record.hash.to_string(),
                event: serde_json::from_str(&record.payload)
                    .with_context(|| format!("record {} of `{id}` cannot be read", record.seq))?,
            });
        }
    }
    let text = match form {
        ExportForm::Csv => csv(&rows),
        ExportForm::Json | ExportForm::Text => serde_json::to_string_pretty(&rows)? + "\n",
    };
    output::say(&text)?;
    Ok(Exit::Clean)
}

/// RFC 4180, with the event's own fields as one JSON column. The texts of the documents are left to the JSON form.
fn csv(rows: &[Exported]) -> String {
    let mut text = String::from("walk,seq,at,event,details,hash\r\n");
    for row in rows {
        let mut details = row.event.clone();
        let mut event = String::new();
        if let Some(map) = details.as_object_mut() {
            map.remove("documents");
            event =
                map.remove("event").and_then(|event| event.as_str().map(str::to_owned)).unwrap_or_default();
        }
        let cells = [&row.walk, &row.seq.to_string(), &row.at, &event, &details.to_string(), &row.hash];
        let cells: Vec<String> =
            cells.iter().map(|cell| format!("\"{}\"", cell.replace('"', "\"\""))).collect();
        text.push_str(&cells.join(","));
        text.push_str("\r\n");
    }
    text
}

/// RFC 3339 in universal time.
pub(super) fn time(at_ms: i64) -> String {
    DateTime::from_timestamp_millis(at_ms)
        .map_or_else(|| format!("{at_ms} ms"), |time| time.to_rfc3339_opts(SecondsFormat::Secs, true))
}
