//! What a walk shows in a terminal.

use super::told::{before_act, push, push_warning};
use super::words::choices;
use calc::quantity::Duration as Time;
use card::page::{Approval, CardApproval, Page, StepBox, build_for};
use document::model::Name;
use records::{Ground, Unproved};
use std::fmt::Write as _;
use walk::{Begin, Heading, Offer, Other, Prompt, Question, Stage, Status, Walk};

/// Told of a walk of record format 1 that is not over.
pub(super) const EARLIER: &str = concat!(
    "This walk was begun by an earlier version of the program, for which `proved` meant less.\n",
    "It is not gone on with here: stop work in it with `stop REASON` and follow the way out, or finish it on paper."
);

/// Told of a walk of which what it goes by is not proved any more.
pub(super) fn unproved(unproved: &Unproved) -> String {
    let Unproved { why, changes } = unproved;
    let mut text = String::new();
    push(&mut text, "NOT PROVED ANY MORE  ", why);
    for change in changes {
        push(&mut text, "  - ", change);
    }
    text + "The walk goes on once what it goes by is proved again. Until then nothing but a stop is left.\n"
}

/// The head of a walk: what is walked, by whom, and whose instructions come first.
pub(super) fn beginning(walk: &Walk) -> String {
    let begin = walk.begin();
    let mut text = String::new();
    let title = walk.procedure().map(|procedure| procedure.title.clone()).unwrap_or_default();
    let _ = writeln!(text, "\n{title}");
    let _ =
        writeln!(text, "{} revision {}, content {}", begin.procedure, begin.revision, short(&begin.content));
    let _ = writeln!(text, "{} serial {}, walked by {}", begin.equipment, begin.serial, walk.person());
    if let Some(mark) = mark(begin) {
        let _ = writeln!(text, "{mark}");
    }
    if let Some(none) = walk.carries_none() {
        push(&mut text, "NO CERTIFICATE  ", none);
    }
    if let Some(defer) = walk.equipment().and_then(|equipment| equipment.defer.as_deref()) {
        push(&mut text, "", defer);
    }
    let _ = writeln!(text, "\nAt any time: stop REASON, back, pause, note TEXT, deviate REASON, help.");
    text
}

/// What a walk counts as, where it does not count for good. Whether its procedure was approved it does not tell: what is
/// approved can be walked for training as well.
pub(super) fn mark(begin: &Begin) -> Option<&'static str> {
    match (begin.training, begin.rehearsal) {
        (_, true) => Some("REHEARSAL - waits are not timed, training only"),
        (true, false) => Some("TRAINING ONLY"),
        (false, false) => None,
    }
}

/// The first characters of a hash: enough to compare with a card.
fn short(hash: &str) -> &str {
    hash.get(..12).unwrap_or(hash)
}

/// Everything about the step that a person reads before the question; the same while the step is the same.
pub(super) fn heading(walk: &Walk) -> String {
    let mark = if walk.begin().training { "   training only" } else { "" };
    // What was not proved from here is not laid before anybody.
    if let Stage::Locked(_) = walk.stage() {
        return format!("\n--- Shut{mark}\n");
    }
    match walk.stage().heading() {
        Heading::BeforeStart => return format!("\n--- Before you start{mark}\n"),
        Heading::ConfirmAgain | Heading::WaitAgain => {
            return format!("\n--- To be looked at again{mark}\n");
        }
        Heading::BeforeDone => return format!("\n--- Before the work counts as done{mark}\n"),
        Heading::Step => {}
    }
    match step_box(walk) {
        Some((page, step)) => step_text(&page, &step, mark, &walk.node().rounds),
        None => format!("\n--- The end{mark}\n"),
    }
}

/// The step as the card has it.
fn step_box(walk: &Walk) -> Option<(Page, StepBox)> {
    let node = walk.node();
    let standing = CardApproval { content: walk.begin().content.clone(), approval: Approval::Training };
    let name = Name::from(&*node.procedure);
    let page = build_for(walk.library(), &name, &standing, None, &walk.variants()).ok()?;
    let number = machine::step_number(&node.pointer);
    let step = find(&page.steps, &number)?.clone();
    Some((page, step))
}

