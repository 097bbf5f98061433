//! The parts of a card, in the order in which they are read.

mod checklist;
mod details;
mod end;
mod figures;
mod front;
mod map;
mod mark;
mod matrix;
mod sheet;
mod steps;
mod stop;

pub use checklist::checklist;
pub use matrix::matrix;
pub use sheet::sheet;

use crate::error::Error;
use crate::flow::Group;
use crate::options::Format;
use crate::set::{Face, Piece, Setter, Type};
use crate::stack::{Ink, Mark, Stack, Tone};
use crate::tree::{NodeId, Role, Tree};
use card::page::Page;

/// White before a part, before a lesser heading, and between the blocks of a part.
const PART_GAP: f32 = 16.0;
const HEADING_GAP: f32 = 9.0;
const GAP: f32 = 5.0;
/// A row of a table that is no higher stands on no page alone.
const ALONE: f32 = 40.0;

/// A card while it is composed.
pub(crate) struct Composer {
    pub(crate) set: Setter,
    groups: Vec<Group>,
    /// The section that is being written, and the heading that was last written in it.
    section: NodeId,
    headed: String,
}

/// Composes a card: groups in reading order, and the logical structure.
pub(crate) fn compose(page: &Page, format: Format) -> Result<(Vec<Group>, Tree), Error> {
    let mut composer = Composer::new(format);
    composer.card(page)?;
    Ok(composer.finish())
}

impl Composer {
    /// All parts of a card.
    fn card(&mut self, page: &Page) -> Result<(), Error> {
        let Page {
            identity,
            checked,
            defer,
            purpose,
            scope,
            people,
            time,
            level_of_use,
            needs,
            hazards,
            work,
            before,
            figures,
            looks,
            steps,
            stop,
            emergency,
            restoration,
            complete,
            signatures,
            map,
        } = page;
        self.identity(identity)?;
        for text in checked.iter().chain([defer]) {
            self.paragraph(GAP, text)?;
        }
        self.about([purpose, scope], people, time, level_of_use)?;
        self.needs(needs)?;
        self.hazards(hazards)?;
        self.work(work)?;
        self.before(before)?;
        self.figures(figures)?;
        self.steps(looks, steps)?;
        self.trouble(emergency.as_ref(), stop.as_ref())?;
        self.restoration(restoration)?;
        self.sign_off(complete, signatures)?;
        self.map(identity, map)?;
        self.end(identity)
    }

    fn new(format: Format) -> Self {
        let mut set = Setter::new(format);
        let section = set.tree.root(Role::Section);
        Self { set, groups: Vec::new(), section, headed: String::new() }
    }

    fn finish(self) -> (Vec<Group>, Tree) {
        (self.groups, self.set.tree)
    }

    /// The title of what is no card.
    fn title(&mut self, title: &str, size: f32) -> Result<(), Error> {
        let leaf = self.set.tree.add(self.section, Role::Heading(1, title.to_owned()));
        let (kind, width) = (Type { size, face: Face::Strong, tone: Tone::Black }, self.width());
        let stack = self.set.words(title, kind, width, leaf)?;
        self.push(0.0, stack.whole());
        Ok(())
    }

    /// Width of the text.
    fn width(&self) -> f32 {
        self.set.format.measure()
    }

    /// Begins a part with its heading.
    fn part(&mut self, title: &str) -> Result<(), Error> {
        title.clone_into(&mut self.set.place);
        title.clone_into(&mut self.headed);
        self.section = self.set.tree.root(Role::Section);
        let leaf = self.set.tree.add(self.section, Role::Heading(2, title.to_owned()));
        let size = if self.set.format.narrow { 13.0 } else { 15.0 };
        let kind = Type { size, face: Face::Strong, tone: Tone::Black };
        let width = self.width();
        let mut stack = ruled(width, 1.5, 3.0);
        stack.push(self.set.words(title, kind, width, leaf)?);
        self.groups.push(Group {
            stack: stack.whole(),
            before: PART_GAP,
            with_next: true,
            bookmark: Some((1, title.to_owned())),
            ..Group::default()
        });
        Ok(())
    }

    /// A heading inside a part.
    fn heading(&mut self, title: &str) -> Result<(), Error> {
        title.clone_into(&mut self.headed);
        let leaf = self.set.tree.add(self.section, Role::Heading(3, title.to_owned()));
        let kind = Type { size: 12.0, face: Face::Strong, tone: Tone::Black };
        let width = self.width();
        let stack = self.set.words(title, kind, width, leaf)?.whole();
        self.groups.push(Group { stack, before: HEADING_GAP, with_next: true, ..Group::default() });
        Ok(())
    }

    fn push(&mut self, before: f32, stack: Stack) {
        if !stack.is_empty() {
            self.groups.push(Group { stack, before, ..Group::default() });
        }
    }

    /// A paragraph of our own words.
    fn paragraph(&mut self, before: f32, text: &str) -> Result<(), Error> {
        let leaf = self.set.tree.add(self.section, Role::Paragraph);
        let (kind, width) = (self.set.body(), self.width());
        let stack = self.set.text(&[Piece::plain(text)], kind, width, Some(leaf))?;
        self.push(before, stack);
        Ok(())
    }

    /// Of what was written from a group on, neither the first nor the last stands on a page alone.
    fn two_together(&mut self, from: usize) {
        let count = self.groups.len();
        if count >= from + 2 {
            self.groups[from].with_next = true;
            self.groups[count - 2].with_next = true;
        }
    }

    /// What was last written is not parted from what follows.
    fn keep_with_next(&mut self) {
        if let Some(group) = self.groups.last_mut() {
            group.with_next = true;
        }
    }

    /// Rows of a table, each kept whole. On every further page stand again what it is a table of, and the headers.
    fn rows(&mut self, rows: crate::table::Rows) -> Result<(), Error> {
        let mut again = None;
        if let Some(head) = rows.head {
            let kind = Type { size: 12.0, face: Face::Strong, tone: Tone::Black };
            let continued = [Piece::plain(format!("{}, continued", self.headed))];
            let width = self.width();
            let mut stack = self.set.text(&continued, kind, width, None)?;
            stack.push_after(GAP, head.clone());
            // What stands again is mere layout to those who do not see the page.
            for mark in stack.strips.iter_mut().flat_map(|strip| &mut strip.marks) {
                mark.leaf = None;
            }
            again = Some(stack.whole());
            self.groups.push(Group { stack: head, before: GAP, with_next: true, ..Group::default() });
        }
        let low: Vec<bool> = rows.rows.iter().map(|row| row.height() < ALONE).collect();
        for (at, row) in rows.rows.into_iter().enumerate() {
            // Neither the first row nor the last stands alone on a page.
            let both = low[at] && low.get(at + 1) == Some(&true);
            let with_next = both && (at == 0 || at + 2 == low.len());
            // A row longer than a page goes on below the same.
            let breaks = again.clone().map(|again| (Stack::default(), again));
            self.groups.push(Group {
                stack: row,
                again: again.clone(),
                with_next,
                breaks,
                ..Group::default()
            });
        }
        Ok(())
    }
}

/// A line above something, with white below; at the head of a page it is not needed.
fn ruled(width: f32, thick: f32, white: f32) -> Stack {
    let mut stack = Stack::strip(white, None, vec![Mark::layout(0.0, 0.0, Ink::Rule(width, thick))]);
    for strip in &mut stack.strips {
        strip.gap = true;
        strip.glued = true;
    }
    stack
}
