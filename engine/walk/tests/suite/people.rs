//! Random people at work: they say anything that may be so, pause, hand over, are killed and stop. Wherever the walk stands it is
//! looked over.

use crate::support::walks::good_reading;
use journal::Journal;
use machine::{AbstractState, Machine};
use oracle::Random;
use proof::{Leaving, Planner, Universal};
use std::collections::BTreeMap;
use walk::{Because, CompiledCache, Event, Input, LiveWalk, Look, Other, Prompt, Stage, ToBegin, Walk};

/// A walk that has not ended by then is stopped.
const LONGEST: usize = 400;

pub(super) const PEOPLE: [&str; 2] = ["Tomas Reeve", "Ilse Marrow"];

/// Whether a record at its place is one that was proved.
pub(super) type Holds<'a> = &'a dyn Fn(&Machine, &AbstractState) -> Result<(), String>;

/// What was met, so that a suite that meets nothing fails.
#[derive(Default)]
pub(super) struct Met {
    pub(super) events: usize,
    pub(super) kinds: BTreeMap<String, usize>,
    /// What the walks go by, read once for all of one procedure as long as the last walk is there.
    cache: CompiledCache,
    last: Option<Walk>,
}

impl Met {
    /// Prints the counts, and fails where one of these was not met.
    #[expect(clippy::print_stdout, reason = "shown with the test's output")]
    pub(super) fn told(&self, wanted: &[&str]) {
        println!("{} events", self.events);
        for (kind, times) in &self.kinds {
            println!("{kind}: {times}");
        }
        for kind in wanted {
            let times = self.kinds.get(*kind).copied().unwrap_or_default();
            assert!(times >= 5, "only {times} times: {kind}");
        }
    }
}

/// Follows one walk to its end; what is wrong is told with the whole story.
pub(super) fn follow(
    begin: ToBegin,
    holds: Holds<'_>,
    random: &mut Random,
    met: &mut Met,
) -> Result<(), String> {
    let mut journal = Journal::in_memory().map_err(|error| error.to_string())?;
    let mut now = 1_795_600_000_000;
    let mut story: Vec<String> = Vec::new();
    if begin.certificate.is_some() {
        *met.kinds.entry("certified".to_owned()).or_default() += 1;
    }
    let mut live = walk::begin_among(&mut journal, "one", begin, None, now, &mut met.cache)
        .map_err(|error| error.to_string())?;
    met.last = Some(live.walk().clone());
    // Every other one has a good day: mostly all is as it should be, so that long procedures come to their end.
    let trouble = if random.percent(50) { Trouble::Much } else { Trouble::Little };
    for step in 0..LONGEST {
        looked_over(&live, holds).map_err(|error| format!("{error}\n{}", story.join("\n")))?;
        if let Stage::Ended(_) = live.walk().stage() {
            break;
        }
        now += 1_000 + 1_000 * random.below(3) as i64;
        // A step may take any time.
        if trouble.strikes(random, 4) {
            now += 20 * 60_000;
        }
        let mut input = if step + 1 == LONGEST {
            Input::Stop("enough".to_owned())
        } else {
            said(&live, random, trouble, &mut now, met)
        };
        if trouble.strikes(random, 2) && !live.walk().status().is_ended() {
            drop(live);
            live =
                walk::resume_among(&mut journal, "one", &mut met.cache).map_err(|error| error.to_string())?;
            input = Input::Resume { person: random.pick(&PEOPLE).to_string() };
            *met.kinds.entry("killed".to_owned()).or_default() += 1;
        }
        let (before, person) = (format!("{:?}", live.walk().stage()), live.walk().person().to_owned());
        let known = live.walk().record().clone();
        let position = live.walk().position();
        let event = match live.answer(&input, now) {
            Ok(event) => event,
            // What the step needs grew old while it was shown: that alone is on record, and it is looked at next.
            Err(walk::Error::Refused(_)) if live.walk().position() == position + 1 => {
                if !matches!(live.walk().stage(), Stage::Gate { because: Because::Lapsed, .. }) {
                    return Err(format!("{input:?} at {before} opens no gate\n{}", story.join("\n")));
                }
                story.push(format!("{now} {input:?} at {before} came too late"));
                *met.kinds.entry("grown-old".to_owned()).or_default() += 1;
                met.events += 1;
                continue;
            }
            // Nobody knows whether that was in time; what an offered act needs may have grown old.
            Err(walk::Error::Refused(_)) if matches!(input, Input::WasDone | Input::Restored(_)) => {
                story.push(format!("{now} {input:?} at {before} may have been too late"));
                continue;
            }
            Err(error) => return Err(format!("{input:?} at {before}: {error}\n{}", story.join("\n"))),
        };
        story.push(format!("{now} {event:?} at {before}"));
        count(&event, live.walk(), &person, met);
        no_act_broke_a_rule(&event, live.walk(), &known)
            .map_err(|error| format!("{error}\n{}", story.join("\n")))?;
    }
    looked_over(&live, holds).map_err(|error| format!("{error}\n{}", story.join("\n")))?;
    let (record, stage) = (live.walk().record().clone(), format!("{:?}", live.walk().stage()));
    drop(live);
    let folded =
        walk::resume_among(&mut journal, "one", &mut met.cache).map_err(|error| error.to_string())?;
    if *folded.walk().record() != record || format!("{:?}", folded.walk().stage()) != stage {
        return Err(format!("the fold of its records is another walk\n{}", story.join("\n")));
    }
    Ok(())
}