fn find<'a>(steps: &'a [StepBox], number: &str) -> Option<&'a StepBox> {
    steps.iter().find_map(|step| if step.number == number { Some(step) } else { find(&step.inner, number) })
}

fn step_text(page: &Page, step: &StepBox, mark: &str, rounds: &[u32]) -> String {
    let mut text = String::new();
    let round = rounds.last().map_or_else(String::new, |round| format!(", round {round}"));
    let _ = writeln!(text, "\n--- Step {} of {}{round}   {}{mark}", step.number, page.steps.len(), step.id);
    for alert in &step.warnings {
        push_warning(&mut text, "", &alert.warning.clone().into());
    }
    for (label, items) in [("Wear: ", &step.wear), ("Take: ", &step.takes)] {
        if !items.is_empty() {
            push(&mut text, label, &items.join(", "));
        }
    }
    if let Some(note) = &step.note {
        push(&mut text, "Note: ", &note.text());
    }
    push(&mut text, "  ", &step.text.text());
    if let card::page::Detail::Fasten { passes, numbering, .. } = &step.detail {
        for pass in passes {
            let order: Vec<String> = pass.order.iter().map(usize::to_string).collect();
            let label = if pass.label.is_empty() { "In this order" } else { &pass.label };
            push(&mut text, &format!("  {label}: "), &format!("{} ({numbering})", order.join(", ")));
        }
    }
    if let Some(expect) = &step.expect {
        push(&mut text, "  You see: ", &expect.text());
    }
    text
}

/// What is said in the place of "no": a line for each other value, and how it is said; or "no" itself.
fn asked_on(others: &[Other]) -> (String, &'static str) {
    let mut lines = String::new();
    for Other { value, question } in others {
        push(&mut lines, "  ", &format!("`is {value}`: no, and {question} Yes."));
    }
    (lines, if others.is_empty() { " / no" } else { " / is VALUE" })
}

/// The name of an item, which is the end of its path.
pub(super) fn item_name(path: &str) -> &str {
    path.rsplit_once('/').map_or(path, |(_, name)| name)
}

/// The question itself, with how it may be answered.
pub(super) fn question(walk: &Walk, prompt: &Prompt) -> String {
    match prompt {
        Prompt::Variant { label, values } => {
            format!("Which {label} has this machine? ({}) > ", choices(values))
        }
        Prompt::Look(question) => {
            let Question { text: _, because: _, others, number, of } = question;
            let which = if *of > 1 { format!("{number} of {of}: ") } else { String::new() };
            let (on, no) = asked_on(others);
            format!("{on}{which}{} (yes{no} / cannot tell) > ", question.asked())
        }
        Prompt::AsLeft { question, may_be_done: false } => format!("{question} (yes / no) > "),
        Prompt::AsLeft { question, may_be_done: true } => {
            format!(
                "  `finished`: yes, and it had been done to its end.\n{question} (yes / no / finished) > "
            )
        }
        Prompt::Shut { due, question, offers, may_look } => shut(walk, due, question, offers, *may_look),
        Prompt::Locked(why) => {
            let way =
                if walk.is_never_proved() { super::leave::before_leaving(walk, None) } else { String::new() };
            let leave =
                if way.is_empty() { "" } else { "Whatever the machine is like, it is left like this:\n" };
            format!(
                "What comes next was not proved from here: {why}.\n{leave}{way}Nothing but a stop is left (stop REASON) > "
            )
        }
        Prompt::Earlier => format!("{EARLIER}\n(stop REASON) > "),
        Prompt::Act => "(done) > ".to_owned(),
        Prompt::Fasten(tick) => {
            let pass = if tick.passes > 1 {
                format!("Pass {} of {}, {}: ", tick.pass, tick.passes, tick.words)
            } else {
                String::new()
            };
            let (turn, count) = (tick.done + 1, tick.order.len());
            let next = tick.next().unwrap_or_default();
            let how = if turn == 1 { " (Enter when done; several in order: `4 3 5`)" } else { "" };
            format!("{pass}fastener {next}, turn {turn} of {count}{how} > ")
        }
        Prompt::Sign { role, check: Some(check) } => {
            format!("HOLD POINT. The {role} makes sure: {check}\nReleased by (name of the {role}) > ")
        }
        Prompt::Sign { role, check: None } => {
            format!("To be verified. Name of the {role}, or `no` and the name if it is not so > ")
        }
        Prompt::Reading(reading) => {
            let range = reading.accepted.as_ref().map(|range| format!(" ({range})")).unwrap_or_default();
            let attempt = if reading.attempts > 1 {
                format!(" {} of {}", reading.attempt, reading.attempts)
            } else {
                String::new()
            };
            let of_label = walk.stage().heading() == Heading::BeforeStart;
            let what = if of_label { format!("Needed: the {}.\n", reading.what) } else { String::new() };
            format!("{what}Reading{attempt}, {} in {}{range} > ", reading.instrument, reading.unit)
        }
        Prompt::Answer { question: _, answers, may_not_tell } => {
            let untold = if *may_not_tell { " / cannot tell" } else { "" };
            format!("({}{untold}) > ", choices(answers))
        }
        Prompt::Item(items) => {
            format!("Which next? ({}) > ", choices(items.iter().map(|path| item_name(path))))
        }
        Prompt::Wait(timer) => {
            let until = timer.until.as_deref().unwrap_or_default();
            let limit = timer.limit.map_or_else(String::new, |limit| {
                format!("; `limit` once {} have passed without it", Time::from_millis(limit))
            });
            let (on, no) = asked_on(&timer.others);
            // Without an answer to go on with, what is waited for may come until the limit.
            let no = if timer.limit.is_none() || !timer.others.is_empty() { no } else { "" };
            format!("{on}{until} (yes{no} / cannot tell{limit}) > ")
        }
        Prompt::Settle { condition, .. } => format!("Wait for: {condition}\n"),
        Prompt::Paused | Prompt::Ended(_) => walk.status().words().to_owned(),
    }
}

