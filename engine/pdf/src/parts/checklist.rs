//! The checklist on paper: one line a step, dots from the challenge to the response.

use super::{Composer, GAP, HEADING_GAP, ruled};
use crate::error::Error;
use crate::fields::Part;
use crate::file::{About, paged, pages};
use crate::flow::Group;
use crate::head::Running;
use crate::options::{Format, Options};
use crate::set::{Face, Piece, Type, stack};
use crate::stack::{Ink, Mark, Stack, Tone};
use crate::tree::{NodeId, Role, Tree};
use card::checklist::{Checklist, Item, Warned};
use std::rc::Rc;

/// Side of a box to tick, and the room for it.
const BOX: f32 = 8.5;
const BOX_ROOM: f32 = 14.0;
/// Dots are not shorter than this, with the white at their ends.
const DOTS: f32 = 14.0;
const WHITE: f32 = 3.0;
/// A response wider than this part of the line stands below its challenge.
const RESPONSE_MOST: f32 = 0.55;
/// How close lines stand: white less than in a card, and between two lines of the list.
#[derive(Clone, Copy)]
struct Close(f32, f32);
/// From roomy to so close that boxes to tick all but touch: the roomiest that needs no more pages than the closest.
const CLOSE: [Close; 4] = [Close(0.4, 3.0), Close(0.8, 1.8), Close(1.2, 1.0), Close(1.8, 0.2)];
/// The alert symbol before a warning, and the room for it.
const SYMBOL: f32 = 10.0;
const SYMBOL_ROOM: f32 = 13.0;

/// Puts a checklist on paper.
///
/// # Errors
/// As [`crate::render`].
pub fn checklist(list: &Checklist, options: &Options) -> Result<Vec<u8>, Error> {
    let format = Format::for_paper(options.paper);
    let running = Running::for_identity(&list.identity);
    let mut composed = Vec::new();
    for close in CLOSE {
        let (groups, tree) = Lines { on: Composer::new(format), close, number: 0.0 }.composed(list)?;
        composed.push((pages(format, &groups, &running)?, groups, tree));
    }
    let fewest = composed.last().map_or(0, |(count, ..)| *count);
    let about = About::card(&list.identity, "Checklist: ");
    match composed.into_iter().find(|(count, ..)| *count == fewest) {
        Some((_, groups, tree)) => paged(format, groups, tree, &running, &about),
        None => Err(Error::Fault("a checklist in no spacing".to_owned())),
    }
}

/// A checklist while it is composed.
struct Lines {
    on: Composer,
    close: Close,
    /// Room for the numbers of steps: that of the widest.
    number: f32,
}

impl Lines {
    fn composed(mut self, list: &Checklist) -> Result<(Vec<Group>, Tree), Error> {
        let kind = self.plain().strong();
        let numbers = list.groups.iter().flatten().map(|item| item.number.as_str());
        for number in numbers.chain(["00.0"]) {
            self.number = self.number.max(self.on.set.short(number, kind)?.1);
        }
        self.first(list)?;
        self.part("Before you start", true)?;
        self.lines(&list.before)?;
        self.part("Steps", true)?;
        for (number, items) in (1..).zip(&list.groups) {
            self.lines(items)?;
            self.on.keep_with_next();
            self.final_tick(&format!("Pause point {number} complete"))?;
        }
        // The line below the last pause point is the line above this.
        self.part("Restoration", list.groups.is_empty())?;
        self.lines(&list.after)?;
        self.final_tick(&list.complete)?;
        self.signed()?;
        Ok(self.on.finish())
    }

    fn plain(&self) -> Type {
        Type { size: 10.0, face: Face::Plain, tone: Tone::Black }
    }

