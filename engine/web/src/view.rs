//! What a walk's page shows, as plain data for the templates.

use crate::day::clock;
use calc::quantity::Duration;
use card::page::{Page, StepBox};
use records::leaving::{Next, WayLine, of_never_proved};
use records::{Act, Footing, Judged, Unproved};
use schemars::JsonSchema;
use serde::Serialize;
use walk::{Because, Heading, Offer, Other, Prompt, Question, Stage, Timer, Walk};

/// A wait as a page shows it.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct TimerView {
    /// How long it is, in words.
    pub(crate) length: String,
    /// What is left of it now, in milliseconds.
    pub(crate) left: u64,
    /// The same in words, rounded up: a wait must never seem shorter than it is.
    pub(crate) left_words: String,
    /// Whether the clock went backwards, so that it starts again.
    pub(crate) backwards: bool,
    /// Whether it has run its time, so that only what is waited for is open.
    pub(crate) over: bool,
    /// What is waited for.
    pub(crate) until: Option<String>,
    /// What is said in the place of `no` once that has not come; where it is empty, `no` itself.
    pub(crate) others: Vec<OtherView>,
    /// The longest wait for that, in words.
    pub(crate) limit: Option<String>,
}

/// A value that is asked on: the condition has none of those asked for, and perhaps this one.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct OtherView {
    pub(crate) value: String,
    pub(crate) question: String,
}

fn others(others: &[Other]) -> Vec<OtherView> {
    let view = |other: &Other| OtherView { value: other.value.clone(), question: other.question.clone() };
    others.iter().map(view).collect()
}

/// An item of which one is chosen.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct ItemView {
    pub(crate) path: String,
    pub(crate) text: String,
}

/// Something that may put right what keeps a gate shut.
#[derive(Clone, Debug, PartialEq, Eq, Serialize, JsonSchema)]
pub(crate) struct OfferView {
    pub(crate) action: String,
    pub(crate) words: String,
    /// The act with what is read before it.
    pub(crate) act: Option<Act>,
}

/// What is asked.
#[derive(Clone, Debug, PartialEq, Serialize, JsonSchema)]
#[serde(tag = "is", rename_all = "kebab-case")]
pub(crate) enum PromptView {
    Variant {
        label: String,
        values: Vec<String>,
    },
    Look {
        question: String,
        because: &'static str,
        /// What is said in the place of `no`; where it is empty, `no` itself.
        others: Vec<OtherView>,
        /// Which of the questions of its page it is, from 1.
        number: usize,
        of: usize,
    },
    AsLeft {
        question: String,
        may_be_done: bool,
    },
    Shut {
        due: String,
        question: String,
        /// What is said in the place of a second `no`; where it is empty, `no` itself.
        others: Vec<OtherView>,
        offers: Vec<OfferView>,
        may_look: bool,
    },
    Settle {
        condition: String,
        timer: TimerView,
    },
    Act,
    Fasten {
        pass: u32,
        passes: u32,
        words: String,
        turn: u32,
        count: usize,
        next: u32,
        ticked: Vec<u32>,
    },
    Sign {
        role: String,
        check: Option<String>,
    },
    Reading {
        what: String,
        instrument: String,
        unit: String,
        range: Option<String>,
        attempt: u32,
        attempts: u32,
        may_not_tell: bool,
    },
    Answer {
        question: String,
        answers: Vec<String>,
        may_not_tell: bool,
    },
    Item {
        items: Vec<ItemView>,
    },
    Wait {
        timer: TimerView,
    },
    /// Nothing but a stop is left.
    Locked {
        why: String,
        /// How the machine is left from a state that was never proved, whatever it is like; else that is said at the stop.
        way: Vec<WayLine>,
    },
    /// What the walk goes by is not proved any more: nothing but a stop is left, until it is proved again.
    Unproved {
        why: String,
        /// What changed in the equipment, a sentence each.
        changes: Vec<String>,
        /// What was asked when that was seen, where the caller may still say what was done or seen by then; it is recorded, and
        /// nothing is begun.
        under_way: Option<Box<PromptView>>,
    },
    /// A walk of format 1: it is stopped, or finished on paper.
    Earlier,
    Paused,
    Ended {
        words: &'static str,
    },
}

