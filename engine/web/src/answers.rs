//! Answers: what a form or a call says to a walk, whether its sender may say it, and what became of it.

use crate::app::{App, Site};
use crate::day::clock;
use crate::fault::Fault;
use crate::requests::{Answer, Key, Position, Say, Stop, whole};
use crate::store::{AnswerOutcome, refusal};
use crate::visitor::Visitor;
use records::{Ground, leaving};
use walk::{Input, Leaving, Look, Prompt, Status, Walk};

/// Takes what the walker says.
pub(crate) fn answer(
    app: &App,
    visitor: &Visitor,
    id: &str,
    answer: &Answer,
) -> Result<AnswerOutcome, Fault> {
    let judged = app.judged(id)?;
    let input = input(answer, visitor, app.walk_store(id)?.walk(id)?, judged.ground.as_ref());
    // A remark belongs to whatever step the walk is at.
    let position = (answer.say != Say::Note).then_some(answer.position);
    match input {
        Ok((input, at)) => give(app, visitor, id, &input, position, &answer.key, at),
        Err(Fault::Unusable(why)) => {
            Ok(AnswerOutcome::Refused(refusal(why.trim_end_matches('.'), "Look at what is asked now")))
        }
        Err(fault) => Err(fault),
    }
}

/// Gives an input to the walk, if its sender is at the walk and answers what is asked there. What belongs to whatever step
/// the walk is at has no position.
pub(crate) fn give(
    app: &App,
    visitor: &Visitor,
    id: &str,
    input: &Input,
    position: Option<Position>,
    key: &Key,
    at: Option<i64>,
) -> Result<AnswerOutcome, Fault> {
    let judged = app.judged(id)?;
    let lacks = if matches!(input, Input::Resume { .. }) { lacks(app, visitor, id)? } else { None };
    let (walk, input, key, name) = (id.to_owned(), input.clone(), key.clone(), visitor.name.clone());
    let (position, lock_ms) = (position.map(|Position(position)| position), app.lock_ms);
    app.commit(id, move |store| {
        let (id, key) = (&*walk, key.as_str());
        // Whoever did not hear that it was taken is told so, even if meanwhile the walk has to be taken up again.
        if store.has_taken(id, &input, key)? {
            return Ok(AnswerOutcome::Recorded);
        }
        let footing = store.footing(id, &judged)?;
        let attends = store.attends(id, &name, lock_ms)?;
        if let Some(refusal) = footing.refused(&input, attends, judged.unproved.as_ref()) {
            return Ok(AnswerOutcome::Refused(refusal));
        }
        let is_stopped = store.walk(id)?.status() == Status::Stopped;
        let away = match &input {
            Input::Stop(reason) if !attends => {
                Some(Input::StopAway { reason: reason.clone(), person: name.clone() })
            }
            _ => None,
        };
        let input = away.as_ref().unwrap_or(&input);
        if !attends && !is_free(input) {
            let opens = if is_stopped {
                "Take it up first; the way to leave the machine then begins anew"
            } else {
                "Take it up first; what the rest relies on is then asked again"
            };
            return Ok(AnswerOutcome::Refused(refusal("You are not at this walk", opens)));
        }
        // To leave a machine after a stop is open to all, as stopping is.
        if matches!(input, Input::Resume { .. })
            && !is_stopped
            && let Some(why) = &lacks
        {
            return Ok(AnswerOutcome::Refused(refusal(
                why,
                "Somebody who has the role takes it up; stopping is open to all",
            )));
        }
        store.answer(id, input, position, key, at)
    })
}

/// Whether it can be said by somebody who is not at the walk.
fn is_free(input: &Input) -> bool {
    matches!(input, Input::Resume { .. } | Input::StopAway { .. } | Input::Leaving(Leaving::Returned { .. }))
}

/// Why somebody may not take up a walk that is gone on with for good; nothing if they may.
fn lacks(app: &App, visitor: &Visitor, id: &str) -> Result<Option<String>, Fault> {
    let site = {
        let mut store = app.walk_store(id)?;
        let walk = store.walk(id)?;
        if walk.status() == Status::Stopped || walk.begin().training {
            return Ok(None);
        }
        Site::new(walk)
    };
    let people = app.people(&site)?;
    app.may_not_walk(people.as_ref(), site.performers()?, &visitor.name)
}

