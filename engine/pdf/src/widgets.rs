//! The small things that parts of a card are made of.

use crate::error::Error;
use crate::set::{Face, Piece, Setter, Type, stack};
use crate::stack::{Ink, Mark, Stack};
use crate::tree::{NodeId, Role};
use card::page::Question;
use std::rc::Rc;

/// Side of a box to tick.
pub(crate) const TICK: f32 = 10.5;
/// Room that a box to tick takes with the white after it.
pub(crate) const TICK_ROOM: f32 = TICK + 5.0;
/// Room for an answer at the end of a line: a box and a word.
const ANSWER_ROOM: f32 = 38.0;
/// Dots between a question and its answer are not shorter than this.
const LEADER_LEAST: f32 = 10.0;

impl Setter {
    /// A box to tick, standing on a baseline.
    pub(crate) fn tick(&self, x: f32, baseline: f32, leaf: NodeId) -> Mark {
        let alt = Some(Rc::from("box to tick"));
        Mark { x, y: baseline - TICK + 1.2, leaf: Some(leaf), alt, ink: Ink::Tick(TICK) }
    }

    /// A text with a box to tick before it, as an item of a list.
    pub(crate) fn ticked(
        &mut self,
        text: &str,
        kind: Type,
        width: f32,
        list: NodeId,
    ) -> Result<Stack, Error> {
        let item = self.tree.add(list, Role::Item);
        let body = self.tree.add(item, Role::Body);
        let mut stack = self.words(text, kind, width - TICK_ROOM, body)?.whole().right(TICK_ROOM);
        if let Some(strip) = stack.strips.first_mut() {
            let tick = self.tick(0.0, strip.baseline.unwrap_or(strip.height), body);
            strip.marks.insert(0, tick);
        }
        Ok(stack)
    }

    /// A name and, beside it, what it names.
    pub(crate) fn named(&mut self, name: &str, room: f32, list: NodeId) -> Result<(Stack, NodeId), Error> {
        let item = self.tree.add(list, Role::Item);
        let label = self.tree.add(item, Role::Label);
        let kind = self.label();
        let name = self.words(name, kind, room - 6.0, label)?;
        Ok((name, self.tree.add(item, Role::Body)))
    }

    /// A name and, beside it, a text.
    pub(crate) fn fact(
        &mut self,
        name: &str,
        text: &[Piece],
        kind: Type,
        room: f32,
        width: f32,
        list: NodeId,
    ) -> Result<Stack, Error> {
        let (name, body) = self.named(name, room, list)?;
        let text = self.text(text, kind, width - room, Some(body))?;
        Ok(Stack::beside(vec![name, text.right(room)]))
    }

    /// A question with the answer that lets the work go on, joined by dots (CAP 676, 2nd), as items of a list.
    pub(crate) fn question(&mut self, one: &Question, width: f32, list: NodeId) -> Result<Stack, Error> {
        let Question { ask, answer, choices, hint } = one;
        let kind = self.body();
        if choices.is_empty() {
            let mut asked = self.answered(ask, answer, width, list)?;
            if let Some(hint) = hint {
                let item = self.tree.add(list, Role::Item);
                let body = self.tree.add(item, Role::Body);
                asked.push(self.words(hint, kind.slanted(), width - ANSWER_ROOM, body)?);
            }
            return Ok(asked.whole());
        }
        let item = self.tree.add(list, Role::Item);
        let label = self.tree.add(item, Role::Label);
        let mut all = self.words(ask, kind, width, label)?;
        let body = self.tree.add(item, Role::Body);
        let inner = self.tree.add(body, Role::List(false));
        for choice in choices {
            all.push_after(2.0, self.answered(choice, answer, width - 14.0, inner)?.right(14.0));
        }
        Ok(all.whole())
    }

    fn answered(&mut self, ask: &str, answer: &str, width: f32, list: NodeId) -> Result<Stack, Error> {
        let item = self.tree.add(list, Role::Item);
        let leaf = self.tree.add(item, Role::Body);
        let kind = self.body();
        let lines = self.lines(&[Piece::plain(ask)], kind, width - ANSWER_ROOM - LEADER_LEAST)?;
        let end = lines.last().map_or(0.0, |line| line.end);
        let mut asked = stack(&lines, Some(leaf));
        let (word, _) = self.short(answer, kind.strong())?;
        let at = width - ANSWER_ROOM + 4.0;
        if let Some(strip) = asked.strips.last_mut() {
            let baseline = strip.baseline.unwrap_or(strip.height);
            let leader = (end + 4.0, at - 5.0);
            if leader.1 > leader.0 {
                strip.marks.push(Mark::layout(leader.0, baseline - 0.6, Ink::Leader(leader.1 - leader.0)));
            }
            let tick = self.tick(at, baseline, leaf);
            strip.marks.push(tick);
            let right = at + TICK_ROOM;
            strip.marks.extend(word.into_iter().map(|mark| Mark {
                x: mark.x + right,
                y: baseline,
                leaf: Some(leaf),
                ..mark
            }));
        }
        Ok(asked)
    }

    /// Texts in columns of equal width, filled downwards.
    pub(crate) fn columns(&mut self, items: Vec<Stack>, across: usize, width: f32, gap: f32) -> Stack {
        let down = items.len().div_ceil(across.max(1));
        let mut columns: Vec<Stack> = vec![Stack::default(); across];
        for (at, item) in items.into_iter().enumerate() {
            columns[at / down.max(1)].push_after(gap, item);
        }
        let step = width / across as f32;
        Stack::beside(
            columns.into_iter().enumerate().map(|(at, column)| column.right(at as f32 * step)).collect(),
        )
    }
}

/// A face that differs from the text round it.
pub(crate) fn slanted(text: impl Into<String>) -> Piece {
    Piece { text: text.into(), face: Some(Face::Slanted) }
}