fn timer(walk: &Walk, timer: &Timer) -> TimerView {
    let now = clock(walk);
    let passed = timer.since_ms.map_or(Some(0), |since| u64::try_from(now - since).ok());
    let left = timer.millis.saturating_sub(passed.unwrap_or(0));
    TimerView {
        length: Duration::from_millis(timer.millis).to_string(),
        left,
        left_words: Duration::from_millis(left.div_ceil(1000) * 1000).to_string(),
        backwards: passed.is_none(),
        over: walk.timer_has_run(),
        until: timer.until.clone(),
        others: others(&timer.others),
        limit: timer.limit.map(|limit| Duration::from_millis(limit).to_string()),
    }
}

/// The wait that is next on the way to leave the machine, counted from the last record.
pub(crate) fn leaving_timer(walk: &Walk, next: &Next) -> Option<TimerView> {
    let Next::Act { wait: Some(millis), .. } = next else { return None };
    let end = walk.last_ms().saturating_add(i64::try_from(*millis).unwrap_or(i64::MAX));
    let left = u64::try_from(end.saturating_sub(clock(walk))).unwrap_or(0);
    Some(TimerView {
        length: Duration::from_millis(*millis).to_string(),
        left,
        left_words: Duration::from_millis(left.div_ceil(1000) * 1000).to_string(),
        backwards: false,
        over: left == 0,
        until: None,
        others: Vec::new(),
        limit: None,
    })
}

fn because(because: Because) -> &'static str {
    match because {
        Because::BeforeStart => "It must be so before step 1.",
        Because::ByRecord => "By record: nobody can see it now. It must be so before step 1.",
        Because::TakenUp => "Look again: work is taken up after an interruption.",
        Because::Lapsed => "Look again: it was last looked at too long ago.",
        Because::Deviated => "Look: the act was done otherwise than written.",
        Because::BeforeDone => "Look before the work counts as done.",
        Because::Step => "",
    }
}

/// What is asked now of somebody who is at the walk or not, by the documents in force.
pub(crate) fn asked(
    walk: &Walk,
    step: Option<&StepBox>,
    judged: &Judged,
    footing: Footing,
    attends: bool,
) -> PromptView {
    let asked = prompt(walk, step);
    let (Some(unproved), Footing::UnderWay | Footing::Shut) = (&judged.unproved, footing) else {
        return asked;
    };
    let Unproved { why, changes } = unproved.clone();
    let is_told = footing == Footing::UnderWay && attends && tells(&asked);
    PromptView::Unproved { why, changes, under_way: is_told.then(|| Box::new(asked)) }
}

/// Whether the answer tells what was done or seen, and begins nothing.
fn tells(prompt: &PromptView) -> bool {
    match prompt {
        PromptView::Look { .. }
        | PromptView::AsLeft { .. }
        | PromptView::Shut { .. }
        | PromptView::Settle { .. }
        | PromptView::Act
        | PromptView::Fasten { .. }
        | PromptView::Sign { .. }
        | PromptView::Reading { .. }
        | PromptView::Answer { .. }
        | PromptView::Wait { .. } => true,
        PromptView::Variant { .. }
        | PromptView::Item { .. }
        | PromptView::Locked { .. }
        | PromptView::Unproved { .. }
        | PromptView::Earlier
        | PromptView::Paused
        | PromptView::Ended { .. } => false,
    }
}

/// Whether the step is laid before people: what was not proved from here, or is not proved any more, is not.
pub(crate) fn is_laid_open(prompt: &PromptView) -> bool {
    !matches!(prompt, PromptView::Locked { .. } | PromptView::Unproved { under_way: None, .. })
}

