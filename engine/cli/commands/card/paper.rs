//! The paper of PDF cards.

use crate::arguments::{Paper, PaperSize, SheetSize};
use anyhow::{Result, bail};

/// The paper asked for, and what tells files for it from those for A4.
pub(super) fn paper(asked: &Paper) -> Result<(pdf::Paper, &'static str)> {
    Ok(match (asked.paper, asked.n_up) {
        (PaperSize::A4, None) => (pdf::Paper::A4, ""),
        (PaperSize::Letter, None) => (pdf::Paper::Letter, "-letter"),
        (PaperSize::Pocket, None) => (pdf::Paper::Pocket, "-pocket"),
        (PaperSize::Pocket, Some(SheetSize::A4)) => (pdf::Paper::PocketOn(pdf::Sheet::A4), "-pocket-on-a4"),
        (PaperSize::Pocket, Some(SheetSize::Letter)) => {
            (pdf::Paper::PocketOn(pdf::Sheet::Letter), "-pocket-on-letter")
        }
        (PaperSize::A4 | PaperSize::Letter, Some(_)) => {
            bail!("`--n-up` puts pocket pages on a sheet: give `--paper pocket` with it")
        }
    })
}
