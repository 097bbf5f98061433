//! Whether an answer that comes under a used key is the one that was taken under it.

use crate::event::{Event, Look};
use crate::input::{Input, Leaving};
use document::same_person;

/// Whether the event is what came of the input: a "no" under the key of a "yes" is never taken for that. What is not known to
/// have come of it did not.
pub(crate) fn came_of(event: &Event, input: &Input) -> bool {
    match (event, input) {
        (Event::Variant { value, .. }, Input::Variant(said)) => value == said,
        (Event::Label { figure, .. }, Input::Reading(said)) => figure == said.trim(),
        (Event::Reading { reading, .. }, Input::Reading(said)) => reading == said.trim(),
        (Event::Seen { answer, found: None, .. }, Input::Look(said)) => answer == said,
        (Event::Seen { found: Some(value), .. }, Input::Is(said)) => value == said,
        (Event::ActBegun { yes, finished: false, .. }, Input::Look(said)) => *yes == (*said != Look::No),
        (Event::ActBegun { finished, .. }, Input::WasDone) => *finished,
        (Event::TicksLooked { yes, .. }, Input::Look(said)) => *yes == (*said == Look::Yes),
        (Event::Restored { action, .. }, Input::Restored(said)) => action == said,
        (Event::Fastened { fastener, .. }, Input::Fastener(said)) => fastener == said,
        (Event::Verified { person, .. } | Event::Released { person, .. }, Input::Sign(said))
        | (Event::NotVerified { person, .. }, Input::Deny(said))
        | (Event::Resumed { person, .. }, Input::Resume { person: said }) => same_person(person, said),
        (Event::Answered { answer, .. }, Input::Answer(said)) => answer == said,
        (Event::Chosen { step }, Input::Item(said)) => step == said || step.rsplit('/').next() == Some(said),
        (Event::Noted { text, .. }, Input::Note(said)) => text == said,
        (Event::Photographed { photo, caption, .. }, Input::Photo { photo: said, caption: of }) => {
            photo == said && caption == of.trim()
        }
        (Event::Stopped { reason, .. }, Input::Stop(said) | Input::StopAway { reason: said, .. }) => {
            reason == said.trim()
        }
        (Event::Deviated { reason, .. }, Input::Deviate { reason: said, .. }) => reason == said.trim(),
        (Event::LeavingLooked { values, .. }, Input::Leaving(Leaving::Looked { values: said, .. })) => values == said,
        (Event::Returned { remark, .. }, Input::Leaving(Leaving::Returned { remark: said, .. })) => {
            remark == said.trim()
        }
        (Event::CannotTell { .. }, Input::CannotTell)
        | (Event::Done { .. }, Input::Done)
        // Which timer, and which act of the way out, whoever sends it reads off the walk as it stands by then.
        | (Event::WaitStarted { .. } | Event::WaitOver { .. }, Input::StartTimer | Input::TimerOver)
        | (Event::LeavingDone { .. }, Input::Leaving(Leaving::Done(_)))
        | (Event::LimitReached { .. }, Input::LimitReached)
        | (Event::TakenBack { .. }, Input::TakeBack)
        | (Event::Paused, Input::Pause) => true,
        (
            Event::Begin(_)
            | Event::Variant { .. }
            | Event::Label { .. }
            | Event::Seen { .. }
            | Event::CannotTell { .. }
            | Event::Restored { .. }
            | Event::NotVerified { .. }
            | Event::ActBegun { .. }
            | Event::Confirmed { .. }
            | Event::NormalConfirmed { .. }
            | Event::Looked { .. }
            | Event::Done { .. }
            | Event::Fastened { .. }
            | Event::TicksLooked { .. }
            | Event::Verified { .. }
            | Event::Released { .. }
            | Event::Reading { .. }
            | Event::Answered { .. }
            | Event::Chosen { .. }
            | Event::WaitStarted { .. }
            | Event::WaitOver { .. }
            | Event::LimitReached { .. }
            | Event::GrownOld { .. }
            | Event::NeverProved { .. }
            | Event::TakenBack { .. }
            | Event::Noted { .. }
            | Event::Photographed { .. }
            | Event::Deviated { .. }
            | Event::Paused
            | Event::Resumed { .. }
            | Event::Stopped { .. }
            | Event::LeavingDone { .. }
            | Event::LeavingLooked { .. }
            | Event::Returned { .. },
            _,
        ) => false,
    }
}
