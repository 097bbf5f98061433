//! The forms of a card as files.

use crate::arguments::{Card, CardForm};
use crate::{files, output};
use anyhow::{Context, Result};
use card::index::Entry;
use card::page::{Chosen, Page, ProofNote, build_for};
use check::Report;
use document::model::Name;
use review::Date;
use std::path::Path;

/// Writes the wanted forms of one procedure into its folder.
pub(super) fn forms(
    report: &Report,
    name: &Name,
    on: &Date,
    chosen: &Chosen,
    options: &Card,
) -> Result<Entry> {
    let page = page(report, name, on, chosen)?;
    let ending = suffix(chosen);
    let identity = &page.identity;
    let mut entry = Entry {
        title: identity.title.clone(),
        id: identity.id.clone(),
        revision: identity.revision,
        equipment: identity.equipment.clone(),
        standing: identity.standing.clone(),
        approved: identity.approved,
        files: Vec::new(),
    };
    for form in &options.form {
        let laid_out = laid_out(report, &page, *form, options);
        for (file, extension, bytes) in laid_out.with_context(|| format!("`{name}` cannot be laid out"))? {
            let file = format!("{file}{ending}.{extension}");
            write(&options.out.join(&**name).join(&file), &bytes)?;
            entry.files.push(file);
        }
    }
    Ok(entry)
}

/// The list of everything that was written, for a reviewer to begin at.
pub(super) fn index(entries: &[Entry], options: &Card) -> Result<()> {
    write(&options.out.join("index.html"), card::index::html(entries)?.as_bytes())
}

fn write(path: &Path, bytes: &[u8]) -> Result<()> {
    files::write(path, bytes)?;
    output::say(&format!("{}\n", path.display()))
}

type File = (&'static str, &'static str, Vec<u8>);

fn matrix(report: &Report, name: &Name) -> Result<Vec<File>> {
    let matrix = crate::commands::matrix::of(report, name);
    // A procedure without errors has one.
    let matrices: Vec<card::matrix::Matrix> = matrix.into_iter().collect();
    let text: String = matrices.iter().map(card::matrix::text).collect();
    Ok(vec![
        ("matrix", "html", card::matrix::html(&matrices)?.into_bytes()),
        ("matrix", "txt", text.into_bytes()),
        ("matrix", "csv", card::matrix::csv(&matrices).into_bytes()),
    ])
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
fn laid_out(report: &Report, page: &Page, form: CardForm, options: &Card) -> Result<Vec<File>> {
    Ok(match form {
        CardForm::Html => vec![("card", "html", card::html::html(page)?.into_bytes())],
        CardForm::Text => vec![("card", "txt", card::text::text(page).into_bytes())],
        CardForm::Markdown => vec![("card", "md", card::markdown::markdown(page).into_bytes())],
        CardForm::Checklist => {
            let list = card::checklist::Checklist::of(page);
            vec![
                ("checklist", "html", card::checklist::html(&list)?.into_bytes()),
                ("checklist", "txt", card::checklist::text(&list).into_bytes()),
            ]
        }
        CardForm::Matrix => matrix(report, &Name::from(page.identity.id.as_str()))?,
        CardForm::Map => {
            let identity = &page.identity;
            let title = format!("{} ({}, revision {})", identity.title, identity.id, identity.revision);
            vec![("map", "svg", card::map::svg(&page.map, &title).into_bytes())]
        }
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