/// `before` is the person who was at work before the event.
fn count(event: &Event, walk: &Walk, before: &str, met: &mut Met) {
    met.events += 1;
    let mut kinds = Vec::new();
    match event {
        Event::Seen { answer, found, because, recorded, .. } => {
            kinds.extend(found.as_ref().map(|_| "asked-on"));
            kinds.extend((!recorded.is_empty()).then_some("surprise"));
            kinds.extend((*answer == Look::CannotTell).then_some("cannot-tell"));
            kinds.extend(match because {
                Because::BeforeDone => Some("before-done"),
                Because::ByRecord => Some("by-record"),
                Because::Lapsed => Some("lapsed"),
                Because::TakenUp => Some("taken-up"),
                Because::BeforeStart | Because::Deviated | Because::Step => None,
            });
        }
        Event::Answered { answer, recorded, .. } => {
            kinds.extend(answer.contains(", the ").then_some("answered-with"));
            kinds.extend((!recorded.is_empty()).then_some("surprise"));
        }
        Event::CannotTell { .. } => kinds.push("cannot-tell"),
        Event::Restored { .. } => kinds.push("restored"),
        Event::Verified { .. } => kinds.push("verified"),
        Event::NotVerified { .. } => kinds.push("not-verified"),
        Event::ActBegun { finished: true, .. } => kinds.push("was-done"),
        Event::ActBegun { .. } => kinds.push("act-begun"),
        Event::Reading { attempt: 2.., .. } => kinds.push("retest"),
        Event::WaitOver { .. } => kinds.push("wait-over"),
        Event::LimitReached { .. } => kinds.push("limit-reached"),
        Event::Paused => kinds.push("paused"),
        Event::Resumed { person, .. } => {
            kinds.push(if person == before { "resumed" } else { "handed-over" });
        }
        Event::Stopped { .. } => kinds.push("stopped"),
        Event::Deviated { .. } => kinds.push("deviated"),
        Event::TakenBack { .. } => kinds.push("taken-back"),
        _ => {}
    }
    match walk.stage() {
        Stage::Settle { .. } => kinds.push("settled"),
        Stage::Shut { .. } => kinds.push("shut"),
        Stage::Ended(walk::Ending::Completed) => kinds.push("completed"),
        _ => {}
    }
    for kind in kinds {
        *met.kinds.entry(kind.to_owned()).or_default() += 1;
    }
}

/// No rule surely holds after an act that was not found broken before, nor had come about by time alone.
fn no_act_broke_a_rule(event: &Event, walk: &Walk, before: &AbstractState) -> Result<(), String> {
    if !matches!(event, Event::Done { .. }) {
        return Ok(());
    }
    let (machine, state) = (walk.machine(), walk.record());
    let broken = machine.rules.iter().enumerate().find(|(at, rule)| {
        !machine.is_found(state, *at)
            && rule.when.holds(&machine.layout, &state.bits)
            && !rule.when.holds(&machine.layout, &before.bits)
    });
    broken.map_or(Ok(()), |(_, rule)| Err(format!("an act broke `{}`", rule.name)))
}

