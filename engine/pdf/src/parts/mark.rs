//! The mark by which a card in hand is known, as a line and as a square code.

use super::{Composer, GAP};
use crate::error::Error;
use crate::set::{Piece, stack};
use crate::stack::{Ink, Mark, Stack};
use crate::tree::Role;
use card::page::Identity;
use std::rc::Rc;

/// Side of the code with its quiet zone: 26 mm, which gives modules of half a millimetre and more.
const SIDE: f32 = 74.0;

impl Composer {
    pub(super) fn mark(&mut self, identity: &Identity) -> Result<(), Error> {
        let Some(code) = &identity.code else { return Ok(()) };
        let width = self.width() - SIDE - 6.0;
        let kind = self.set.body();
        let alt = "Square code with the text beside it".to_owned();
        let figure = self.set.tree.add(self.section, Role::Figure(alt));
        let ink = Ink::Code(Rc::new(code.clone()), SIDE);
        let drawn = Mark { x: 0.0, y: 0.0, leaf: Some(figure), alt: None, ink };
        let leaf = self.set.tree.add(self.section, Role::Paragraph);
        let ask =
            "Is this card the current one? Scan the code, or give this line to gatewright card --verify:";
        let mut words = self.set.text(&[Piece::plain(ask)], kind, width, Some(leaf))?;
        let leaf = self.set.tree.add(self.section, Role::Paragraph);
        let line = self.set.lines(&[Piece::plain(&identity.mark)], kind.strong(), width)?;
        words.push_after(2.0, stack(&line, Some(leaf)));
        let down = ((SIDE - words.height()) / 2.0).max(0.0);
        let mut beside = Stack::white(down);
        beside.push(words);
        let both = Stack::beside(vec![Stack::strip(SIDE, None, vec![drawn]), beside.right(SIDE + 6.0)]);
        self.push(GAP, both.whole());
        Ok(())
    }
}
