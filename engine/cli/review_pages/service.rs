//! What the browser asks of the files beside the procedures.

use super::{History, look};
use crate::approvals::{self, DecisionBasis, people, status};
use crate::commands::list::listed;
use crate::decide::decide;
use anyhow::{Context, Result};
use card::sheet::Sheet;
use check::Report;
use document::model::{Name, Procedure};
use document::{Day, Document, Library, Severity};
use review::pages::{Field, library};
use review::{ApprovalStatus, Decision, Officer, Outcome, People, step_at};
use std::collections::BTreeMap;
use std::io;
use web::{DecisionOutcome, DecisionRights, ReviewForms, ReviewService, ReviewView};

/// What stands in the folders of the procedures.
#[derive(Default)]
pub(crate) struct FileReviewService {
    history: History,
}

/// For whoever runs the program: with all causes.
fn told<T>(result: Result<T>) -> Result<T, String> {
    result.map_err(|error| format!("{error:#}"))
}

fn document<'a>(report: &'a Report, name: &Name) -> Result<&'a Document<Procedure>> {
    report.library.procedures.get(name).with_context(|| format!("`{name}` is not there"))
}

impl ReviewService for FileReviewService {
    fn status(&self, library: &Library, procedure: &str, on: Day) -> Result<ApprovalStatus, String> {
        // What cannot be read approves nothing: work that counts waits, training goes on.
        Ok(status(library, procedure, on)
            .map_or_else(|error| ApprovalStatus::Void(format!("{error:#}")), |(_, status)| status))
    }

    fn unread(&self) -> Vec<String> {
        approvals::unread()
    }

    fn people(&self, library: &Library, procedure: &str) -> Result<Option<People>, String> {
        told(people(library, procedure))
    }

    fn look(
        &self,
        report: &Report,
        procedure: &Name,
        on: Day,
        forms: ReviewForms,
    ) -> Result<ReviewView, String> {
        told(self.looked(report, procedure, on, forms))
    }

    fn may(
        &self,
        report: &Report,
        procedure: &Name,
        on: Day,
        person: &str,
    ) -> Result<DecisionRights, String> {
        told(may(report, procedure, on, person))
    }

    fn decide(
        &self,
        report: &Report,
        procedure: &Name,
        officer: &Officer,
        decision: Decision,
    ) -> Result<DecisionOutcome, String> {
        told(decided(report, procedure, officer, decision))
    }

    fn prints(&self) -> bool {
        cfg!(feature = "pdf")
    }

    #[cfg(feature = "pdf")]
    fn on_paper(&self, sheet: Sheet) -> Result<Vec<u8>, String> {
        told(super::on_paper(sheet))
    }

    #[cfg(not(feature = "pdf"))]
    fn on_paper(&self, _: Sheet) -> Result<Vec<u8>, String> {
        Err("this program was built without PDF".to_owned())
    }

    fn library(&self, report: &Report, on: Day, field: BTreeMap<String, Field>) -> Result<Sheet, String> {
        let mut all = told(listed(report, on, field))?;
        all.iter_mut().for_each(|one| one.review = Some(format!("/review/{}", one.id)));
        let left_out: Vec<String> = report.library.left_out().map(str::to_owned).collect();
        Ok(library(&on.to_string(), &all, &left_out))
    }
}

impl FileReviewService {
    fn looked(&self, report: &Report, name: &Name, on: Day, forms: ReviewForms) -> Result<ReviewView> {
        let super::ReviewPages { sheet, card, .. } =
            look(report, document(report, name)?, on, &self.history)?;
        #[cfg(feature = "pdf")]
        let paper = match forms {
            ReviewForms::Paper => Some(pdf::sheet(&sheet, card.as_ref(), &pdf::Options::default())?),
            ReviewForms::Sheet | ReviewForms::Card => None,
        };
        #[cfg(not(feature = "pdf"))]
        let paper = None;
        let card = match forms {
            ReviewForms::Card => card.as_ref().map(::card::html::html).transpose()?,
            ReviewForms::Sheet | ReviewForms::Paper => None,
        };
        Ok(ReviewView { sheet, card, paper })
    }
}

fn may(report: &Report, name: &Name, on: Day, person: &str) -> Result<DecisionRights> {
    let document = document(report, name)?;
    let basis = DecisionBasis::new(report, document)?;
    let sidecar = &basis.sidecar;
    let role = match &sidecar.people {
        None => Err(format!("no `{}` stands beside the procedures", crate::files::PEOPLE)),
        Some(people) => {
            let holds = |role: &&Name| people.no_approver(person, role, &on).is_none();
            match people.approvers.iter().find(holds) {
                Some(role) => Ok(role.clone()),
                None => Err(people
                    .approvers
                    .first()
                    .and_then(|role| people.no_approver(person, role, &on))
                    .unwrap_or_else(|| "nobody approves procedures here".to_owned())),
            }
        }
    };
    let withdrawable = matches!(
        sidecar.status(&basis.subject(), on),
        ApprovalStatus::Approved(_)
            | ApprovalStatus::Changed(_)
            | ApprovalStatus::EarlierMeaning(_)
            | ApprovalStatus::Expired(_)
    );
    let warnings = basis.findings.iter().filter(|finding| finding.severity == Severity::Warning);
    let open = warnings.map(|finding| {
        let own = finding.place.source == document.source;
        let step = if own { step_at(document, finding.place.span.start).cloned() } else { None };
        (finding.code.to_owned(), step, finding.message.clone())
    });
    let people = sidecar.people.as_ref().map(|people| people.people.keys().cloned().collect());
    Ok(DecisionRights { role, withdrawable, open: open.collect(), people: people.unwrap_or_default() })
}

fn decided(report: &Report, name: &Name, officer: &Officer, decision: Decision) -> Result<DecisionOutcome> {
    let written = match decide(report, document(report, name)?, officer, decision, None) {
        Ok(Ok(written)) => written,
        Ok(Err(refused)) => return Ok(DecisionOutcome::Refused(refused.0)),
        Err(error) => {
            return match unwritable(&error) {
                true => Ok(DecisionOutcome::Refused(vec![format!(
                    "this program may not write beside the procedures ({error:#}); \
                     decide with `gatewright approve` where they are kept"
                )])),
                false => Err(error),
            };
        }
    };
    let file = written.files.first().map(|file| file.display().to_string()).unwrap_or_default();
    let mut words = match &written.outcome {
        Outcome::Returned(_) => "Returned to the author".to_owned(),
        Outcome::Approval(approval) if approval.withdrawn.is_some() => "The approval is withdrawn".to_owned(),
        Outcome::Approval(approval) => format!("Approved until {}", approval.until),
    };
    words.push_str(&format!("; written to {file}."));
    if written.unsigned {
        words.push_str(" It counts once somebody has signed that file: here only signed approvals do.");
    }
    Ok(DecisionOutcome::Written(words))
}

fn unwritable(error: &anyhow::Error) -> bool {
    let kinds = [io::ErrorKind::PermissionDenied, io::ErrorKind::ReadOnlyFilesystem];
    error
        .chain()
        .any(|cause| cause.downcast_ref::<io::Error>().is_some_and(|error| kinds.contains(&error.kind())))
}
