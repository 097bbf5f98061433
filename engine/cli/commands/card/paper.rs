//! The paper of PDF cards.

use crate::arguments::{Paper, PaperSize, SheetSize};
use anyhow::{Result, bail};

/// The paper asked for, and what tells files for it from those for A4.
pub(super) fn paper(asked: &Paper) -> Result<(pdf::Paper, &'static str)> {
    let sheet = |size| match size {
        SheetSize::A4 => pdf::Sheet::A4,
        SheetSize::Letter => pdf::Sheet::Letter,
    };
    Ok(match (asked.paper, asked.n_up, asked.booklet) {
        (PaperSize::A4, None, None) => (pdf::Paper::A4, ""),
        (PaperSize::Letter, None, None) => (pdf::Paper::Letter, "-letter"),
        (PaperSize::Pocket, None, None) => (pdf::Paper::Pocket, "-pocket"),
        (PaperSize::Pocket, Some(size), _) => (
            pdf::Paper::PocketOn(sheet(size)),
            if size == SheetSize::A4 { "-pocket-on-a4" } else { "-pocket-on-letter" },
        ),
        (PaperSize::Pocket, None, Some(size)) => (
            pdf::Paper::Booklet(sheet(size)),
            if size == SheetSize::A4 { "-booklet-on-a4" } else { "-booklet-on-letter" },
        ),
        (PaperSize::A4 | PaperSize::Letter, ..) => {
            bail!("`--n-up` and `--booklet` put pocket pages on a sheet: give `--paper pocket` with them")
        }
    })
}
