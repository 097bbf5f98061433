//! What belongs to the kind of a step.

use super::Composer;
use super::steps::PART;
use crate::error::Error;
use crate::fields::{Field, Part};
use crate::set::Piece;
use crate::stack::Stack;
use crate::tree::{NodeId, Role};
use card::page::{Detail, Diagram, PassRow, Question, Route, StepBox};

/// Widths of blanks.
const READING: f32 = 62.0;
const TIME: f32 = 52.0;
const NAME: f32 = 96.0;

impl Composer {
    pub(super) fn detail(&mut self, step: &StepBox, width: f32, parent: NodeId) -> Result<Stack, Error> {
        let kind = self.set.body();
        let mut all = Stack::default();
        match &step.detail {
            Detail::Act | Detail::AnyOrder | Detail::Perform => {}
            Detail::Confirm { questions } => all = self.asked(questions, width, parent)?,
            Detail::Measure { instrument, unit, range, uncertainty, readings } => {
                all.push(self.set.value("Range", range, width, parent)?);
                let reading = |at: u32| if at == 0 { "Reading".to_owned() } else { format!("Retest {at}") };
                let blanks = (0..*readings).map(|at| {
                    vec![
                        Part::Text(reading(at)),
                        Part::Short(READING, "the reading"),
                        Part::Text(unit.clone()),
                    ]
                });
                all.push(self.by_round(step, &blanks.collect::<Vec<_>>(), width, parent)?);
                let leaf = self.set.tree.add(parent, Role::Paragraph);
                let text = format!("{instrument}. {}", uncertainty.as_deref().unwrap_or_default());
                all.push_after(PART, self.set.words(text.trim_end(), kind, width, leaf)?);
            }
            Detail::Wait { time, until, limit } => {
                if let Some(time) = time {
                    // One time for all stands in the sentence already.
                    if time.table.is_some() {
                        all.push(self.set.value("", time, width, parent)?);
                    }
                    all.push(self.by_round(step, &clock("Due", "the time when it is due"), width, parent)?);
                }
                all.push_after(PART, self.asked(until, width, parent)?);
                if let Some(limit) = limit {
                    all.push_after(PART, self.set.value("Limit", limit, width, parent)?);
                    all.push(self.by_round(
                        step,
                        &clock("Limit at", "the time of the limit"),
                        width,
                        parent,
                    )?);
                }
            }
            Detail::Ask { answers } => {
                let list = self.set.tree.add(parent, Role::List(false));
                for Route { when, to, step: _, stops: _ } in answers {
                    let item = self.set.tree.add(list, Role::Item);
                    let leaf = self.set.tree.add(item, Role::Body);
                    let fields = [vec![Part::Tick, Part::Text(when.clone()), Part::Text(format!("→ {to}"))]];
                    all.push(self.set.tick_row(&fields, kind.strong(), width, leaf)?);
                }
            }
            Detail::Hold { role } => {
                let leaf = self.set.tree.add(parent, Role::Paragraph);
                all.push(self.set.words(
                    "Work stops here until this is released.",
                    kind.strong(),
                    width,
                    leaf,
                )?);
                all.push_after(PART, self.signature(&format!("Released by the {role}:"), width, parent)?);
            }
            Detail::Fasten { passes, numbering, diagram, note } => {
                all = self.fastened(passes, numbering, diagram, note.as_deref(), width, parent)?;
            }
            // What ends it stands after its steps.
            Detail::Repeat { rounds, until: _ } => {
                let mut fields: Vec<Field> = vec![vec![Part::Text("Rounds:".to_owned())]];
                fields.extend((1..=*rounds).map(|round| vec![Part::Tick, Part::Text(round.to_string())]));
                let leaf = self.set.tree.add(parent, Role::Paragraph);
                all.push(self.set.tick_row(&fields, kind, width, leaf)?);
            }
        }
        Ok(all)
    }

    fn asked(&mut self, questions: &[Question], width: f32, parent: NodeId) -> Result<Stack, Error> {
        let mut all = Stack::default();
        if questions.is_empty() {
            return Ok(all);
        }
        let list = self.set.tree.add(parent, Role::List(false));
        for one in questions {
            all.push_after(PART, self.set.question(one, width, list)?);
        }
        Ok(all)
    }

