//! The checklist on paper: one line a step, dots from the challenge to the response.

use super::{Composer, GAP, HEADING_GAP, ruled};
use crate::error::Error;
use crate::fields::Part;
use crate::file::{About, paged};
use crate::flow::Group;
use crate::head::Running;
use crate::options::{Format, Options};
use crate::set::{Face, Piece, Type, stack};
use crate::stack::{Ink, Mark, Stack, Tone};
use crate::tree::{NodeId, Role};
use card::checklist::{Checklist, Item};
use std::rc::Rc;

/// Side of a box to tick, and the room for it.
const BOX: f32 = 8.5;
const BOX_ROOM: f32 = 14.0;
/// Dots are not shorter than this, with the white at their ends.
const DOTS: f32 = 14.0;
const WHITE: f32 = 3.0;
/// A response wider than this part of the line stands below its challenge.
const RESPONSE_MOST: f32 = 0.55;
/// Between two lines.
const BETWEEN: f32 = 0.2;
/// So much less white between lines than in a card, that a list has few pages.
const TIGHT: f32 = 1.8;
/// The alert symbol before a warning, and the room for it.
const SYMBOL: f32 = 10.0;
const SYMBOL_ROOM: f32 = 13.0;

/// Puts a checklist on paper.
///
/// # Errors
/// As [`crate::render`].
pub fn checklist(list: &Checklist, options: &Options) -> Result<Vec<u8>, Error> {
    let format = Format::of(options.paper);
    let mut composer = Composer::new(format);
    composer.first(list)?;
    composer.lines_part("Before you start", &list.before)?;
    composer.brief_part("Steps")?;
    for (number, items) in (1..).zip(&list.groups) {
        composer.lines(items)?;
        composer.keep_with_next();
        composer.final_tick(&format!("Pause point {number} complete"))?;
    }
    composer.lines_part("Restoration", &list.after)?;
    composer.final_tick(&list.complete)?;
    composer.signed()?;
    let (groups, tree) = composer.finish();
    let about = About::of(&list.identity, "Checklist: ");
    paged(format, groups, tree, &Running::of(&list.identity), &about)
}

impl Composer {
    fn plain(&self) -> Type {
        Type { size: 10.0, face: Face::Plain, tone: Tone::Black }
    }

    fn first(&mut self, list: &Checklist) -> Result<(), Error> {
        let identity = &list.identity;
        "the head of the checklist".clone_into(&mut self.set.place);
        self.title(&identity.title, 16.0)?;
        let machine = identity.machine.as_ref().map(|machine| format!(", {machine}")).unwrap_or_default();
        let (id, revision, equipment) = (&identity.id, identity.revision, &identity.equipment);
        let what = format!("Checklist of {id}, revision {revision}, for {equipment}{machine}. ");
        let defer = format!("{} {}", list.defer, card::checklist::FULL);
        self.brief(2.0, &[Piece::strong(what), Piece::plain(defer)])?;
        self.brief(2.0, &[Piece::plain(&identity.mark)])?;
        let mut hazards = Vec::new();
        for hazard in &list.hazards {
            let (word, rest) = hazard.split_once(':').unwrap_or(("", hazard));
            hazards.extend([Piece::strong(format!("{word}:")), Piece::plain(format!("{rest} "))]);
        }
        self.brief(2.0, &hazards)
    }

    fn brief(&mut self, before: f32, pieces: &[Piece]) -> Result<(), Error> {
        let (kind, width) = (self.plain(), self.width());
        let leaf = self.set.tree.add(self.section, Role::Paragraph);
        let stack = self.set.text(pieces, kind, width, Some(leaf))?;
        self.push(before, stack.tight(TIGHT).whole());
        Ok(())
    }

    /// A heading that takes little room.
    fn brief_part(&mut self, title: &str) -> Result<(), Error> {
        title.clone_into(&mut self.set.place);
        self.section = self.set.tree.root(Role::Section);
        let leaf = self.set.tree.add(self.section, Role::Heading(2, title.to_owned()));
        let kind = Type { size: 11.0, ..self.plain().strong() };
        let width = self.width();
        let mut stack = ruled(width, 1.0, 1.5);
        stack.push(self.set.words(title, kind, width, leaf)?);
        self.groups.push(Group {
            stack: stack.whole(),
            before: HEADING_GAP / 2.0,
            with_next: true,
            bookmark: Some((1, title.to_owned())),
            ..Group::default()
        });
        Ok(())
    }

    fn lines_part(&mut self, title: &str, items: &[Item]) -> Result<(), Error> {
        self.brief_part(title)?;
        self.lines(items)?;
        Ok(())
    }

    /// The lines of one pause point, kept together.
    fn lines(&mut self, items: &[Item]) -> Result<(), Error> {
        let numbered = items.iter().any(|item| !item.number.is_empty());
        let list = self.set.tree.add(self.section, Role::List(numbered));
        for (at, item) in items.iter().enumerate() {
            if !item.number.is_empty() {
                self.set.place = format!("step {}", item.number);
            }
            let stack = self.line(item, list)?;
            let with_next = at + 1 < items.len();
            self.groups.push(Group { stack, before: BETWEEN, with_next, ..Group::default() });
        }
        Ok(())
    }

