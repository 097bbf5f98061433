//! Events in words.

use crate::event::{Because, Event};
use document::same_person;

/// The events of a walk in a line each, for a list of records; the first has to be the one with which it began. Who goes on
/// with a walk of somebody else is told as who takes it over.
#[must_use]
pub fn words(events: &[(i64, Event)]) -> Vec<String> {
    let mut walker = None;
    let line = |(_, event): &(i64, Event)| {
        let before = walker.clone();
        match event {
            Event::Begin(begin) => walker = Some(begin.person.clone()),
            Event::Resumed { person, .. } | Event::Stopped { person: Some(person), .. } => {
                walker = Some(person.clone());
            }
            _ => {}
        }
        one(event, before.as_deref())
    };
    events.iter().map(line).collect()
}

/// What was given, apart from the step at which it was.
pub(crate) fn apart<'w>(step: &str, what: &'w str) -> &'w str {
    what.strip_prefix(step).and_then(|rest| rest.strip_prefix(": ")).unwrap_or(what)
}

/// An event in one line, by itself.
pub(crate) fn in_words(event: &Event) -> String {
    one(event, None)
}

/// An event in one line; `walker` is who walked before it.
fn one(event: &Event, walker: Option<&str>) -> String {
    match event {
        Event::Begin(begin) => format!("begun by {}", begin.person),
        Event::Variant { variant, value } => format!("{variant} is {value}"),
        Event::Label { amount, input, figure, .. } => format!("label: {input} of {amount} is {figure}"),
        Event::Seen { step, condition, values, answer, found, because, recorded } => {
            let answer = match found {
                Some(value) => format!("{}, it is {value}", answer.words()),
                None => answer.words().to_owned(),
            };
            seen(step, condition, values, &answer, *because, recorded)
        }
        Event::CannotTell { step } => format!("{step}: nobody can tell"),
        Event::Restored { step, action, condition } => {
            format!("{step}: put right: {action}, for {condition}")
        }
        Event::NotVerified { step, person, role } => format!("{step}: not so, says {person}, {role}"),
        Event::ActBegun { step, finished: true, .. } => {
            format!("{step}: it had been done to its end before the interruption")
        }
        Event::ActBegun { step, yes: true, .. } => {
            format!("{step}: it had been begun before the interruption")
        }
        Event::ActBegun { step, yes: false, .. } => {
            format!("{step}: it had not been begun before the interruption")
        }
        Event::Confirmed { condition, values } => format!("confirmed: {condition} {}", values.join(" or ")),
        Event::NormalConfirmed { conditions } => {
            let all: Vec<String> = conditions.iter().map(|(name, value)| format!("{name} {value}")).collect();
            format!("confirmed together: {}", all.join(", "))
        }
        Event::Looked { step, condition, values, yes } => {
            format!("{step}: {condition} {}: {}", values.join(" or "), if *yes { "yes" } else { "no" })
        }
        Event::Done { step } => format!("{step}: done"),
        Event::Fastened { step, pass, fastener } => format!("{step}: pass {pass}, fastener {fastener} done"),
        Event::TicksLooked { step, yes: true } => {
            format!("{step}: the ticked fasteners are as they were left")
        }
        Event::TicksLooked { step, yes: false } => {
            format!("{step}: the ticked fasteners are not as they were left, and their ticks no longer count")
        }
        Event::Verified { step, person, role } => format!("{step}: verified by {person}, {role}"),
        Event::Released { step, person, role } => format!("{step}: released by {person}, {role}"),
        Event::Reading { step, reading, attempt, verdict } => {
            format!("{step}: reading {attempt} is {reading}, {}", verdict.words())
        }
        Event::Answered { step, answer, recorded } if recorded.is_empty() => {
            format!("{step}: answered {answer}")
        }
        Event::Answered { step, answer, recorded } => {
            let by_record = recorded.join(", ");
            format!("{step}: answered {answer}. By the record {by_record}. What is seen counts")
        }
        Event::Chosen { step } => format!("{step}: chosen next"),
        Event::WaitStarted { step, millis } => {
            format!("{step}: timer of {} started", calc::quantity::Duration::from_millis(*millis))
        }
        Event::WaitOver { step } => format!("{step}: time over"),
        Event::LimitReached { step } => format!("{step}: limit reached"),
        Event::GrownOld { step, conditions } => {
            format!("{step}: looked at too long ago by then: {}", conditions.join(", "))
        }
        Event::NeverProved { step, believed } => {
            format!("{step}: not shown, what is believed was never proved: {}", believed.join(", "))
        }
        Event::TakenBack { step, what } => format!("{step}: taken back: {}", apart(step, what)),
        Event::Noted { step, text } => format!("{step}: note: {text}"),
        Event::Paused => "paused".to_owned(),
        Event::Resumed { person, unannounced } => {
            let who = match walker {
                Some(walker) if !same_person(walker, person) => {
                    format!("handed over from {walker} to {person}")
                }
                Some(_) | None => format!("resumed by {person}"),
            };
            who + if *unannounced { " after an interruption that nobody announced" } else { "" }
        }
        Event::Photographed { step, photo, caption } => {
            format!("{step}: photo {}: {caption}", photo.get(..12).unwrap_or(photo))
        }
        Event::Deviated { step, reason, person, role } => {
            format!("{step}: done otherwise, allowed by {person}, {role}: {reason}")
        }
        Event::LeavingDone { act } => format!("before leaving: {act}: done"),
        Event::LeavingLooked { condition, values } if values.is_empty() => {
            format!("before leaving: {condition}: nobody can tell")
        }
        Event::LeavingLooked { condition, values } => {
            format!("before leaving: {condition} {}", values.join(" or "))
        }
        Event::Returned { person, role, remark } => {
            format!("released for use again by {person}, {role}: {remark}")
        }
        Event::Stopped { reason, person: None } => format!("work stopped: {reason}"),
        Event::Stopped { reason, person: Some(person) } => {
            format!("work stopped by {person}, who was not at the walk: {reason}")
        }
    }
}

fn seen(
    step: &str,
    condition: &str,
    values: &[String],
    answer: &str,
    because: Because,
    recorded: &[String],
) -> String {
    let at = because.words().map_or_else(|| format!("{step}: "), |why| format!("{step}: {why}: "));
    let told = format!("{at}{condition} {}: {}", values.join(" or "), answer);
    if recorded.is_empty() { told } else { format!("{told}. {}", surprise(condition, recorded)) }
}

/// What is told where a look contradicts the record.
#[must_use]
pub fn surprise(condition: &str, recorded: &[String]) -> String {
    format!("By the record the {condition} was {}. What is seen counts", recorded.join(" or "))
}