/// Where a walk stands it is proved, can be answered, and can be left.
fn looked_over(live: &LiveWalk<'_>, holds: Holds<'_>) -> Result<(), String> {
    let walk = live.walk();
    let machine = walk.machine();
    if walk.is_never_proved() {
        return Err("what is believed was never proved".to_owned());
    }
    match walk.stage() {
        Stage::Gate { due, because, .. } => {
            let sight = machine.sight(due.var);
            let is_answerable = because == Because::ByRecord
                || sight.is_asked && sight.when.holds(&machine.layout, &walk.record().bits);
            if !is_answerable {
                return Err(format!("nobody can answer for `{}`", machine.layout.var(due.var).name));
            }
        }
        Stage::Locked(why) if !walk.is_gated() => return Err(format!("locked: {why}")),
        Stage::Ended(walk::Ending::Stopped) => {
            if let Some(mut planner) = Planner::new(machine) {
                let way = planner.leave_any(&walk.possible());
                let has_way =
                    matches!(way, Leaving::Plan { .. }) || matches!(planner.universal(), Universal::Plan(_));
                if !has_way {
                    return Err("there is no way to leave the machine".to_owned());
                }
            }
        }
        Stage::Verification
        | Stage::Act
        | Stage::Hold
        | Stage::Measure { .. }
        | Stage::Ask
        | Stage::Item
        | Stage::Wait { .. }
        | Stage::Look(_)
        | Stage::Ended(_) => return holds(machine, walk.record()),
        Stage::Locked(_)
        | Stage::Paused
        | Stage::Earlier(_)
        | Stage::Variant(_)
        | Stage::Label(_)
        | Stage::Shut { .. }
        | Stage::Settle { .. }
        | Stage::BegunDoubted
        | Stage::TicksDoubted
        | Stage::Fasten(_) => {}
    }
    Ok(())
}

/// How much goes wrong in a walk.
#[derive(Clone, Copy)]
enum Trouble {
    Much,
    Little,
}

impl Trouble {
    /// Whether something goes wrong that does so this often in a walk with much trouble.
    fn strikes(self, random: &mut Random, percent: usize) -> bool {
        match self {
            Self::Much => random.percent(percent),
            Self::Little => random.percent(percent) && random.percent(8),
        }
    }

    /// Whoever says no says what it is instead, where that is asked.
    fn look(self, random: &mut Random, others: &[Other]) -> Input {
        let fails = self.strikes(random, 30);
        match random.below(3) {
            _ if !fails => Input::Look(Look::Yes),
            0..=1 if others.is_empty() => Input::Look(Look::No),
            0..=1 => Input::Is(random.pick(others).value.clone()),
            _ => Input::Look(Look::CannotTell),
        }
    }
}