    /// A warning, and below it the line: number, box, challenge, dots, response.
    fn line(&mut self, item: &Item, list: NodeId) -> Result<Stack, Error> {
        let (kind, width) = (self.plain(), self.width());
        let number = self.set.short("00.0", kind.strong())?.1;
        let text = number + 4.0 + BOX_ROOM;
        let mut all = Stack::default();
        if let Some(warned) = &item.warning {
            // A warning is read before the number of its step.
            let node = self.set.tree.add(list, Role::Item);
            let leaf = self.set.tree.add(node, Role::Body);
            let pieces = [
                Piece::strong(format!("{}: ", warned.word.word())),
                Piece::plain(format!("{} ", warned.hazard)),
            ];
            let room = if warned.symbol { SYMBOL_ROOM } else { 0.0 };
            let mut stack = self.set.text(&pieces, kind, width - text - room, Some(leaf))?.right(text + room);
            if let (true, Some(strip)) = (warned.symbol, stack.strips.first_mut()) {
                let ink = Ink::Alert { width: SYMBOL, tone: Tone::Black, ground: crate::stack::Fill::White };
                let y = strip.baseline.unwrap_or(strip.height) + 0.6;
                let alt = Some(Rc::from("safety alert symbol"));
                strip.marks.insert(0, Mark { x: text, y, leaf: Some(leaf), alt, ink });
            }
            all.push(stack);
        }
        let node = self.set.tree.add(list, Role::Item);
        let label = self.set.tree.add(node, Role::Label);
        let body = self.set.tree.add(node, Role::Body);
        let (digits, wide) = self.set.short(&item.number, kind.strong())?;
        let mut said = self.said(item, text, body)?;
        if let Some(strip) = said.strips.first_mut() {
            let baseline = strip.baseline.unwrap_or(strip.height);
            let digits = digits.into_iter().map(|mark| Mark {
                x: mark.x + number - wide,
                y: baseline,
                leaf: Some(label),
                ..mark
            });
            strip.marks.extend(digits);
            strip.marks.insert(0, small_tick(number + 4.0, baseline, body));
        }
        all.push(said);
        Ok(all.tight(TIGHT).whole())
    }

    /// Challenge, dots and response. The challenge is set so that the response has room beside its last line.
    fn said(&mut self, item: &Item, left: f32, leaf: NodeId) -> Result<Stack, Error> {
        let (kind, width) = (self.plain(), self.width());
        let room = width - left;
        let (response, wide) = self.set.short(&item.response, kind.strong())?;
        let challenge = [Piece::plain(&item.challenge)];
        let mut lines = self.set.lines(&challenge, kind, room)?;
        let beside = wide <= room * RESPONSE_MOST;
        if beside && lines.last().is_some_and(|line| line.end + DOTS + wide > room) {
            lines = self.set.lines(&challenge, kind, room - wide - DOTS)?;
        }
        let end = lines.last().map_or(0.0, |line| line.end);
        let mut said = stack(lines, Some(leaf)).right(left);
        if end + DOTS + wide <= room {
            if let Some(strip) = said.strips.last_mut() {
                let baseline = strip.baseline.unwrap_or(strip.height);
                let dots = room - wide - end - 2.0 * WHITE;
                strip.marks.push(Mark::layout(left + end + WHITE, baseline - 0.6, Ink::Leader(dots)));
                strip.marks.extend(response.into_iter().map(|mark| Mark {
                    x: mark.x + width - wide,
                    y: baseline,
                    leaf: Some(leaf),
                    ..mark
                }));
            }
            return Ok(said);
        }
        // Too long for that: below, flush right, with what is left of the first line as dots.
        let lines = self.set.lines(&[Piece::plain(&item.response)], kind.strong(), room - DOTS)?;
        for line in lines {
            let (end, height, baseline) = (line.end, line.height, line.baseline);
            let mut marks = line.marks(Some(leaf), baseline);
            marks.iter_mut().for_each(|mark| mark.x += width - end);
            said.push(Stack::strip(height, Some(baseline), marks));
        }
        Ok(said)
    }

    /// A box to tick for all that stands above.
    fn final_tick(&mut self, words: &str) -> Result<(), Error> {
        let (kind, width) = (self.plain().strong(), self.width());
        let left = self.set.short("00.0", kind)?.1 + 4.0;
        let leaf = self.set.tree.add(self.section, Role::Paragraph);
        let mut stack = self.set.words(words, kind, width - left - BOX_ROOM, leaf)?.right(left + BOX_ROOM);
        if let Some(strip) = stack.strips.first_mut() {
            let tick = small_tick(left, strip.baseline.unwrap_or(strip.height), leaf);
            strip.marks.insert(0, tick);
        }
        stack = stack.tight(TIGHT);
        let line = Mark::layout(0.0, 1.2, Ink::Rule(width, 0.5));
        stack.push(Stack::strip(2.2, None, vec![line]));
        self.push(BETWEEN, stack.whole());
        Ok(())
    }

    fn signed(&mut self) -> Result<(), Error> {
        let (kind, width) = (self.plain(), self.width());
        let leaf = self.set.tree.add(self.section, Role::Paragraph);
        let blank = |name: &str, wide: f32, alt: &'static str| {
            vec![Part::Text(name.to_owned()), Part::Blank(wide, alt)]
        };
        let parts = [
            blank("Name", 110.0, "the name"),
            blank("Signature", 110.0, "the signature"),
            blank("Date", 70.0, "the date"),
        ];
        let stack = self.set.fields(&parts, kind, width, leaf)?;
        self.push(GAP, stack.whole());
        Ok(())
    }
}

fn small_tick(x: f32, baseline: f32, leaf: NodeId) -> Mark {
    let alt = Some(Rc::from("box to tick"));
    Mark { x, y: baseline - BOX + 0.8, leaf: Some(leaf), alt, ink: Ink::Tick(BOX) }
}
