//! The running head: on every page what it is a page of.

use crate::error::Error;
use crate::set::{Face, Setter, Type};
use crate::stack::{Ink, Mark, Stack, Tone};
use card::page::Identity;

/// So many letters of the content's hash stand on every page, and on a narrow one: enough to tell two revisions apart
/// by eye.
const HASH_SHOWN: [usize; 2] = [16, 12];
const SIZE: f32 = 10.0;
/// White between the head and the text.
const BELOW: f32 = 7.0;

/// What the head says on every page.
#[derive(Clone, Debug)]
pub(crate) struct Running {
    /// At the left, line by line.
    pub(crate) left: [String; 2],
    /// The hash of the content; empty for a file that holds several.
    pub(crate) content: String,
    /// Whether it is approved; empty for what is not a card.
    pub(crate) standing: String,
}

impl Running {
    /// The head of a card, or of what stands for it.
    pub(crate) fn for_identity(identity: &Identity) -> Self {
        let effective = identity.effective.as_deref().unwrap_or("not stated");
        Self {
            left: [
                format!("{}, revision {}", identity.id, identity.revision),
                format!("Effective {effective}"),
            ],
            content: identity.content.clone(),
            standing: identity.standing.clone(),
        }
    }
}

impl Setter {
    /// The head of a page: procedure, revision, day, page, content and standing.
    pub(crate) fn head(&mut self, running: &Running, page: usize, pages: usize) -> Result<Stack, Error> {
        "the head of the page".clone_into(&mut self.place);
        let width = self.format.measure();
        let strong = Type { size: SIZE, face: Face::Strong, tone: Tone::Black };
        let plain = Type { face: Face::Plain, ..strong };
        let hash: String =
            running.content.chars().take(HASH_SHOWN[usize::from(self.format.narrow)]).collect();
        let content = if hash.is_empty() { hash } else { format!("Content {hash}") };
        let [what, dated] = &running.left;
        let rows =
            [(what, strong, format!("Page {page} of {pages}"), strong), (dated, plain, content, plain)];
        let mut all = Stack::default();
        for (left, left_kind, right, right_kind) in rows {
            all.push(self.ends((left, left_kind), (&right, right_kind), width)?);
        }
        if !running.standing.is_empty() {
            all.push(self.text(&[crate::set::Piece::plain(&running.standing)], strong, width, None)?);
        }
        all.push(Stack::strip(3.0 + BELOW, None, vec![Mark::layout(0.0, 3.0, Ink::Rule(width, 0.5))]));
        Ok(all)
    }

    /// One text at each end of a line; the left one is broken if it must be.
    fn ends(&mut self, left: (&str, Type), right: (&str, Type), width: f32) -> Result<Stack, Error> {
        let (right, wide) = self.short(right.0, right.1)?;
        let mut stack = self.text(&[crate::set::Piece::plain(left.0)], left.1, width - wide - 10.0, None)?;
        if let Some(strip) = stack.strips.first_mut() {
            let baseline = strip.baseline.unwrap_or(strip.height);
            strip.marks.extend(right.into_iter().map(|mark| Mark {
                x: mark.x + width - wide,
                y: baseline,
                ..mark
            }));
        }
        Ok(stack)
    }
}
