//! Why what a person says is not taken at a stage, and what would be. Nothing here makes an event.

use crate::input::Input;
use crate::refusal::Refusal;
use crate::stage::Stage;
use crate::timers::{self, Clock};
use calc::quantity::Duration;

/// What is said, as far as the words of a refusal depend on it.
#[derive(Clone, Copy)]
enum Said {
    Variant,
    Look,
    Done,
    Sign,
    Timer,
    Other,
}

impl Said {
    fn of(input: &Input) -> Self {
        match input {
            Input::Variant(_) => Self::Variant,
            Input::Look(_) | Input::Is(_) => Self::Look,
            Input::Done => Self::Done,
            Input::Sign(_) | Input::Deny(_) => Self::Sign,
            Input::StartTimer | Input::TimerOver => Self::Timer,
            Input::WasDone
            | Input::Fastener(_)
            | Input::CannotTell
            | Input::Restored(_)
            | Input::Reading(_)
            | Input::Answer(_)
            | Input::Item(_)
            | Input::LimitReached
            | Input::TakeBack
            | Input::Note(_)
            | Input::Pause
            | Input::Resume { .. }
            | Input::Stop(_)
            | Input::StopAway { .. }
            | Input::Photo { .. }
            | Input::Deviate { .. }
            | Input::Leaving(_) => Self::Other,
        }
    }
}

/// What a stage says to an input that it does not ask for.
pub(crate) fn refused(stage: &Stage, input: &Input, now_ms: i64) -> Refusal {
    use Said::{Done, Look, Other, Sign, Timer, Variant};
    if let (Stage::Ask, Input::CannotTell) = (stage, input) {
        return Refusal::new("No answer of this question is for whoever cannot tell", "Stop work");
    }
    match (stage, Said::of(input)) {
        (Stage::Ended(ending), Variant | Look | Done | Sign | Timer | Other) => {
            Refusal::new(format!("The walk is {}", ending.status().words()), "Begin a new one")
        }
        (Stage::Paused, Variant | Look | Done | Sign | Timer | Other) => {
            Refusal::new("The walk is paused", "Resume it first")
        }
        (Stage::Variant(_) | Stage::Label(_), Sign) => unconfirmed(),
        (Stage::Variant(_), Variant | Look | Done | Other) => {
            Refusal::new("The variant is not known", "Choose one of its values")
        }
        (Stage::Label(_), Look | Done | Other) => {
            Refusal::new("A figure of the product's label is asked for", "Give it with its unit")
        }
        (Stage::Gate { .. }, Look | Done | Sign | Other) => unconfirmed(),
        (Stage::Shut { may_look: true, .. }, Variant | Look | Done | Sign | Timer | Other) => Refusal::new(
            "The gate stays shut",
            "Put it right with what is offered, look once more, or stop work",
        ),
        (Stage::Shut { may_look: false, .. }, Variant | Look | Done | Sign | Timer | Other) => {
            Refusal::new("The gate stays shut", "Stop work")
        }
        (Stage::Locked(why), Variant | Look | Done | Sign | Timer | Other) => {
            Refusal::new(format!("What comes next was not proved from here: {why}"), "Stop work")
        }
        (Stage::Earlier(_), Variant | Look | Done | Sign | Timer | Other) => Refusal::new(
            "This walk was begun by an earlier version, for which `proved` meant less",
            "Stop work in it, or finish it on paper",
        ),
        (Stage::BegunDoubted, Look | Done | Other) => {
            Refusal::new("It is to be said first whether this act had been begun", "Answer yes or no")
        }
        (Stage::Settle { .. }, Sign) => unconfirmed(),
        (
            Stage::Settle { clock: Clock::Running { since_ms, millis }, .. },
            Variant | Look | Done | Timer | Other,
        ) => not_over(*since_ms, *millis, now_ms),
        (Stage::Settle { clock: Clock::Due | Clock::Over { .. }, .. }, Look) => {
            Refusal::new("This cannot be seen, only waited for", "Start the timer")
        }
        (Stage::Settle { clock: Clock::Due | Clock::Over { .. }, .. }, Done | Other) => unconfirmed(),
        (Stage::TicksDoubted, Look | Done | Other) => Refusal::new(
            "The ticked fasteners are to be looked at first",
            "Look at them and answer yes or no",
        ),
        (Stage::Verification, Variant | Look | Done | Sign | Timer | Other) => {
            Refusal::new("The step awaits its verification", "A second person looks and signs")
        }
        (Stage::Fasten(tick), Done) => Refusal::new(
            format!("Fasteners of pass {} of {} are still open", tick.pass, tick.passes),
            format!("Fastener {} is next", tick.next().unwrap_or_default()),
        ),
        (Stage::Hold, Done) => Refusal::new("This is a hold point", "The named role releases it by name"),
        (Stage::Measure { .. }, Done) => Refusal::new("A reading is due", "Give it with its unit"),
        (Stage::Ask, Done) => Refusal::new("A question is asked", "Give one of its answers"),
        (Stage::Item, Done) => Refusal::new("Items are still open", "Choose the next one"),
        (Stage::Wait { clock: Clock::Due, .. }, Look | Done) => {
            Refusal::new("A wait is due", "Start its timer")
        }
        (
            Stage::Wait { clock: Clock::Running { since_ms, millis }, .. },
            Variant | Look | Done | Timer | Other,
        ) => not_over(*since_ms, *millis, now_ms),
        (Stage::Wait { clock: Clock::Over { .. }, until: Some(_), .. }, Look) => {
            Refusal::new("What is waited for has not come", "Wait on, or say so when the limit is reached")
        }
        (Stage::Wait { clock: Clock::Over { .. }, until: Some(_), .. } | Stage::Look(_), Done) => {
            Refusal::new("Conditions are asked", "Look and say what is so")
        }
        (Stage::Variant(_), Timer)
        | (Stage::Label(_) | Stage::Gate { .. } | Stage::Settle { .. }, Variant | Timer)
        | (Stage::TicksDoubted | Stage::BegunDoubted, Variant | Sign | Timer)
        | (
            Stage::Fasten(_)
            | Stage::Hold
            | Stage::Measure { .. }
            | Stage::Ask
            | Stage::Item
            | Stage::Look(_),
            Variant | Look | Sign | Timer | Other,
        )
        | (Stage::Wait { .. } | Stage::Act, Variant | Look | Done | Sign | Timer | Other) => unasked(input),
    }
}