/// A gate that stays shut, and what may be done about it.
fn shut(walk: &Walk, due: &str, question: &Question, offers: &[Offer], may_look: bool) -> String {
    let mut text = format!("The gate stays shut. It must be so: {due}.\n");
    for Offer { action, words } in offers {
        if let Some(act) = records::act(walk, action) {
            text.push_str(&before_act(&act, "  "));
        }
        push(&mut text, &format!("  did {action}: "), words);
    }
    if may_look {
        let how = if offers.is_empty() { "" } else { " / did ..." };
        let (on, no) = asked_on(&question.others);
        text + &format!("{on}{} (yes{no} / cannot tell{how} / stop REASON) > ", question.asked())
    } else {
        text + "Nothing but a stop is left (stop REASON) > "
    }
}

/// What is told above a question: that the last answer contradicted the record, and what was found broken.
pub(super) fn told(walk: &Walk) -> String {
    let mut text = String::new();
    if let Some(surprise) = walk.surprise() {
        push(&mut text, "  ", surprise);
    }
    if let Some(deviated) = walk.not_proved_from_here() {
        push(&mut text, "  ", &deviated);
    }
    for rule in walk.found_broken() {
        let known = walk.equipment().and_then(|equipment| equipment.never.get(&rule));
        let why = known.and_then(|known| known.why.clone()).unwrap_or_default();
        push(
            &mut text,
            "  FOUND BROKEN  ",
            format!("This must never be so and is: {}. {why} The next act ends it.", rule.words()).trim(),
        );
    }
    text
}

/// How the walk ended.
pub(super) fn ending(walk: &Walk, ground: Option<&Ground>, status: Status) -> String {
    let mut text = format!("\nThe walk is {}", status.words());
    if let Some(reason) = walk.stop_reason() {
        let _ = write!(text, ": {reason}");
    }
    text.push('\n');
    if status == Status::Stopped
        && let Some(state) = walk.equipment().and_then(|equipment| equipment.safe_state.as_ref())
    {
        text.push_str("Before you leave the machine:\n");
        text.push_str(&super::leave::before_leaving(walk, ground));
        text.push_str("The state in which it may be left:\n");
        for (condition, values) in state {
            let label = walk.equipment().map(|equipment| equipment.label(condition)).unwrap_or_default();
            let _ = writeln!(text, "  - {label} {}", document::model::either(&values.0));
        }
    }
    text
}
