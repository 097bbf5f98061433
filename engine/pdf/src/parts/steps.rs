//! The steps, each with its warnings before it.

use super::{Composer, GAP, ruled};
use crate::error::Error;
use crate::flow::Group;
use crate::set::{Face, Piece, Type};
use crate::stack::{Fill, Stack, Tone};
use crate::tree::{NodeId, Role};
use crate::widgets::{TICK_ROOM, slanted};
use card::page::{Alert, Detail, Route, StepBox};

/// White before a step, and between the parts of one.
const STEP_GAP: f32 = 7.0;
pub(super) const PART: f32 = 2.5;
/// A step inside another is moved in by so much.
const INSIDE: f32 = 12.0;
/// White inside the frame of a hold point.
const HELD: f32 = 7.0;

/// Where the columns of the steps are.
#[derive(Clone, Copy)]
struct Columns {
    number: f32,
    text: f32,
}

impl Composer {
    pub(super) fn steps(&mut self, looks: &str, steps: &[StepBox]) -> Result<(), Error> {
        self.part("Steps")?;
        self.paragraph(2.0, looks)?;
        let kind = self.number();
        let mut widest = 0.0_f32;
        let mut all: Vec<&StepBox> = steps.iter().collect();
        while let Some(step) = all.pop() {
            widest = widest.max(self.set.short(&step.number, kind)?.1);
            all.extend(&step.inner);
        }
        let number = (widest + 10.0).max(22.0);
        let columns = Columns { number, text: number + TICK_ROOM + 3.0 };
        let list = self.set.tree.add(self.section, Role::List(true));
        self.list_of_steps(steps, 0, columns, list)
    }

    fn number(&self) -> Type {
        Type { size: self.set.act().size + 1.0, face: Face::Strong, tone: Tone::Black }
    }

    fn list_of_steps(
        &mut self,
        steps: &[StepBox],
        depth: usize,
        columns: Columns,
        list: NodeId,
    ) -> Result<(), Error> {
        for step in steps {
            self.set.place = format!("step {}", step.number);
            let item = self.set.tree.add(list, Role::Item);
            let label = self.set.tree.add(item, Role::Label);
            let body = self.set.tree.add(item, Role::Body);
            let group = self.step(step, depth, columns, (label, body))?;
            self.groups.push(group);
            if !step.inner.is_empty() {
                let inner = self.set.tree.add(body, Role::List(true));
                self.list_of_steps(&step.inner, depth + 1, columns, inner)?;
            }
            self.set.place = format!("step {}", step.number);
            self.closing(step, depth, columns, body)?;
        }
        Ok(())
    }

    fn step(
        &mut self,
        step: &StepBox,
        depth: usize,
        columns: Columns,
        (label, body): (NodeId, NodeId),
    ) -> Result<Group, Error> {
        let left = depth as f32 * INSIDE;
        let frame = self.width() - left;
        let held = matches!(step.detail, Detail::Hold { .. });
        let whole = if held { frame - 2.0 * HELD } else { frame };
        let width = whole - columns.text;
        let mut stack = Stack::default();
        for Alert { warning, compact } in &step.warnings {
            stack.push_after(4.0, self.set.warning(warning, *compact, whole, body)?);
        }
        let indent = if self.set.format.narrow { columns.number } else { columns.text };
        let lead = self.lead(step, whole - indent, body)?.right(indent);
        stack.push_after(4.0, lead);
        let kind = self.number();
        let number = self.set.words(&step.number, kind, columns.number, label)?;
        let mut row = vec![number];
        let act = self.content(step, width, body)?;
        let baseline = act.strips.first().and_then(|strip| strip.baseline).unwrap_or_default();
        let tick = self.set.tick(0.0, baseline, label);
        row.push(Stack::strip(baseline + 2.0, Some(baseline), vec![tick]).right(columns.number));
        row.push(act.right(columns.text));
        // Even in a step longer than a page no page ends between a warning and the first words of the act.
        stack.strips.iter_mut().for_each(|strip| strip.glued = true);
        let first = stack.strips.len();
        stack.push_after(4.0, Stack::beside(row));
        if let Some(white) = stack.strips.get_mut(first).filter(|strip| strip.gap) {
            white.glued = true;
        }
        if held {
            // Heavier than any other line of the card: nobody passes it unseen.
            stack = stack.right(HELD).framed(0.0, frame, 6.0, 2.0, Fill::Pale);
        } else if step.warnings.is_empty() {
            // The frame of a warning parts a step from the one before as well as a line does.
            let mut step = ruled(whole, 0.5, 5.0);
            step.push(stack);
            stack = step;
        }
        Ok(Group {
            stack: stack.right(left),
            before: STEP_GAP,
            with_next: !step.inner.is_empty(),
            again: None,
            breaks: Some(self.breaks(&step.number, left)?),
            bookmark: Some((2, bookmark(step))),
        })
    }

    /// What is said where a step goes on on another page.
    fn breaks(&mut self, number: &str, left: f32) -> Result<(Stack, Stack), Error> {
        let kind = Type { size: 10.0, face: Face::Slanted, tone: Tone::Black };
        let width = self.width() - left;
        let off = self.set.text(
            &[slanted(format!("Step {number} continues on the next page."))],
            kind,
            width,
            None,
        )?;
        let on = self.set.text(&[slanted(format!("Step {number}, continued:"))], kind, width, None)?;
        let mut end = Stack::white(4.0);
        end.push(off.right(left));
        let mut start = on.right(left);
        start.push(Stack::white(4.0));
        Ok((end, start))
    }

