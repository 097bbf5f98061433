//! The forms of a card as files.

use crate::arguments::{Card, CardForm};
use crate::{files, output};
use anyhow::{Context, Result};
use card::index::Entry;
use card::page::{Chosen, Page, ProofNote, Stop, build_for, stop_of};
use check::Report;
use document::model::Name;
use review::Day;
use std::path::{Path, PathBuf};

/// So many procedures are laid out before they are written: enough for all cores, and little to hold.
pub(super) const AT_ONCE: usize = 32;

/// The wanted forms of one procedure, to be written.
pub(super) struct Laid {
    entry: Entry,
    files: Vec<(PathBuf, Vec<u8>)>,
}

impl Laid {
    /// Writes them into the folder of the procedure.
    pub(super) fn write(self) -> Result<Entry> {
        self.files.iter().try_for_each(|(path, bytes)| write(path, bytes))?;
        Ok(self.entry)
    }
}

/// Lays out the wanted forms of one procedure.
pub(super) fn forms(report: &Report, name: &Name, on: Day, chosen: &Chosen, options: &Card) -> Result<Laid> {
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
    let mut files = Vec::new();
    for form in &options.form {
        let laid_out = laid_out(report, &page, *form, options);
        for (file, extension, bytes) in laid_out.with_context(|| format!("`{name}` cannot be laid out"))? {
            let file = format!("{file}{ending}.{extension}");
            files.push((options.out.join(&**name).join(&file), bytes));
            entry.files.push(file);
        }
    }
    Ok(Laid { entry, files })
}

/// The list of everything that was written, for a reviewer to begin at.
pub(super) fn index(entries: &[Entry], options: &Card) -> Result<()> {
    write(&options.out.join("index.html"), card::index::html(entries)?.as_bytes())
}

fn write(path: &Path, bytes: &[u8]) -> Result<()> {
    files::write(path, bytes)?;
    output::say(&format!("{}\n", path.display()))
}

/// A file's name, its ending, its content.
type File = (String, &'static str, Vec<u8>);

fn file(name: &str, extension: &'static str, bytes: impl Into<Vec<u8>>) -> File {
    (name.to_owned(), extension, bytes.into())
}

#[cfg_attr(not(feature = "pdf"), expect(unused_variables, reason = "only paper has options"))]
fn matrix(report: &Report, name: &Name, options: &Card) -> Result<Vec<File>> {
    let matrix = crate::commands::matrix::build(report, name);
    // A procedure without errors has one.
    let matrices: Vec<card::matrix::Matrix> = matrix.into_iter().collect();
    let text: String = matrices.iter().map(card::matrix::text).collect();
    Ok(vec![
        file("matrix", "html", card::matrix::html(&matrices)?),
        file("matrix", "txt", text),
        file("matrix", "csv", card::matrix::csv(&matrices)),
        #[cfg(feature = "pdf")]
        {
            let (paper, ending) = super::paper::paper(&options.paper)?;
            file(&format!("matrix{ending}"), "pdf", pdf::matrix(&matrices, &pdf::Options { paper })?)
        },
    ])
}

/// The page of a procedure as it stands on a day.
pub(crate) fn page(report: &Report, name: &Name, on: Day, chosen: &Chosen) -> Result<Page> {
    let standing = crate::approvals::for_card(&report.library, name, on)?;
    Ok(build_for(&report.library, name, &standing, note(report, name).as_ref(), chosen)?)
}

/// How its machine is left where work stops; none where nothing was proved, or its texts cannot be shown.
pub(crate) fn stop(report: &Report, name: &Name) -> Option<Stop> {
    stop_of(&report.library, name, &note(report, name)?).ok().flatten()
}

fn note<'a>(report: &'a Report, name: &Name) -> Option<ProofNote<'a>> {
    let checked = report.procedures.iter().find(|checked| checked.procedure == *name)?;
    let second = checked.second == check::Second::Agrees;
    Some(ProofNote { machine: checked.machine.as_ref()?, proof: checked.proof.as_ref()?, second })
}

/// One form as files.
fn laid_out(report: &Report, page: &Page, form: CardForm, options: &Card) -> Result<Vec<File>> {
    Ok(match form {
        CardForm::Html => vec![file("card", "html", card::html::html(page)?)],
        CardForm::Text => vec![file("card", "txt", card::text::text(page))],
        CardForm::Markdown => vec![file("card", "md", card::markdown::markdown(page))],
        CardForm::Checklist => {
            let list = card::checklist::Checklist::from_page(page);
            vec![
                file("checklist", "html", card::checklist::html(&list)?),
                file("checklist", "txt", card::checklist::text(&list)),
                #[cfg(feature = "pdf")]
                {
                    let (paper, ending) = super::paper::paper(&options.paper)?;
                    file(
                        &format!("checklist{ending}"),
                        "pdf",
                        pdf::checklist(&list, &pdf::Options { paper })?,
                    )
                },
            ]
        }
        CardForm::Matrix => matrix(report, &Name::from(page.identity.id.as_str()), options)?,
        CardForm::Map => {
            let identity = &page.identity;
            let title = format!("{} ({}, revision {})", identity.title, identity.id, identity.revision);
            vec![file("map", "svg", card::map::svg(&page.map, &title))]
        }
        #[cfg(feature = "pdf")]
        CardForm::Pdf => {
            let (paper, ending) = super::paper::paper(&options.paper)?;
            vec![file(&format!("card{ending}"), "pdf", pdf::render(page, &pdf::Options { paper })?)]
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
