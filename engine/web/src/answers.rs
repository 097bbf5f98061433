//! Answers: what a form or a call says to a walk, whether its sender may say it, and what became of it.

use crate::app::{App, Site};
use crate::day::clock;
use crate::fault::Fault;
use crate::fields::{Fields, Visitor};
use crate::store::{AnswerOutcome, refusal};
use records::leaving;
use walk::{Input, Leaving, Prompt, Walk};

/// Letters in a key that a device gives its answer.
const KEY_MAX: usize = 80;

/// Takes what the walker says.
pub(crate) fn answer(
    app: &App,
    visitor: &Visitor,
    id: &str,
    fields: &Fields,
) -> Result<AnswerOutcome, Fault> {
    let input = input(fields, visitor, app.walk_store(id)?.walk(id)?);
    match input {
        Ok((input, at)) => give(app, visitor, id, fields, &input, at),
        Err(Fault::Unusable(why)) => {
            Ok(AnswerOutcome::Refused(refusal(why.trim_end_matches('.'), "Look at what is asked now")))
        }
        Err(fault) => Err(fault),
    }
}

/// Gives an input to the walk, if its sender is at the walk and answers what is asked there.
pub(crate) fn give(
    app: &App,
    visitor: &Visitor,
    id: &str,
    fields: &Fields,
    input: &Input,
    at: Option<i64>,
) -> Result<AnswerOutcome, Fault> {
    let key = key(fields)?;
    let position = match input {
        // Remarks and photos belong to whatever step the walk is at, and stopping is never too late.
        Input::Note(_) | Input::Photo { .. } | Input::Stop(_) => None,
        _ => Some(position(fields)?),
    };
    let mut store = app.walk_store(id)?;
    // Whoever did not hear that it was taken is told so, even if meanwhile the walk has to be taken up again.
    if store.has(id, &key)? {
        return Ok(AnswerOutcome::Recorded);
    }
    let attends = store.attends(id, &visitor.name, app.lock_ms)?;
    let free = matches!(input, Input::Resume { .. } | Input::Stop(_) | Input::Leaving(_));
    if !attends && !free {
        return Ok(AnswerOutcome::Refused(refusal(
            "You are not at this walk",
            "Take it up first; what lapsed is then asked again",
        )));
    }
    if matches!(input, Input::Resume { .. }) && !store.walk(id)?.begin().training {
        let site = Site::new(store.walk(id)?);
        drop(store);
        let people = app.people(&site)?;
        if let Some(why) = app.may_not_walk(people.as_ref(), site.performers()?, &visitor.name)? {
            return Ok(AnswerOutcome::Refused(refusal(
                &why,
                "Somebody who has the role takes it up; stopping is open to all",
            )));
        }
        store = app.walk_store(id)?;
    }
    store.answer(id, input, position, &key, at)
}

/// What the answer is an answer to. Beyond 2⁵³ - 1 not every program tells whole numbers apart (RFC 8259, 6: memory).
pub(crate) fn position(fields: &Fields) -> Result<u64, Fault> {
    let position = fields.get("position").parse().ok().filter(|position| *position < 1 << 53);
    position.ok_or_else(|| Fault::Unusable("The answer says not to what.".to_owned()))
}

/// What a form says, and the time it counts from where that is not now.
fn input(fields: &Fields, visitor: &Visitor, walk: &Walk) -> Result<(Input, Option<i64>), Fault> {
    let value = fields.get("value").to_owned();
    let input = match fields.get("say") {
        "variant" => Input::Variant(value),
        "look" => match value.as_str() {
            "yes" => Input::Look(true),
            "no" => Input::Look(false),
            _ => return Err(Fault::Unusable("The answer is neither yes nor no.".to_owned())),
        },
        "done" => Input::Done,
        "fasten" => match value.parse() {
            Ok(fastener) => Input::Fastener(fastener),
            Err(_) => return Err(Fault::Unusable("The answer is no number of a fastener.".to_owned())),
        },
        "reading" => Input::Reading(reading(fields)),
        "answer" => Input::Answer(value),
        "item" => Input::Item(value),
        "limit" => Input::LimitReached,
        "note" => Input::Note(value),
        "pause" => Input::Pause,
        "resume" => Input::Resume { person: visitor.name.clone() },
        "timer" => return Ok(timer(walk, &value)),
        "left" => return left(walk, &value),
        "leave-look" => return leave_look(walk, &value),
        _ => return Err(Fault::Unusable("The form says nothing that a walk understands.".to_owned())),
    };
    Ok((input, None))
}

