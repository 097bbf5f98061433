//! What can be chosen: the paper.

use crate::impose::Order;

/// How a card is put on paper.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub struct Options {
    /// The paper.
    pub paper: Paper,
}

/// A size of page. Millimetres, width by height.
#[derive(Clone, Copy, Debug, Default, PartialEq, Eq)]
pub enum Paper {
    /// 210 × 297 (ISO 216).
    #[default]
    A4,
    /// 215.9 × 279.4 (8½ × 11 inches).
    Letter,
    /// 105 × 148 (A6, ISO 216), a page to a leaf.
    Pocket,
    /// Pages of a quarter of the sheet, four to each sheet in reading order: to be cut, or folded twice with the print
    /// outside.
    PocketOn(Sheet),
    /// The same pages in the order of a booklet, the back margin at the fold: to be printed on both sides (turned over the
    /// long edge), cut across the middle, the upper halves laid on the lower ones as they are, and folded with page 1
    /// outside.
    Booklet(Sheet),
}

/// A sheet that carries four pocket pages.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Sheet {
    /// 210 × 297: four pages of 105 × 148.5.
    A4,
    /// 215.9 × 279.4: four pages of 107.95 × 139.7.
    Letter,
}

/// Points (1/72 inch) in a millimetre.
const MM: f32 = 72.0 / 25.4;
const A4: (f32, f32) = (210.0 * MM, 297.0 * MM);
const LETTER: (f32, f32) = (215.9 * MM, 279.4 * MM);

/// Lengths of one page, in points.
#[derive(Clone, Copy, Debug)]
pub(crate) struct Format {
    /// Width of the page.
    pub(crate) width: f32,
    /// Height of the page.
    pub(crate) height: f32,
    /// Pages across and down a sheet, and which lie where.
    pub(crate) per_side: usize,
    pub(crate) order: Order,
    /// Binding and thumb margin. At least 15 mm (a rule of this house, after CAP 676, 2nd).
    pub(crate) left: f32,
    /// The other margins.
    pub(crate) right: f32,
    /// Above the running head.
    pub(crate) top: f32,
    /// Below everything.
    pub(crate) bottom: f32,
    /// Whether the page is too narrow for two things side by side.
    pub(crate) narrow: bool,
}

impl Format {
    pub(crate) fn for_paper(paper: Paper) -> Self {
        let quarter = |sheet| match sheet {
            Sheet::A4 => (A4.0 / 2.0, A4.1 / 2.0),
            Sheet::Letter => (LETTER.0 / 2.0, LETTER.1 / 2.0),
        };
        let ((width, height), order) = match paper {
            Paper::A4 => (A4, Order::Single),
            Paper::Letter => (LETTER, Order::Single),
            Paper::Pocket => ((105.0 * MM, 148.0 * MM), Order::Single),
            Paper::PocketOn(sheet) => (quarter(sheet), Order::Four),
            Paper::Booklet(sheet) => (quarter(sheet), Order::Booklet),
        };
        let per_side = if order == Order::Single { 1 } else { 2 };
        match paper {
            Paper::A4 | Paper::Letter => Self {
                width,
                height,
                per_side,
                order,
                left: 18.0 * MM,
                right: 14.0 * MM,
                top: 10.0 * MM,
                bottom: 12.0 * MM,
                narrow: false,
            },
            Paper::Pocket | Paper::PocketOn(_) | Paper::Booklet(_) => Self {
                width,
                height,
                per_side,
                order,
                left: 15.0 * MM,
                right: 6.0 * MM,
                top: 6.0 * MM,
                bottom: 6.0 * MM,
                narrow: true,
            },
        }
    }

    /// The sheet of a paper, for what is too large for pocket pages.
    pub(crate) fn whole(paper: Paper) -> Self {
        Self::for_paper(match paper {
            Paper::A4 | Paper::Pocket | Paper::PocketOn(Sheet::A4) | Paper::Booklet(Sheet::A4) => Paper::A4,
            Paper::Letter | Paper::PocketOn(Sheet::Letter) | Paper::Booklet(Sheet::Letter) => Paper::Letter,
        })
    }

    /// The sheet of a paper turned by a quarter, for wide tables.
    pub(crate) fn landscape(paper: Paper) -> Self {
        let upright = Self::whole(paper);
        Self { width: upright.height, height: upright.width, ..upright }
    }

    /// How far the matter of a page, counted from 0, is moved so that its wide margin is at the fold.
    pub(crate) fn aside(&self, page: usize) -> f32 {
        let left_hand = self.order == Order::Booklet && page % 2 == 1;
        if left_hand { self.right - self.left } else { 0.0 }
    }

    /// Width between the margins.
    pub(crate) fn measure(&self) -> f32 {
        self.width - self.left - self.right
    }
}
