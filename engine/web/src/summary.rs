//! Walks in a line each, and which of them are wanted.

use crate::app::App;
use crate::day::{day_of, shown};
use crate::fault::Fault;
use crate::store::Store;
use journal::ChainSummary;
use serde::{Deserialize, Serialize};
use walk::{Event, Walk};

/// One walk in a line.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub(crate) struct Summary {
    pub(crate) id: String,
    pub(crate) procedure: String,
    pub(crate) revision: u32,
    pub(crate) content: String,
    pub(crate) equipment: String,
    pub(crate) serial: String,
    /// Who walks now, or walked last.
    pub(crate) person: String,
    /// Everybody who walked or signed.
    pub(crate) people: Vec<String>,
    pub(crate) standing: String,
    pub(crate) ended: bool,
    pub(crate) training: bool,
    pub(crate) rehearsal: bool,
    pub(crate) begun: String,
    pub(crate) begun_day: String,
    pub(crate) last: String,
    pub(crate) records: u64,
}

impl Summary {
    pub(crate) fn of(chain: &ChainSummary, walk: &Walk, events: &[(i64, Event)]) -> Self {
        let begin = walk.begin();
        let mut people: Vec<String> = vec![begin.person.clone()];
        for (_, event) in events {
            if let Event::Verified { person, .. }
            | Event::Released { person, .. }
            | Event::Deviated { person, .. }
            | Event::Returned { person, .. }
            | Event::Resumed { person, .. } = event
                && !people.contains(person)
            {
                people.push(person.clone());
            }
        }
        Self {
            id: chain.id.clone(),
            procedure: begin.procedure.clone(),
            revision: begin.revision,
            content: begin.content.clone(),
            equipment: begin.equipment.clone(),
            serial: begin.serial.clone(),
            person: walk.person().to_owned(),
            people,
            standing: walk.standing().words().to_owned(),
            ended: walk.standing().is_ended(),
            training: begin.training,
            rehearsal: begin.rehearsal,
            begun: shown(chain.first_at),
            begun_day: day_of(chain.first_at),
            last: shown(chain.last_at),
            records: chain.len,
        }
    }
}

/// All walks, the newest first.
pub(crate) fn all(app: &App) -> Result<Vec<Summary>, Fault> {
    let chains = app.store().journal.chains()?;
    // The lock is given up between walks: a long list must not hold up answers.
    chains.iter().rev().map(|chain| app.store().summary(chain)).collect()
}

impl Store {
    /// A walk in a line; worked out once for so many records.
    pub(crate) fn summary(&mut self, chain: &ChainSummary) -> Result<Summary, Fault> {
        if let Some(known) = self.summaries.get(&chain.id).filter(|known| known.records == chain.len) {
            return Ok(known.clone());
        }
        let walk = walk::fold(&self.journal, &chain.id)?;
        let summary = Summary::of(chain, &walk, &walk::events(&self.journal, &chain.id)?);
        self.summaries.insert(chain.id.clone(), summary.clone());
        Ok(summary)
    }
}

/// Which walks are wanted. Every field that is given must fit; several serials are parted by commas.
#[derive(Clone, Debug, Default, Deserialize, Serialize)]
#[serde(default)]
pub(crate) struct Filter {
    pub(crate) serial: String,
    pub(crate) procedure: String,
    pub(crate) revision: String,
    pub(crate) person: String,
    pub(crate) standing: String,
    pub(crate) from: String,
    pub(crate) to: String,
}

impl Filter {
    pub(crate) fn fits(&self, walk: &Summary) -> bool {
        let any = |wanted: &str, is: &dyn Fn(&str) -> bool| {
            let wanted: Vec<&str> = wanted.split(',').map(str::trim).filter(|one| !one.is_empty()).collect();
            wanted.is_empty() || wanted.into_iter().any(is)
        };
        let same = |a: &str, b: &str| a.to_lowercase() == b.to_lowercase();
        any(&self.serial, &|serial| same(serial, &walk.serial))
            && any(&self.procedure, &|procedure| procedure == walk.procedure)
            && any(&self.revision, &|revision| revision == walk.revision.to_string())
            && any(&self.person, &|person| walk.people.iter().any(|other| same(person, other)))
            && any(&self.standing, &|standing| standing == walk.standing)
            && (self.from.is_empty() || *walk.begun_day >= *self.from)
            && (self.to.is_empty() || *walk.begun_day <= *self.to)
    }
}
