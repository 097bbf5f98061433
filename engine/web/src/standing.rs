//! A walk as it stands for somebody who looks at it.

use crate::app::App;
use crate::fault::Fault;
use crate::footing::Footing;
use crate::view::{self, PromptView};
use crate::visitor::Visitor;
use card::page::{Page, StepBox};
use records::Judged;
use std::sync::Arc;
use walk::Walk;

/// A walk as it stands: taken out of the store at once, so that nothing slow holds it.
pub(crate) struct Standing {
    pub(crate) walk: Walk,
    /// What the documents in force say of what it goes by.
    pub(crate) judged: Arc<Judged>,
    pub(crate) footing: Footing,
    /// Whether whoever looks is at the walk.
    pub(crate) attends: bool,
    /// The page of the procedure it is in.
    pub(crate) page: Arc<Page>,
}

impl Standing {
    pub(crate) fn of(app: &App, visitor: &Visitor, id: &str) -> Result<Self, Fault> {
        let judged = app.judged(id)?;
        let mut store = app.walk_store(id)?;
        let footing = store.footing(id, &judged)?;
        Ok(Self {
            footing,
            attends: store.attends(id, &visitor.name, app.lock_ms)?,
            page: store.page(id)?,
            walk: store.walk(id)?.clone(),
            judged,
        })
    }

    /// What is asked of whoever looks.
    pub(crate) fn asked(&self, step: Option<&StepBox>) -> PromptView {
        view::asked(&self.walk, step, &self.judged, self.footing, self.attends)
    }
}
