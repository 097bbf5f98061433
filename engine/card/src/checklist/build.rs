//! The checklist of a page.

use super::model::{Checklist, Item, Warned};
use super::{group, response};
use crate::page::{Page, StepBox};

impl Checklist {
    /// Makes the checklist of a page.
    #[must_use]
    pub fn of(page: &Page) -> Self {
        let mut items = Vec::new();
        list(&page.steps, &mut items);
        let warned = page.hazards.iter().map(|one| Warned {
            word: one.word,
            symbol: one.symbol,
            hazard: format!("{} {}", one.hazard, one.avoid),
        });
        let mut after: Vec<Item> = page.restoration.questions.iter().map(response::question).collect();
        after.extend(response::usual("All else is as it was at the start", &page.restoration.usual));
        let mut before: Vec<Item> = page.before.questions.iter().map(response::question).collect();
        before.extend(response::usual("All else is as usual (see the card)", &page.before.usual));
        Self {
            identity: page.identity.clone(),
            defer: page.defer.clone(),
            hazards: warned.collect(),
            before,
            groups: group::groups(items).into_iter().map(once).collect(),
            after,
            complete: page.complete.clone(),
        }
    }
}

/// A warning stands once in a pause point, before the first line that has it.
pub(super) fn once(mut items: Vec<Item>) -> Vec<Item> {
    let mut seen: Vec<Warned> = Vec::new();
    for item in &mut items {
        match &item.warning {
            Some(warned) if seen.contains(warned) => item.warning = None,
            warned => seen.extend(warned.clone()),
        }
    }
    items
}

fn list(steps: &[StepBox], items: &mut Vec<Item>) {
    for step in steps {
        items.extend(response::items(step));
        list(&step.inner, items);
    }
}