    fn first(&mut self, list: &Checklist) -> Result<(), Error> {
        let identity = &list.identity;
        "the head of the checklist".clone_into(&mut self.on.set.place);
        self.on.title(&identity.title, 16.0)?;
        let machine = identity.machine.as_ref().map(|machine| format!(", {machine}")).unwrap_or_default();
        let (id, revision, equipment) = (&identity.id, identity.revision, &identity.equipment);
        let what = format!("Checklist of {id}, revision {revision}, for {equipment}{machine}. ");
        let checked = list.checked.as_ref().map(|checked| format!("{checked} ")).unwrap_or_default();
        let defer = format!("{checked}{} {} {}", list.defer, list.looks, card::checklist::FULL);
        self.brief(2.0, &[Piece::strong(what), Piece::plain(defer)])?;
        self.brief(2.0, &[Piece::plain(&identity.mark)])?;
        for (at, hazard) in list.hazards.iter().enumerate() {
            let width = self.on.width();
            let leaf = self.on.set.tree.add(self.on.section, Role::Paragraph);
            let stack = self.warned(hazard, 0.0, width, leaf)?.tight(self.close.0);
            self.on.push(if at == 0 { 3.0 } else { self.close.1 }, stack.whole());
        }
        Ok(())
    }

    fn brief(&mut self, before: f32, pieces: &[Piece]) -> Result<(), Error> {
        let (kind, width) = (self.plain(), self.on.width());
        let leaf = self.on.set.tree.add(self.on.section, Role::Paragraph);
        let stack = self.on.set.text(pieces, kind, width, Some(leaf))?;
        self.on.push(before, stack.tight(self.close.0).whole());
        Ok(())
    }

    /// A heading that takes little room.
    fn part(&mut self, title: &str, line: bool) -> Result<(), Error> {
        title.clone_into(&mut self.on.set.place);
        self.on.section = self.on.set.tree.root(Role::Section);
        let leaf = self.on.set.tree.add(self.on.section, Role::Heading(2, title.to_owned()));
        let kind = Type { size: 11.0, ..self.plain().strong() };
        let width = self.on.width();
        let mut stack = if line { ruled(width, 1.0, 1.5) } else { Stack::default() };
        stack.push(self.on.set.words(title, kind, width, leaf)?);
        self.on.groups.push(Group {
            stack: stack.whole(),
            before: HEADING_GAP / 2.0,
            with_next: true,
            bookmark: Some((1, title.to_owned())),
            ..Group::default()
        });
        Ok(())
    }

    /// The lines of one pause point, kept together.
    fn lines(&mut self, items: &[Item]) -> Result<(), Error> {
        let numbered = items.iter().any(|item| !item.number.is_empty());
        let list = self.on.set.tree.add(self.on.section, Role::List(numbered));
        for (at, item) in items.iter().enumerate() {
            if !item.number.is_empty() {
                self.on.set.place = format!("step {}", item.number);
            }
            let stack = self.line(item, list)?;
            let with_next = at + 1 < items.len();
            self.on.groups.push(Group { stack, before: self.close.1, with_next, ..Group::default() });
        }
        Ok(())
    }

    /// A warning, and below it the line: number, box, challenge, dots, response.
    fn line(&mut self, item: &Item, list: NodeId) -> Result<Stack, Error> {
        let (kind, width) = (self.plain(), self.on.width());
        let number = self.number;
        let text = number + 4.0 + BOX_ROOM;
        let mut all = Stack::default();
        if let Some(warned) = &item.warning {
            // A warning is read before the number of its step.
            let node = self.on.set.tree.add(list, Role::Item);
            let leaf = self.on.set.tree.add(node, Role::Body);
            all.push(self.warned(warned, text, width - text, leaf)?);
        }
        let node = self.on.set.tree.add(list, Role::Item);
        let label = self.on.set.tree.add(node, Role::Label);
        let body = self.on.set.tree.add(node, Role::Body);
        let (digits, wide) = self.on.set.short(&item.number, kind.strong())?;
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
        Ok(all.tight(self.close.0).whole())
    }

