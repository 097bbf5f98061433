//! Fasteners, one by one: what is next, what a tick may be, and what ticks are worth after an interruption.
//!
//! Ticks move nothing in the machine: it steps when the last is done.

use crate::event::Event;
use crate::refusal::{Refusal, refuse};
use crate::state::Walk;
use document::FastenPass;
use document::model::Kind;
use machine::NodeKind;

/// The fastener that is next.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Tick {
    /// The group as people call it.
    pub group: String,
    /// Which pass, from 1.
    pub pass: u32,
    /// How many passes there are.
    pub passes: u32,
    /// What this pass does to each, such as `to 30 % (0.9 N·m)`.
    pub words: String,
    /// The numbers of the fasteners in the order of this pass.
    pub order: Vec<u32>,
    /// How many of them are done.
    pub done: u32,
}

impl Tick {
    /// The fastener that is next.
    #[must_use]
    pub fn next(&self) -> Option<u32> {
        self.order.get(self.done as usize).copied()
    }

    /// Those that are done in this pass.
    #[must_use]
    pub fn ticked(&self) -> &[u32] {
        self.order.get(..self.done as usize).unwrap_or_default()
    }
}

impl Walk {
    /// The fastener of the present step that is next; none if the step is of another kind or all are done.
    #[must_use]
    pub fn tick(&self) -> Option<Tick> {
        let (group, passes) = self.passes()?;
        let mut before = 0;
        for (number, pass) in (1..).zip(&passes) {
            if self.ticks < before + pass.order.len() {
                return Some(Tick {
                    group,
                    pass: number,
                    passes: u32::try_from(passes.len()).ok()?,
                    words: pass.words.clone(),
                    order: pass.order.iter().filter_map(|&fastener| u32::try_from(fastener).ok()).collect(),
                    done: u32::try_from(self.ticks - before).ok()?,
                });
            }
            before += pass.order.len();
        }
        None
    }

    fn passes(&self) -> Option<(String, Vec<FastenPass>)> {
        if self.node().kind != NodeKind::Act {
            return None;
        }
        let Kind::Fasten(fasten) = &self.step()?.kind else { return None };
        let equipment = self.equipment()?;
        let group = equipment.fasteners.get(&fasten.fasteners)?;
        Some((fasten.fasteners.words(), document::passes(group, fasten.pass, equipment.system()).ok()?))
    }

    /// Ticks a fastener, if it is the next.
    pub(crate) fn fastener(&self, tick: &Tick, fastener: u32) -> Result<Event, Refusal> {
        let next = tick.next();
        if next == Some(fastener) {
            return Ok(Event::Fastened { step: self.here(), pass: tick.pass, fastener });
        }
        let reason = if tick.ticked().contains(&fastener) {
            format!("Fastener {fastener} is done already in this pass")
        } else if let Some(turn) = tick.order.iter().position(|&other| other == fastener) {
            format!(
                "Fastener {fastener} is out of order: its turn is {} and turn {} is due",
                turn + 1,
                tick.done + 1
            )
        } else {
            format!("There is no fastener {fastener}: they are numbered from 1 to {}", tick.order.len())
        };
        refuse(reason, format!("Fastener {} is next", next.unwrap_or_default()))
    }

    /// What is ticked so far, in words: asked after an interruption among the fasteners.
    pub(crate) fn ticks_question(&self) -> String {
        let tick = self.tick();
        let (Some((group, passes)), pass) = (self.passes(), tick.as_ref().map_or(0, |tick| tick.pass)) else {
            return String::new();
        };
        let whole = match (pass, passes.len()) {
            (0, 1) => "all".to_owned(),
            (0, count) => format!("all {count} passes"),
            (1, _) => String::new(),
            (2, _) => "pass 1".to_owned(),
            (pass, _) => format!("passes 1 to {}", pass - 1),
        };
        let ticked: Vec<String> = tick.iter().flat_map(Tick::ticked).map(u32::to_string).collect();
        let part = match (ticked.is_empty(), passes.len()) {
            (true, _) => String::new(),
            (false, 1) => ticked.join(", "),
            (false, _) => format!("of pass {pass} {}", ticked.join(", ")),
        };
        let both =
            [whole, part].into_iter().filter(|words| !words.is_empty()).collect::<Vec<_>>().join(" and ");
        format!("Fasteners of the {group} that are ticked: {both}. Are these as they were left?")
    }
}
