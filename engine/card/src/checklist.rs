//! The checklist: the same procedure as a bare list of challenges and responses, for people who know the work.
//!
//! Every step is one line, the condition or value that is wanted at its end, and every question of a confirmation is one.
//! Lines are grouped into pause points of 5 to
//! 9 (common in checklist literature, no standard; 2nd), and a group ends where the work pauses of itself if it can: at
//! a hold point, a wait, a gate or a decision. A response is a state or a value, never "checked" (Degani and Wiener,
//! NASA CR-177549, guideline 1, 2nd).

mod group;
mod html;
mod response;
mod text;

pub use html::html;
pub use text::text;

use crate::page::{Identity, Page, SignalWord, StepBox};
use serde::Serialize;

/// What every checklist says of itself.
pub const FULL: &str = "The card has every step in full, with its readings, figures and warnings. A warning here holds for all \
    lines below it, to the end of its pause point.";

/// A checklist as plain data.
#[derive(Clone, Debug, PartialEq, Serialize)]
pub struct Checklist {
    /// What it is, and whether it is approved.
    pub identity: Identity,
    /// Whose instructions come first.
    pub defer: String,
    /// The hazards in one line each, gravest first: the card has them in full.
    pub hazards: Vec<Warned>,
    /// What is looked at before the first line.
    pub before: Vec<Item>,
    /// The steps by pause points.
    pub groups: Vec<Vec<Item>>,
    /// How the machine is handed on.
    pub after: Vec<Item>,
    /// The line that ends it.
    pub complete: String,
}

/// One line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Item {
    /// The number of the step; empty before and after the steps, and after the first question of a step.
    pub number: String,
    /// What is done or asked.
    pub challenge: String,
    /// What is wanted: a state, a value, or a way on.
    pub response: String,
    /// The gravest warning before the step, if it does not stand before an earlier line of the pause point.
    pub warning: Option<Warned>,
    /// Whether the work pauses here of itself.
    pub pauses: bool,
}

/// A warning in one short line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Warned {
    /// Its signal word.
    pub word: SignalWord,
    /// Whether the safety alert symbol stands before it.
    pub symbol: bool,
    /// What the danger is.
    pub hazard: String,
}

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
fn once(mut items: Vec<Item>) -> Vec<Item> {
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

#[cfg(test)]
mod tests;
