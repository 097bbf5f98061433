//! What lists and records tell of a walk, of whatever format it is.

use crate::earlier;
use crate::event::{Begin, Event};
use crate::state::Walk;
use crate::status::Status;
use document::Library;
use document::model::Name;
use std::sync::Arc;

/// A walk as a whole.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Outline {
    /// How it began.
    pub begin: Arc<Begin>,
    /// The procedure's title, where its document can be read.
    pub title: Option<String>,
    /// Who walked last.
    pub person: String,
    /// Where it stands.
    pub status: Status,
    /// Why work was stopped, if somebody stopped it.
    pub stopped: Option<String>,
    /// Whether the machine was released for use again after a stop.
    pub is_returned: bool,
}

impl Outline {
    /// Of a walk of this format.
    #[must_use]
    pub fn of(walk: &Walk) -> Self {
        Self {
            begin: walk.shared_begin(),
            title: title(walk.library(), walk.begin()),
            person: walk.person().to_owned(),
            status: walk.status(),
            stopped: walk.stop_reason().map(str::to_owned),
            is_returned: walk.is_returned(),
        }
    }

    /// Of a walk of format 1, by its events without the beginning.
    pub(crate) fn of_earlier<'e>(begin: &Begin, events: impl Iterator<Item = &'e Event> + Clone) -> Self {
        let library = earlier::documents(begin);
        let (mut person, mut stopped, mut is_returned) = (&begin.person, None, false);
        for event in events.clone() {
            if let Event::Resumed { person: other, .. } | Event::Stopped { person: Some(other), .. } = event {
                person = other;
            }
            if let Event::Stopped { reason, .. } = event {
                stopped = Some(reason.clone());
            }
            is_returned |= matches!(event, Event::Returned { .. });
        }
        Self {
            begin: Arc::new(begin.clone()),
            title: title(&library, begin),
            person: person.clone(),
            status: earlier::status(begin, &library, events),
            stopped,
            is_returned,
        }
    }
}

fn title(library: &Library, begin: &Begin) -> Option<String> {
    let procedure = library.procedures.get(&Name::from(begin.procedure.as_str()));
    procedure.map(|document| document.model.title.clone())
}
