//! The forms of a card as files.

use crate::arguments::{Card, CardForm};
use crate::{files, output};
use anyhow::{Context, Result};
use card::page::{Chosen, Page, ProofNote, build_for};
use check::Report;
use document::model::Name;
use review::Date;

/// Writes the wanted forms of one procedure into its folder.
pub(super) fn forms(report: &Report, name: &Name, on: &Date, chosen: &Chosen, options: &Card) -> Result<()> {
    let page = page(report, name, on, chosen)?;
    let ending = suffix(chosen);
    for form in &options.form {
        for (file, extension, bytes) in
            laid_out(&page, *form, options).with_context(|| format!("`{name}` cannot be laid out"))?
        {
            let path = options.out.join(&**name).join(format!("{file}{ending}.{extension}"));
            files::write(&path, &bytes)?;
            output::say(&format!("{}\n", path.display()))?;
        }
    }
    Ok(())
}

fn page(report: &Report, name: &Name, on: &Date, chosen: &Chosen) -> Result<Page> {
    let checked = report.procedures.iter().find(|checked| checked.procedure == *name);
    let equipment = report.library.procedures.get(name).map(|document| &document.model.equipment);
    let equipment = equipment.and_then(|equipment| report.library.equipment.get(equipment));
    let proof = checked
        .and_then(|checked| checked.machine.as_ref().zip(checked.proof.as_ref()))
        .zip(equipment)
        .map(|((machine, proof), equipment)| ProofNote {
            obligations: proof.obligations,
            stops: crate::commands::leave::from_each_step(machine, &equipment.model, proof),
        });
    let standing = super::standing(&report.library, name, on)?;
    Ok(build_for(&report.library, name, &standing, proof.as_ref(), chosen)?)
}

/// One form as files: name, extension, content.
fn laid_out(
    page: &Page,
    form: CardForm,
    options: &Card,
) -> Result<Vec<(&'static str, &'static str, Vec<u8>)>> {
    Ok(match form {
        CardForm::Html => vec![("card", "html", card::html::html(page)?.into_bytes())],
        CardForm::Text => vec![("card", "txt", card::text::text(page).into_bytes())],
        CardForm::Markdown => vec![("card", "md", card::markdown::markdown(page).into_bytes())],
        #[cfg(feature = "pdf")]
        CardForm::Pdf => {
            let (paper, file) = super::paper::paper(&options.paper)?;
            vec![(file, "pdf", pdf::render(page, &pdf::Options { paper })?)]
        }
    })
}

/// What tells the card of one machine from that of all: `-hose-4-m`.
fn suffix(chosen: &Chosen) -> String {
    let word = |text: &str| -> String {
        text.chars().map(|letter| if letter.is_alphanumeric() { letter } else { '-' }).collect()
    };
    chosen.iter().map(|(name, value)| format!("-{}-{}", word(name), word(value))).collect()
}