/// Something that is asked for here.
fn said(live: &LiveWalk<'_>, random: &mut Random, trouble: Trouble, now: &mut i64, met: &mut Met) -> Input {
    let walk = live.walk();
    if trouble.strikes(random, 3) && !matches!(walk.stage(), Stage::Paused | Stage::Ended(_)) {
        return Input::Pause;
    }
    if trouble.strikes(random, 1) {
        return Input::Stop("rain".to_owned());
    }
    if trouble.strikes(random, 10) && walk.may_deviate() {
        return Input::Deviate {
            reason: "by hand".to_owned(),
            person: "Gwen Adeyi".to_owned(),
            role: "safety-officer".to_owned(),
        };
    }
    if trouble.strikes(random, 5) && walk.can_take_back().is_some() {
        return Input::TakeBack;
    }
    match live.prompt() {
        Prompt::Variant { values, .. } => Input::Variant(random.pick(&values).clone()),
        Prompt::Look(question) if question.because != Because::Step => {
            // Mostly as recorded, so that walks get somewhere.
            if !question.others.is_empty() && trouble.strikes(random, 10) {
                Input::Is(random.pick(&question.others).value.clone())
            } else if random.percent(85) {
                Input::Look(Look::Yes)
            } else {
                trouble.look(random, &question.others)
            }
        }
        // There is no no where every value is asked for.
        Prompt::Look(question) => match live.walk().stage() {
            _ if !question.others.is_empty() && trouble.strikes(random, 25) => {
                Input::Is(random.pick(&question.others).value.clone())
            }
            Stage::Look(tick) if tick.asked.set == walk.machine().layout.all(tick.asked.var) => {
                Input::Look(Look::Yes)
            }
            _ => trouble.look(random, &question.others),
        },
        Prompt::AsLeft { may_be_done: true, .. } if random.percent(30) => Input::WasDone,
        Prompt::AsLeft { .. } => Input::Look(*random.pick(&[Look::Yes, Look::No])),
        Prompt::Shut { offers, may_look, question, .. } => match random.below(4) {
            0..=1 if !offers.is_empty() => Input::Restored(random.pick(&offers).action.clone()),
            0..=2 if may_look => trouble.look(random, &question.others),
            _ => Input::Stop("the gate is shut".to_owned()),
        },
        Prompt::Settle { timer, .. } => {
            *now += i64::try_from(timer.millis).expect("a short wait");
            Input::TimerOver
        }
        Prompt::Act => Input::Done,
        Prompt::Fasten(tick) => Input::Fastener(tick.next().expect("one is open")),
        Prompt::Sign { check: None, .. } if trouble.strikes(random, 25) => {
            Input::Deny("Anneke Voss".to_owned())
        }
        Prompt::Sign { check: None, .. } => Input::Sign("Anneke Voss".to_owned()),
        // Whoever releases does a part of the step: somebody else verifies it.
        Prompt::Sign { check: Some(_), .. } => Input::Sign("Gwen Adeyi".to_owned()),
        Prompt::Reading(reading) if reading.may_not_tell && trouble.strikes(random, 10) => Input::CannotTell,
        Prompt::Reading(reading) => {
            let good = !trouble.strikes(random, 40) && reading.range.is_some();
            Input::Reading(if good { good_reading(&reading) } else { format!("1000 {}", reading.unit) })
        }
        Prompt::Answer { may_not_tell: true, .. } if trouble.strikes(random, 10) => Input::CannotTell,
        Prompt::Answer { answers, .. } => Input::Answer(random.pick(&answers).clone()),
        Prompt::Item(items) => Input::Item(random.pick(&items).clone()),
        Prompt::Wait(timer) if walk.timer_has_run() => {
            let Stage::Wait { until: Some(tick), .. } = walk.stage() else { return Input::Look(Look::Yes) };
            let is_any = tick.asked.set == walk.machine().layout.all(tick.asked.var);
            match timer.limit {
                _ if is_any => Input::Look(*random.pick(&[Look::Yes, Look::CannotTell])),
                Some(_) if tick.failed => trouble.look(random, &timer.others),
                Some(limit) if random.percent(30) => {
                    *now += i64::try_from(limit).expect("a short wait");
                    Input::LimitReached
                }
                Some(_) => Input::Look(*random.pick(&[Look::Yes, Look::Yes, Look::CannotTell])),
                None if !timer.others.is_empty() && trouble.strikes(random, 25) => {
                    Input::Is(random.pick(&timer.others).value.clone())
                }
                None => trouble.look(random, &timer.others),
            }
        }
        Prompt::Wait(timer) => {
            *now += i64::try_from(timer.millis).expect("a short wait");
            Input::TimerOver
        }
        Prompt::Locked(_) | Prompt::Earlier => Input::Stop("nothing else is left".to_owned()),
        Prompt::Paused => {
            *now += 60_000 * random.below(30) as i64;
            if random.percent(5) {
                *now -= 3_600_000;
                *met.kinds.entry("clock-back".to_owned()).or_default() += 1;
            }
            Input::Resume { person: random.pick(&PEOPLE).to_string() }
        }
        Prompt::Ended(_) => Input::Note("over".to_owned()),
    }
}