/// Stops work; that is never too late.
pub(crate) fn stop(app: &App, visitor: &Visitor, id: &str, stop: Stop) -> Result<AnswerOutcome, Fault> {
    let Stop { reason, key } = stop;
    give(app, visitor, id, &Input::Stop(reason), None, &key, None)
}

/// What a form says, and the time it counts from where that is not now.
fn input(
    answer: &Answer,
    visitor: &Visitor,
    walk: &Walk,
    ground: Option<&Ground>,
) -> Result<(Input, Option<i64>), Fault> {
    let value = answer.value.0.clone();
    let input = match answer.say {
        Say::Variant => Input::Variant(value),
        Say::Look => match value.as_str() {
            "yes" => Input::Look(Look::Yes),
            "no" => Input::Look(Look::No),
            "cannot-tell" => Input::Look(Look::CannotTell),
            _ => return Err(Fault::Unusable("The answer is none of yes, no and cannot tell.".to_owned())),
        },
        Say::Is => Input::Is(value),
        Say::CannotTell => Input::CannotTell,
        Say::Restored => Input::Restored(value),
        Say::Done => Input::Done,
        Say::WasDone => Input::WasDone,
        Say::Fasten => match whole(&value).and_then(|number| number.try_into().ok()) {
            Some(fastener) => Input::Fastener(fastener),
            None => return Err(Fault::Unusable("The answer is no number of a fastener.".to_owned())),
        },
        Say::Reading => Input::Reading(reading(answer)),
        Say::Answer => Input::Answer(value),
        Say::Item => Input::Item(value),
        Say::Limit => Input::LimitReached,
        Say::TakeBack => Input::TakeBack,
        Say::Note => Input::Note(value),
        Say::Pause => Input::Pause,
        Say::Resume => Input::Resume { person: visitor.name.clone() },
        Say::Timer => return Ok(timer(walk, &value)),
        Say::Left => return left(walk, ground, &value),
        Say::LeaveLook => return leave_look(walk, ground, &value),
        Say::Unknown => {
            return Err(Fault::Unusable("The form says nothing that a walk understands.".to_owned()));
        }
    };
    Ok((input, None))
}

/// A number with the unit beside it; a unit typed with the number counts before that.
fn reading(answer: &Answer) -> String {
    let (number, unit) = (answer.number.as_str(), answer.unit.as_str());
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
fn left(walk: &Walk, ground: Option<&Ground>, value: &str) -> Result<(Input, Option<i64>), Fault> {
    let done = |act: String| Ok(Input::Leaving(Leaving::Done(act)));
    let input: Result<Input, Fault> = match leaving::next(walk, ground, clock(walk)) {
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
        leaving::Next::Look { label, .. } => Err(Fault::Unusable(format!(
            "The {label} is looked at before that: by now it was looked at too long ago. Load the page again."
        ))),
        leaving::Next::Nothing | leaving::Next::Stuck | leaving::Next::Cannot { .. } => {
            Err(Fault::Unusable("Nothing is left to do here.".to_owned()))
        }
    };
    Ok((input?, None))
}

fn leave_look(walk: &Walk, ground: Option<&Ground>, value: &str) -> Result<(Input, Option<i64>), Fault> {
    let leaving::Next::Look { condition, choices, .. } = leaving::next(walk, ground, clock(walk)) else {
        return Err(Fault::Unusable("Nothing is to be looked at here.".to_owned()));
    };
    if value == "cannot-tell" {
        return Ok((Input::Leaving(Leaving::Looked { condition, values: Vec::new() }), None));
    }
    let values = choices.into_iter().find(|values| values.join(" or ") == value);
    let values = values.ok_or_else(|| Fault::Unusable("This is not one of the values.".to_owned()))?;
    Ok((Input::Leaving(Leaving::Looked { condition, values }), None))
}