    /// A warning in a line, its symbol at the left.
    fn warned(&mut self, warned: &Warned, left: f32, width: f32, leaf: NodeId) -> Result<Stack, Error> {
        let pieces =
            [Piece::strong(format!("{}: ", warned.word.word())), Piece::plain(format!("{} ", warned.hazard))];
        let kind = self.plain();
        let room = if warned.symbol { SYMBOL_ROOM } else { 0.0 };
        let mut stack = self.on.set.text(&pieces, kind, width - room, Some(leaf))?.right(left + room);
        if let (true, Some(strip)) = (warned.symbol, stack.strips.first_mut()) {
            let ink = Ink::Alert { width: SYMBOL, tone: Tone::Black, ground: crate::stack::Fill::White };
            let y = strip.baseline.unwrap_or(strip.height) + 0.6;
            let alt = Some(Rc::from("safety alert symbol"));
            strip.marks.insert(0, Mark { x: left, y, leaf: Some(leaf), alt, ink });
        }
        Ok(stack)
    }

    /// Challenge, dots and response. The challenge is set so that the response has room beside its last line.
    fn said(&mut self, item: &Item, left: f32, leaf: NodeId) -> Result<Stack, Error> {
        let (kind, width) = (self.plain(), self.on.width());
        let room = width - left;
        let (response, wide) = self.on.set.short(&item.response, kind.strong())?;
        let challenge = [Piece::plain(&item.challenge)];
        let mut lines = self.on.set.lines(&challenge, kind, room)?;
        let beside = wide <= room * RESPONSE_MOST;
        if beside && lines.last().is_some_and(|line| line.end + DOTS + wide > room) {
            // Not at the price of a column of single words: then the response stands below.
            let narrow = self.on.set.lines(&challenge, kind, room - wide - DOTS)?;
            if narrow.len() <= lines.len() + 1 {
                lines = narrow;
            }
        }
        let end = lines.last().map_or(0.0, |line| line.end);
        let mut said = stack(&lines, Some(leaf)).right(left);
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
        let lines = self.on.set.lines(&[Piece::plain(&item.response)], kind.strong(), room - DOTS)?;
        for line in lines.iter() {
            let (end, height, baseline) = (line.end, line.height, line.baseline);
            let mut marks = line.marks(Some(leaf), baseline);
            marks.iter_mut().for_each(|mark| mark.x += width - end);
            said.push(Stack::strip(height, Some(baseline), marks));
        }
        Ok(said)
    }

    /// A box to tick for all that stands above.
    fn final_tick(&mut self, words: &str) -> Result<(), Error> {
        let (kind, width) = (self.plain().strong(), self.on.width());
        let left = self.number + 4.0;
        let leaf = self.on.set.tree.add(self.on.section, Role::Paragraph);
        let mut stack = self.on.set.words(words, kind, width - left - BOX_ROOM, leaf)?.right(left + BOX_ROOM);
        if let Some(strip) = stack.strips.first_mut() {
            let tick = small_tick(left, strip.baseline.unwrap_or(strip.height), leaf);
            strip.marks.insert(0, tick);
        }
        stack = stack.tight(self.close.0);
        let line = Mark::layout(0.0, 1.2, Ink::Rule(width, 0.5));
        stack.push(Stack::strip(2.2, None, vec![line]));
        self.on.push(self.close.1, stack.whole());
        Ok(())
    }

    fn signed(&mut self) -> Result<(), Error> {
        let (kind, width) = (self.plain(), self.on.width());
        let leaf = self.on.set.tree.add(self.on.section, Role::Paragraph);
        let blank = |name: &str, wide: f32, alt: &'static str| {
            vec![Part::Text(name.to_owned()), Part::Blank(wide, alt)]
        };
        let parts = [
            blank("Name", 110.0, "the name"),
            blank("Signature", 110.0, "the signature"),
            blank("Date", 70.0, "the date"),
        ];
        let stack = self.on.set.fields(&parts, kind, width, leaf)?;
        self.on.push(GAP, stack.whole());
        Ok(())
    }
}

fn small_tick(x: f32, baseline: f32, leaf: NodeId) -> Mark {
    let alt = Some(Rc::from("box to tick"));
    Mark { x, y: baseline - BOX + 0.8, leaf: Some(leaf), alt, ink: Ink::Tick(BOX) }
}