    /// Blanks once for each round that the step is part of.
    fn by_round(
        &mut self,
        step: &StepBox,
        blanks: &[Field],
        width: f32,
        parent: NodeId,
    ) -> Result<Stack, Error> {
        let kind = self.set.body();
        let mut all = Stack::default();
        for round in 1..=step.rounds {
            let mut fields = blanks.to_vec();
            if step.rounds > 1 {
                fields.insert(0, vec![Part::Text(format!("Round {round}:"))]);
            }
            let leaf = self.set.tree.add(parent, Role::Paragraph);
            all.push(self.set.fields(&fields, kind, width, leaf)?);
        }
        Ok(all)
    }

    /// Who signs, with the blanks.
    pub(super) fn signature(&mut self, words: &str, width: f32, parent: NodeId) -> Result<Stack, Error> {
        let kind = self.set.body();
        let leaf = self.set.tree.add(parent, Role::Paragraph);
        let mut all = self.set.words(words, kind.strong(), width, leaf)?;
        let leaf = self.set.tree.add(parent, Role::Paragraph);
        all.push(self.set.fields(&signed(), kind, width, leaf)?);
        Ok(all.whole())
    }

    fn fastened(
        &mut self,
        passes: &[PassRow],
        numbering: &str,
        diagram: &Diagram,
        note: Option<&str>,
        width: f32,
        parent: NodeId,
    ) -> Result<Stack, Error> {
        let kind = self.set.body();
        let format = self.set.format;
        let drawing = self.set.diagram(diagram, (width, format.height * 0.5), parent)?;
        let beside = match &drawing {
            Some((_, wide)) if !format.narrow && width - wide > 190.0 => wide + 16.0,
            _ => 0.0,
        };
        let room = width - beside;
        let mut words = Stack::default();
        let say = |composer: &mut Self, text: &str| -> Result<Stack, Error> {
            let leaf = composer.set.tree.add(parent, Role::Paragraph);
            composer.set.text(&[Piece::plain(text)], kind, room, Some(leaf))
        };
        let key = if drawing.is_some() {
            "In the circle: its turn; under it: the fastener's number. The double ring is the first."
        } else {
            "The drawing does not fit on this paper: go by the numbers."
        };
        words.push(say(self, key)?);
        let mut named = say(self, &format!("Fasteners in order ({numbering}):"))?;
        named.strips.iter_mut().for_each(|strip| strip.glued = true);
        words.push_after(PART, named);
        for PassRow { label, order } in passes {
            if !label.is_empty() {
                let mut label = say(self, &format!("{label}:"))?;
                label.strips.iter_mut().for_each(|strip| strip.glued = true);
                words.push_after(PART, label);
            }
            let fields: Vec<Field> =
                order.iter().map(|number| vec![Part::Tick, Part::Text(number.to_string())]).collect();
            let leaf = self.set.tree.add(parent, Role::Paragraph);
            words.push(self.set.tick_row(&fields, kind, room, leaf)?);
        }
        if let Some(note) = note {
            words.push_after(PART, say(self, note)?);
        }
        let mut all = Stack::default();
        match drawing {
            Some((figure, _)) if beside > 0.0 => {
                all.push(Stack::beside(vec![figure, words.whole().right(beside)]));
            }
            Some((figure, _)) => {
                all.push(figure);
                all.push_after(PART, words);
            }
            None => all.push(words),
        }
        Ok(all)
    }
}

/// Name, signature and time.
pub(super) fn signed() -> [Field; 3] {
    [
        vec![Part::Text("Name".to_owned()), Part::Blank(NAME, "the name")],
        vec![Part::Text("Signature".to_owned()), Part::Blank(NAME, "the signature")],
        vec![Part::Text("Time".to_owned()), Part::Short(TIME, "the time")],
    ]
}

/// Two times.
fn clock(second: &str, what: &'static str) -> [Field; 2] {
    [
        vec![Part::Text("Start".to_owned()), Part::Short(TIME, "the time of the start")],
        vec![Part::Text(second.to_owned()), Part::Short(TIME, what)],
    ]
}
