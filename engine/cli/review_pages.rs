//! What an officer looks at before approving: gathered here for the command and for the browser.

#[cfg(feature = "web")]
mod service;

#[cfg(feature = "web")]
pub(crate) use service::FileReviewService;

use crate::approvals::DecisionBasis;
use crate::commands::{card, matrix};
use crate::jobs;
use crate::repository::{git, in_revision};
use ::card::page::{Chosen, Page};
use ::card::sheet::Sheet;
use anyhow::{Context, Result};
use check::Report;
use document::Document;
use document::model::{Name, Procedure};
use review::{ApprovalStatus, Comparison, Day, Side, pages::ReviewSheet};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// How many revisions of the repository are looked through for the approved content.
const REVISIONS: &str = "-n200";

/// The page of one procedure.
pub(crate) struct ReviewPages {
    /// Everything but the card.
    pub(crate) sheet: Sheet,
    /// The card; none for a procedure with errors.
    pub(crate) card: Option<Page>,
    /// How the procedure stands.
    pub(crate) status: ApprovalStatus,
}

/// Gathers the page, as of a day.
pub(crate) fn look(
    report: &Report,
    document: &Document<Procedure>,
    on: Day,
    history: &History,
) -> Result<ReviewPages> {
    let name = &document.model.procedure;
    let basis = DecisionBasis::new(report, document)?;
    let content = &basis.content;
    let status = basis.sidecar.status(&basis.subject(), on);
    let now = side(report, name)?;
    let source = &report.library.sources[document.source.0 as usize].name;
    let folder = Path::new(source).parent().map(Path::to_owned).unwrap_or_default();
    let before = match status.approval().filter(|approval| approval.content != *content) {
        Some(approval) => history.approved(&folder, name, &approval.content)?,
        None => None,
    };
    let since: Option<(Comparison, Side<'_>)> = match &before {
        Some(before) => {
            let old = side(before, name)?;
            let end = Instant::now() + Duration::from_secs(20);
            let go_on = || Instant::now() < end;
            let budget = check::Budget { boxes: 500_000, go_on: &go_on };
            Some((review::compare(&old, &now, &budget), old))
        }
        None => None,
    };
    let sheet = ReviewSheet {
        now,
        content,
        certificate: basis.certificate.as_deref(),
        on: &on,
        status: &status,
        returned: basis.sidecar.returned.as_ref(),
        findings: &basis.findings,
        silenced: report.accepted_of(name),
        matrix: matrix::build(report, name),
        stop: card::stop(report, name),
        since: since.as_ref().map(|(comparison, old)| (comparison, *old)),
    };
    let sheet = sheet.sheet();
    let card = match report.is_sound(name) {
        true => Some(card::page(report, name, on, &Chosen::new())?),
        false => None,
    };
    Ok(ReviewPages { sheet, card, status })
}

fn side<'a>(report: &'a Report, name: &Name) -> Result<Side<'a>> {
    let checked = report.procedures.iter().find(|checked| checked.procedure == *name);
    Side::find(&report.library, name, checked)
        .with_context(|| format!("the equipment of `{name}` is not there"))
}

/// Which procedure with which content.
type Key = (Name, String);

/// Contents that were approved once, from the history of the repository. Each is looked for once.
#[derive(Default)]
pub(crate) struct History {
    known: Mutex<BTreeMap<Key, Option<Arc<Report>>>>,
}

impl History {
    /// The documents as they were when their content was this one, if the repository holds such a revision.
    fn approved(&self, folder: &Path, name: &Name, content: &str) -> Result<Option<Arc<Report>>> {
        let key = (name.clone(), content.to_owned());
        // A lock that somebody left in a panic still guards whole entries.
        let known = || self.known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(found) = known().get(&key) {
            return Ok(found.clone());
        }
        let found = search(folder, name, content)?.map(Arc::new);
        known().insert(key, found.clone());
        Ok(found)
    }
}

fn search(folder: &Path, name: &Name, content: &str) -> Result<Option<Report>> {
    let within = if folder.as_os_str().is_empty() { PathBuf::from(".") } else { folder.to_owned() };
    let path = within.display().to_string();
    // Without a repository there is no history, which is no fault.
    let Ok(log) = git(&["log", "--format=%H", REVISIONS, "--", &path]) else { return Ok(None) };
    let log = String::from_utf8(log).context("the history cannot be read")?;
    for revision in log.lines() {
        let Ok(files) = in_revision(revision, &within) else { continue };
        let reading = jobs::read(&files);
        if reading.library.content_hash(name).is_some_and(|hash| hash == content) {
            let budget = crate::budget::Budget { states: 2_000_000, seconds: 60 };
            return budget.spend(reading).map(Some);
        }
    }
    Ok(None)
}

/// A sheet on A4, with what no font has written as numbers of Unicode: it holds what people typed.
#[cfg(feature = "pdf")]
pub(crate) fn on_paper(mut sheet: Sheet) -> Result<Vec<u8>> {
    pdf::legible(&mut sheet)?;
    Ok(pdf::sheet(&sheet, None, &pdf::Options::default())?)
}