    /// What is known before the act.
    fn lead(&mut self, step: &StepBox, width: f32, parent: NodeId) -> Result<Stack, Error> {
        // The others are the act and what follows from it, or stand round the box.
        let StepBox {
            number: _,
            id: _,
            kind: _,
            only,
            warnings: _,
            note,
            needs,
            work,
            wear,
            takes,
            by,
            text: _,
            detail: _,
            leaves: _,
            expect: _,
            verified_by: _,
            routes: _,
            rounds: _,
            inner: _,
        } = step;
        let mut all = Stack::default();
        let kind = self.set.body();
        if let Some(only) = only {
            let leaf = self.set.tree.add(parent, Role::Paragraph);
            all.push(self.set.words(only, kind.strong(), width, leaf)?);
        }
        let room = 40.0;
        if let Some(note) = note {
            let list = self.set.tree.add(parent, Role::List(false));
            let (name, body) = self.set.named("Note", room, list)?;
            let text = self.set.prose(note, kind.slanted(), width - room, body)?;
            all.push_after(1.5, Stack::beside(vec![name, text.right(room)]));
        }
        let by: Vec<String> = by.iter().cloned().collect();
        let work: Vec<String> = work.iter().cloned().collect();
        let facts = [("By", &by), ("Needs", needs), ("Work", &work), ("Wear", wear), ("Take", takes)];
        if facts.iter().all(|(_, texts)| texts.is_empty()) {
            return Ok(all);
        }
        let list = self.set.tree.add(parent, Role::List(false));
        for (name, texts) in facts {
            if !texts.is_empty() {
                let text = [Piece::plain(texts.join("; "))];
                all.push_after(1.0, self.set.fact(name, &text, kind, room, width, list)?);
            }
        }
        Ok(all)
    }

    /// The act and all that follows from it.
    fn content(&mut self, step: &StepBox, width: f32, parent: NodeId) -> Result<Stack, Error> {
        let kind = step.kind.map(|kind| Piece::strong(format!("{kind}: "))).into_iter().collect();
        let act = self.set.act();
        let mut all = self.set.prose_after(kind, &step.text, act, width, parent)?;
        all.push_after(PART, self.detail(step, width, parent)?);
        if let Some(expect) = &step.expect {
            let list = self.set.tree.add(parent, Role::List(false));
            let (name, body) = self.set.named("Result", 40.0, list)?;
            let kind = self.set.body();
            let text = self.set.prose(expect, kind, width - 40.0, body)?;
            all.push_after(PART, Stack::beside(vec![name, text.right(40.0)]));
        }
        if !matches!(step.detail, Detail::Repeat { .. }) {
            all.push_after(PART, self.ways(&step.routes, width, parent)?);
        }
        if let Some(role) = &step.verified_by {
            let words = format!("Verified by the {role}, not the one who did it:");
            all.push_after(PART, self.signature(&words, width, parent)?);
        }
        Ok(all)
    }

    /// Where to go from here.
    pub(super) fn ways(&mut self, routes: &[Route], width: f32, parent: NodeId) -> Result<Stack, Error> {
        let kind = self.set.body();
        let mut all = Stack::default();
        for Route { when, to, step: _, stops: _ } in routes {
            let leaf = self.set.tree.add(parent, Role::Paragraph);
            let pieces = [Piece::plain(format!("{when} ")), Piece::strong(format!("→ {to}"))];
            all.push_after(1.0, self.set.text(&pieces, kind, width, Some(leaf))?);
        }
        Ok(all)
    }

    /// What ends a repeat stands where it is needed, after its last step.
    fn closing(
        &mut self,
        step: &StepBox,
        depth: usize,
        columns: Columns,
        parent: NodeId,
    ) -> Result<(), Error> {
        let (Detail::Repeat { until, rounds: _ }, Some(first)) = (&step.detail, step.inner.first()) else {
            return Ok(());
        };
        let left = (depth + 1) as f32 * INSIDE;
        let width = self.width() - left - columns.text;
        let kind = self.set.body();
        let leaf = self.set.tree.add(parent, Role::Paragraph);
        let again = format!(
            " it is so with the answer shown. With another answer, begin at step {} again.",
            first.number
        );
        let mut all =
            self.set.text(&[Piece::strong("End of round:"), Piece::plain(again)], kind, width, Some(leaf))?;
        let list = self.set.tree.add(parent, Role::List(false));
        for one in until {
            all.push_after(PART, self.set.question(one, width, list)?);
        }
        all.push_after(PART, self.ways(&step.routes, width, parent)?);
        self.push(GAP, all.right(left + columns.text).whole());
        Ok(())
    }
}

/// The line in the list of bookmarks: the number and the first words.
fn bookmark(step: &StepBox) -> String {
    const WORDS: usize = 9;
    let text = step.text.text();
    let mut words = text.split_whitespace();
    let first: Vec<&str> = words.by_ref().take(WORDS).collect();
    let more = if words.next().is_some() { " …" } else { "" };
    let line: String = format!("{}  {}{more}", step.number, first.join(" ")).chars().take(120).collect();
    line
}
