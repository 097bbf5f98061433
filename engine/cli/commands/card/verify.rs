//! A card in hand, by the text of its mark.

use crate::exit::Exit;
use crate::{files, jobs, output};
use anyhow::{Result, anyhow};
use card::mark::Mark;
use card::page::Approval;
use document::model::Name;
use review::Day;
use std::path::PathBuf;

/// Nothing is proved here: whether the card is current depends on the documents alone.
pub(super) fn run(text: &str, from: &[PathBuf], on: Option<Day>) -> Result<Exit> {
    let card = Mark::parse(text).map_err(|error| anyhow!("`--verify`: {error}"))?;
    let reading = jobs::read(&files::read_all(from)?);
    let name = Name::from(card.id.as_str());
    let Some(document) = reading.library.procedures.get(&name) else {
        output::say(&format!(
            "Not current: its procedure. The documents read here have no usable procedure `{name}`.\n"
        ))?;
        return Ok(Exit::Findings);
    };
    let on = crate::approvals::day(on, &reading.library)?;
    let standing = crate::approvals::for_card(&reading.library, &name, on)?;
    let approval = standing.approval;
    let now = Mark { id: name.to_string(), revision: document.model.revision, content: standing.content };
    let verdict = card.compare(&now, matches!(approval, Approval::Approved { .. }));
    let card = format!("The card of `{name}`, revision {}", card.revision);
    let told = match verdict.differs {
        Some(differs) => {
            format!("Not current: {differs}.\n{card}, must not be worked by. Print a new one.\n")
        }
        None if verdict.approved => {
            format!("Current and approved. {card}, is of the content that holds now.\n")
        }
        None => format!(
            "Current and NOT APPROVED. {card}, is of the content that holds now; nobody has approved it.\n"
        ),
    };
    output::say(&told)?;
    if let (None, Approval::Approved { certificate: Some(certificate), .. }) = (verdict.differs, &approval) {
        output::say(&format!(
            "When it was approved it was proved on every path, checked by a second program: certificate {certificate}.\n"
        ))?;
    }
    Ok(if verdict.holds() { Exit::Clean } else { Exit::Findings })
}
