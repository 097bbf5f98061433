//! The map at the end of the card, drawn or in words.

use super::{Composer, GAP};
use crate::error::Error;
use crate::file::PAGES_SAMPLE;
use crate::flow::Group;
use crate::head::Running;
use crate::set::Piece;
use crate::tree::Role;
use card::map::Map;
use card::page::Identity;

/// White before the last line, and room for it and for what may be rounded.
const END_GAP: f32 = 10.0;
const END_ROOM: f32 = 42.0;

impl Composer {
    /// The map, on a page of its own unless it is short.
    pub(super) fn map(&mut self, identity: &Identity, map: &Map) -> Result<(), Error> {
        self.part("Map")?;
        let width = self.width();
        let head = self.set.head(&Running::for_identity(identity), PAGES_SAMPLE, PAGES_SAMPLE)?.height();
        "the map".clone_into(&mut self.set.place);
        let heading = self.groups.last().map_or(0.0, |group| group.stack.height());
        let format = self.set.format;
        let room = format.height - format.top - format.bottom - head - heading - GAP - END_ROOM;
        match self.set.map(map, (width, room), self.section)? {
            Some(sheets) => {
                for stack in sheets {
                    self.groups.push(Group { stack, before: GAP, ..Group::default() });
                }
                self.keep_with_next();
                Ok(())
            }
            None => self.map_in_words(map),
        }
    }

    /// Every step with its ways, a line each.
    fn map_in_words(&mut self, map: &Map) -> Result<(), Error> {
        self.paragraph(GAP, "After the number of each step: where it leads to, and in which case.")?;
        self.keep_with_next();
        let (kind, width) = (self.set.body(), self.width());
        let list = self.set.tree.add(self.section, Role::List(false));
        for line in card::map::text(map).lines() {
            let item = self.set.tree.add(list, Role::Item);
            let leaf = self.set.tree.add(item, Role::Body);
            let (number, ways) = line.split_once(':').unwrap_or((line, ""));
            let pieces = [Piece::strong(number), Piece::plain(format!(":{}", ways.replace("->", "→")))];
            let stack = self.set.text(&pieces, kind, width, Some(leaf))?;
            self.push(1.0, stack.whole());
        }
        Ok(())
    }

    /// The line after which there is nothing.
    pub(super) fn end(&mut self, identity: &Identity) -> Result<(), Error> {
        let (kind, width) = (self.set.body(), self.width());
        let leaf = self.set.tree.add(self.section, Role::Paragraph);
        let last = format!("End of {}, revision {}. {}.", identity.id, identity.revision, identity.standing);
        let stack = self.set.text(&[Piece::strong(last)], kind, width, Some(leaf))?;
        self.push(END_GAP, stack.whole());
        Ok(())
    }
}