/// What answers a question that is not asked here.
pub(crate) fn unasked(input: &Input) -> Refusal {
    let reason = match input {
        Input::Variant(_) => "No variant is asked for",
        Input::Look(_) | Input::Is(_) => "Nothing is asked that yes or no would answer",
        Input::Done => "Conditions are asked",
        Input::WasDone => "Whether an act was done before an interruption is not asked here",
        Input::Fastener(_) => "No fastener is due here",
        Input::Sign(_) | Input::Deny(_) => "Nobody's signature is due here",
        Input::CannotTell => "Nothing is asked that nobody could tell",
        Input::Restored(_) => "No gate is shut here that this would open",
        Input::Reading(_) => "No reading is due here",
        Input::Answer(_) => "No question is asked here",
        Input::Item(item) => {
            return Refusal::new(format!("`{item}` is not open here"), "Do what the step says");
        }
        Input::StartTimer => "No wait is due here",
        Input::TimerOver => return Refusal::new("No timer runs", "Start it first"),
        Input::LimitReached => "No limit runs here",
        Input::Deviate { .. } => {
            return Refusal::new(
                "Only an act can be done otherwise than written",
                "Gates, waits, readings and signatures stay as they are; stop work if they cannot be kept",
            );
        }
        Input::TakeBack
        | Input::Note(_)
        | Input::Photo { .. }
        | Input::Pause
        | Input::Resume { .. }
        | Input::Stop(_)
        | Input::StopAway { .. }
        | Input::Leaving(_) => "It answers nothing that is asked",
    };
    Refusal::new(reason, "Do what the step says")
}

fn unconfirmed() -> Refusal {
    Refusal::new("A condition is to be confirmed first", "Look at it and say what is so")
}

fn not_over(since_ms: i64, millis: u64, now_ms: i64) -> Refusal {
    Refusal::new(
        "The wait is not over",
        match timers::left(since_ms, millis, now_ms) {
            Some(left) => format!("{} are left", whole_seconds(left)),
            None => "The clock went backwards: the wait starts again".to_owned(),
        },
    )
}

/// What is left of a wait, rounded up: a wait must never seem shorter than it is.
pub(crate) fn whole_seconds(millis: u64) -> Duration {
    Duration::from_millis(millis.div_ceil(1000).saturating_mul(1000))
}
