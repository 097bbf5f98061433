//! `review`: everything a safety officer looks at before approving.

use crate::approvals::day;
use crate::arguments::{PageForm, Review};
use crate::exit::Exit;
use crate::output;
use crate::review_pages::{History, ReviewPages, look};
use ::card::sheet::{Block, Line, Part, Sheet};
use anyhow::Result;
use document::model::Name;

pub(crate) fn run(options: &Review) -> Result<Exit> {
    let report = super::read_and_check(&options.from)?;
    let document = super::find(&report.library, &options.procedure)?;
    let on = day(options.on, &report.library)?;
    let ReviewPages { mut sheet, card, status } = look(&report, document, on, &History::default())?;
    sheet.parts.push(commands(&document.model.procedure));
    give(&sheet, card.as_ref(), options.form)?;
    Ok(if status.is_approved() { Exit::Clean } else { Exit::Findings })
}

/// Gives a sheet in the form asked for, with a card after it unless it is text.
pub(super) fn give(sheet: &Sheet, card: Option<&::card::page::Page>, form: PageForm) -> Result<()> {
    match form {
        PageForm::Text => output::say(&::card::sheet::text(sheet)),
        PageForm::Html => output::say(&::card::sheet::html(sheet, card)?),
        #[cfg(feature = "pdf")]
        PageForm::Pdf => output::give_pdf(&pdf::sheet(sheet, card, &pdf::Options::default())?),
    }
}

/// How the decision is given.
fn commands(name: &Name) -> Part {
    let with = format!("gatewright approve {name} --by NAME --role ROLE");
    let lines = vec![
        Line::led("Approve", format!("{with} --until DATE --walkthrough \"WHO, WHEN, WHERE\"")),
        Line::led("Return", format!("{with} --return REASON --remark STEP=TEXT")),
    ];
    Part::new("decide", "To decide", vec![Block::Lines(lines)])
}