/// A number with the unit beside it; a unit typed with the number counts before that.
fn reading(fields: &Fields) -> String {
    let (number, unit) = (fields.get("number"), fields.get("unit"));
    if number.chars().any(char::is_alphabetic) || unit.is_empty() {
        return number.to_owned();
    }
    format!("{number} {unit}")
}

/// A wait is over, or begins again because the clock went backwards. A rehearsal may jump to its end.
fn timer(walk: &Walk, value: &str) -> (Input, Option<i64>) {
    let (Prompt::Wait(timer) | Prompt::Settle { timer, .. }) = walk.prompt() else {
        return (Input::TimerOver, None);
    };
    let Some(since) = timer.since_ms else { return (Input::StartTimer, None) };
    let now = clock(walk);
    if now < since {
        return (Input::StartTimer, None);
    }
    let end = since.saturating_add(i64::try_from(timer.millis).unwrap_or(i64::MAX));
    let jumps = walk.begin().rehearsal && value == "jump";
    (Input::TimerOver, jumps.then_some(end.max(now)))
}

/// An act or a wait on the way to leave the machine. A wait is over when it is over.
fn left(walk: &Walk, value: &str) -> Result<(Input, Option<i64>), Fault> {
    let done = |act: String| Ok(Input::Leaving(Leaving::Done(act)));
    let input: Result<Input, Fault> = match leaving::next(walk) {
        leaving::Next::Act { act, wait: None, .. } => done(act),
        leaving::Next::Act { act, wait: Some(millis), .. } => {
            let now = clock(walk);
            let end = walk.last_ms().saturating_add(i64::try_from(millis).unwrap_or(i64::MAX));
            if walk.begin().rehearsal && value == "jump" {
                return Ok((done(act)?, Some(end.max(now))));
            }
            if now < end || now < walk.last_ms() {
                return Err(Fault::Unusable(format!(
                    "The wait is not over: {} s are left.",
                    (end - now + 999) / 1000
                )));
            }
            done(act)
        }
        leaving::Next::Several { ways } => {
            done(format!("one of the {} ways to leave the machine", ways.len()))
        }
        _ => Err(Fault::Unusable("Nothing is left to do here.".to_owned())),
    };
    Ok((input?, None))
}

fn leave_look(walk: &Walk, value: &str) -> Result<(Input, Option<i64>), Fault> {
    let leaving::Next::Look { condition, choices, .. } = leaving::next(walk) else {
        return Err(Fault::Unusable("Nothing is to be looked at here.".to_owned()));
    };
    let values = choices.into_iter().find(|values| values.join(" or ") == value);
    let values = values.ok_or_else(|| Fault::Unusable("This is not one of the values.".to_owned()))?;
    Ok((Input::Leaving(Leaving::Looked { condition, values }), None))
}

/// The key of an answer, as the form carries it.
pub(crate) fn key(fields: &Fields) -> Result<String, Fault> {
    let key = fields.get("key");
    if key.is_empty()
        || key.len() > KEY_MAX
        || !key.bytes().all(|byte| byte.is_ascii_alphanumeric() || byte == b'-')
    {
        return Err(Fault::Unusable(
            "The answer carries no key. Open the page again and answer there.".to_owned(),
        ));
    }
    Ok(key.to_owned())
}
