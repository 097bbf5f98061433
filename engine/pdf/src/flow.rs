//! From groups to pages: what belongs together stands together.

use crate::stack::{Frame, Stack, Strip};

/// Matter that is kept on one page if it fits on one.
#[derive(Clone, Debug, Default)]
pub(crate) struct Group {
    pub(crate) stack: Stack,
    /// White before it, but not at the head of a page.
    pub(crate) before: f32,
    /// Whether it must not be parted from the next.
    pub(crate) with_next: bool,
    /// What stands again at the head of a page that begins with it: the headers of a table.
    pub(crate) again: Option<Stack>,
    /// If it is longer than a page: what stands where it is broken off and where it goes on.
    pub(crate) breaks: Option<(Stack, Stack)>,
    /// The line in the list of bookmarks that leads here, with its level.
    pub(crate) bookmark: Option<(usize, String)>,
}

/// Strips at their place on a page.
#[derive(Clone, Debug)]
pub(crate) struct Placed {
    pub(crate) y: f32,
    pub(crate) strips: Vec<Strip>,
    pub(crate) frames: Vec<Frame>,
    pub(crate) bookmark: Option<(usize, String)>,
}

/// What must be split begins where it is only if so much of the page is left.
const ROOM: f32 = 0.75;
/// White before what begins a page.
pub(crate) const NEW_PAGE: f32 = f32::MAX;
/// Rounding must not push the last line to a new page.
const SLACK: f32 = 0.1;

struct Flow {
    height: f32,
    pages: Vec<Vec<Placed>>,
    y: f32,
}

/// Puts groups on pages of a height.
///
/// A group, with all that it must not be parted from, goes whole to the page where it fits. Only what is longer than a
/// page is split, between its strips, and says so.
pub(crate) fn flow(groups: Vec<Group>, height: f32) -> Vec<Vec<Placed>> {
    let mut flow = Flow { height, pages: vec![Vec::new()], y: 0.0 };
    let mut rest = groups.into_iter().peekable();
    while rest.peek().is_some() {
        let mut chain = Vec::new();
        for group in rest.by_ref() {
            let last = !group.with_next;
            chain.push(group);
            if last {
                break;
            }
        }
        flow.chain(chain);
    }
    flow.pages
}

impl Flow {
    fn chain(&mut self, chain: Vec<Group>) {
        let height = |from: f32| {
            chain.iter().fold(from, |y, group| {
                let before = if y > 0.0 { group.before } else { 0.0 };
                y + before + group.stack.height()
            })
        };
        let again = chain.first().and_then(|group| group.again.as_ref()).map_or(0.0, Stack::height);
        let (here, fresh) = (height(self.y), height(0.0) + again);
        if here > self.height + SLACK && self.y > 0.0 {
            let splits = fresh > self.height + SLACK;
            if !splits || self.y > self.height * (1.0 - ROOM) {
                self.page();
            }
        }
        for group in chain {
            self.group(group);
        }
    }

    fn page(&mut self) {
        self.pages.push(Vec::new());
        self.y = 0.0;
    }

    fn group(&mut self, group: Group) {
        let mut again = 0.0;
        if self.y > 0.0 {
            self.y += group.before;
        } else if let (Some(head), false) = (&group.again, self.pages.len() == 1) {
            self.place_below(head.clone(), None);
            again = self.y;
        }
        if self.y + group.stack.height() <= self.height + SLACK {
            self.place_below(group.stack, group.bookmark);
        } else {
            self.split(group, again);
        }
    }

    fn place_below(&mut self, stack: Stack, bookmark: Option<(usize, String)>) {
        // Mere white is not needed at the head of a page.
        let stack = if self.y > 0.0 { stack } else { stack.pieces().rest() };
        if stack.is_empty() {
            return;
        }
        let height = stack.height();
        let placed = Placed { y: self.y, strips: stack.strips, frames: stack.frames, bookmark };
        if let Some(page) = self.pages.last_mut() {
            page.push(placed);
        }
        self.y += height;
    }

    /// Puts a group longer than the page strip by strip; so high is what stands again above it.
    fn split(&mut self, group: Group, again: f32) {
        let Group { stack, mut bookmark, breaks, .. } = group;
        let (off, on) = breaks.unwrap_or_default();
        let mut stack = stack.pieces();
        // What stands again at the head of a page does not make it a page with matter.
        let mut begun = self.y - again;
        loop {
            let room = self.height - self.y - off.height() + SLACK;
            let Some(count) = part(stack.strips(), room, begun <= 0.0) else {
                self.page();
                begun = 0.0;
                continue;
            };
            let first = stack.next(count);
            self.place_below(first, bookmark.take());
            self.place_below(off.clone(), None);
            self.page();
            begun = 0.0;
            self.place_below(on.clone(), None);
            if self.fits(stack.strips()) {
                return self.place_below(stack.rest(), None);
            }
        }
    }

    /// Whether strips go on the rest of the page; what is far too long for it is not looked at to its end.
    fn fits(&self, strips: &[Strip]) -> bool {
        let mut height = 0.0;
        strips.iter().all(|strip| {
            height += strip.height;
            self.y + height <= self.height + SLACK
        })
    }
}

/// How many strips go into a room: as many as fit, up to the last after which a page may end. On an empty page there
/// is always one, whatever it takes.
fn part(strips: &[Strip], room: f32, empty: bool) -> Option<usize> {
    let mut height = 0.0;
    let (mut fit, mut good) = (0, 0);
    for strip in strips {
        height += strip.height;
        if height > room {
            break;
        }
        fit += 1;
        if !strip.glued {
            good = fit;
        }
    }
    match (good, fit) {
        (0, 0) => empty.then_some(1),
        (0, fit) => empty.then_some(fit),
        (good, _) => Some(good),
    }
}
