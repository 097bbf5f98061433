//! The paper of PDF cards.

use crate::arguments::{Paper, PaperSize, SheetSize};
use anyhow::{Result, bail};

/// The paper asked for, and the name of the file of a card on it, without its ending.
pub(super) fn paper(asked: &Paper) -> Result<(pdf::Paper, &'static str)> {
    Ok(match (asked.paper, asked.n_up) {
        (PaperSize::A4, None) => (pdf::Paper::A4, "card"),
        (PaperSize::Letter, None) => (pdf::Paper::Letter, "card-letter"),
        (PaperSize::Pocket, None) => (pdf::Paper::Pocket, "card-pocket"),
        (PaperSize::Pocket, Some(SheetSize::A4)) => {
            (pdf::Paper::PocketOn(pdf::Sheet::A4), "card-pocket-on-a4")
        }
        (PaperSize::Pocket, Some(SheetSize::Letter)) => {
            (pdf::Paper::PocketOn(pdf::Sheet::Letter), "card-pocket-on-letter")
        }
        (PaperSize::A4 | PaperSize::Letter, Some(_)) => {
            bail!("`--n-up` puts pocket pages on a sheet: give `--paper pocket` with it")
        }
    })
}