/// What the walk itself asks.
fn prompt(walk: &Walk, step: Option<&StepBox>) -> PromptView {
    match walk.prompt() {
        Prompt::Variant { label, values } => PromptView::Variant { label, values },
        Prompt::Look(Question { text, because: why, others: on, number, of }) => {
            PromptView::Look { question: text, because: because(why), others: others(&on), number, of }
        }
        Prompt::AsLeft { question, may_be_done } => PromptView::AsLeft { question, may_be_done },
        Prompt::Shut { due, question, offers, may_look } => PromptView::Shut {
            due,
            others: others(&question.others),
            question: question.asked(),
            offers: offers
                .into_iter()
                .map(|Offer { action, words }| OfferView { act: records::act(walk, &action), action, words })
                .collect(),
            may_look,
        },
        Prompt::Settle { condition, timer: running } => {
            PromptView::Settle { condition, timer: timer(walk, &running) }
        }
        Prompt::Act => PromptView::Act,
        Prompt::Fasten(tick) => PromptView::Fasten {
            pass: tick.pass,
            passes: tick.passes,
            turn: tick.done + 1,
            count: tick.order.len(),
            next: tick.next().unwrap_or_default(),
            ticked: tick.ticked().to_vec(),
            words: tick.words,
        },
        Prompt::Sign { role, check } => PromptView::Sign { role, check },
        Prompt::Reading(reading) => PromptView::Reading {
            what: reading.what,
            instrument: reading.instrument,
            unit: reading.unit,
            range: reading.accepted,
            attempt: reading.attempt,
            attempts: reading.attempts,
            may_not_tell: reading.may_not_tell,
        },
        Prompt::Answer { question, answers, may_not_tell } => {
            PromptView::Answer { question, answers, may_not_tell }
        }
        Prompt::Item(paths) => PromptView::Item {
            items: paths.into_iter().map(|path| ItemView { text: item_text(&path, step), path }).collect(),
        },
        Prompt::Wait(running) => PromptView::Wait { timer: timer(walk, &running) },
        Prompt::Locked(why) => PromptView::Locked { why, way: of_never_proved(walk) },
        Prompt::Earlier => PromptView::Earlier,
        Prompt::Paused => PromptView::Paused,
        Prompt::Ended(status) => PromptView::Ended { words: status.words() },
    }
}

fn item_text(path: &str, step: Option<&StepBox>) -> String {
    let name = path.rsplit('/').next().unwrap_or(path);
    let inner = step.and_then(|step| step.inner.iter().find(|inner| inner.id == name));
    inner.map_or_else(|| name.replace('-', " "), |inner| inner.text.text())
}

/// Whether the step is not what is asked about: something before it is.
pub(crate) fn heading(walk: &Walk) -> Option<&'static str> {
    match walk.stage().heading() {
        Heading::BeforeStart => Some("Before you start"),
        Heading::ConfirmAgain => Some("To be confirmed again"),
        Heading::WaitAgain => Some("To be waited for again"),
        Heading::BeforeDone => Some("Before the work counts as done"),
        Heading::Step => None,
    }
}

/// The step the walk is at, as the card has it. Where a walk of format 1 stands nobody knows by now.
pub(crate) fn step(walk: &Walk, page: &Page) -> Option<StepBox> {
    if matches!(walk.stage(), Stage::Earlier(_)) {
        return None;
    }
    fn find<'a>(steps: &'a [StepBox], number: &str) -> Option<&'a StepBox> {
        steps
            .iter()
            .find_map(|step| if step.number == number { Some(step) } else { find(&step.inner, number) })
    }
    find(&page.steps, &machine::step_number(&walk.node().pointer)).cloned()
}

/// The step after it as written, in one line; none where the step itself says where to go.
pub(crate) fn next(page: &Page, step: &StepBox) -> Option<String> {
    fn flat<'a>(steps: &'a [StepBox], all: &mut Vec<&'a StepBox>) {
        for step in steps {
            all.push(step);
            flat(&step.inner, all);
        }
    }
    if step.routes.iter().any(|route| route.when.is_empty()) {
        return None;
    }
    let mut all = Vec::new();
    flat(&page.steps, &mut all);
    let at = all.iter().position(|other| other.number == step.number)?;
    let next = all.get(at + 1..)?.iter().find(|step| !step.is_passed_over())?;
    Some(format!("{}  {}", next.number, next.text.text().trim_end_matches(':')))
}

/// The rules found broken, a sentence each.
pub(crate) fn found_broken(walk: &Walk) -> Vec<String> {
    let words = |name: document::model::Name| {
        let rule = walk.equipment().and_then(|equipment| equipment.never.get(&name));
        let why = rule.and_then(|rule| rule.why.clone()).map(|why| format!(" {why}")).unwrap_or_default();
        format!("This must never be so and is: {}.{why} The next act ends it.", name.words())
    };
    walk.found_broken().into_iter().map(words).collect()
}
