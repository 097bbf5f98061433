//! The checklist of a page.

use super::model::{Checklist, Item, Warned};
use super::{group, response};
use crate::page::{Before, Page, Restoration, StepBox, Warning};

impl Checklist {
    /// Makes the checklist of a page.
    #[must_use]
    pub fn from_page(page: &Page) -> Self {
        // It leads through the steps; what a person reads before the work or looks up stands on the card.
        let Page {
            identity,
            checked,
            defer,
            purpose: _,
            scope: _,
            people: _,
            time: _,
            level_of_use: _,
            needs: _,
            hazards,
            work: _,
            before,
            figures: _,
            steps,
            looks,
            stop: _,
            emergency: _,
            restoration,
            complete,
            signatures: _,
            map: _,
        } = page;
        let Before { variants: _, questions, by_record, unseen, unknown: _ } = before;
        let mut before: Vec<Item> = questions.iter().map(response::question).collect();
        before.extend(by_record.iter().map(response::of_record));
        before.extend(unseen.iter().map(|part| response::not_by_hand(part)));
        let mut items = Vec::new();
        list(steps, &mut items);
        let warned = hazards.iter().map(|Warning { word, symbol, hazard, consequence: _, avoid }| Warned {
            word: *word,
            symbol: *symbol,
            hazard: format!("{hazard} {avoid}"),
        });
        // What is so by the record alone stands on the card.
        let Restoration { questions, by_record: _ } = restoration;
        let after: Vec<Item> = questions.iter().map(response::question).collect();
        Self {
            identity: identity.clone(),
            checked: checked.clone(),
            looks: looks.clone(),
            defer: defer.clone(),
            hazards: warned.collect(),
            before,
            groups: group::groups(items).into_iter().map(once).collect(),
            after,
            complete: complete.clone(),
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
