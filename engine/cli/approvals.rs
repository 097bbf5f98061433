//! What stands beside the procedures: approvals, returned procedures, people and keys.

use crate::clock::now_ms;
use crate::{files, register};
use anyhow::{Context, Result};
use card::page::{Approval, CardApproval};
use check::Report;
use document::model::Procedure;
use document::{Diagnostic, Document, Library};
use review::{ApprovalStatus, Day, Evidence, People, Returned, Signers, Subject};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Mutex, PoisonError};

/// The texts beside one procedure.
pub(crate) struct Sidecar {
    folder: PathBuf,
    pub(crate) people: Option<People>,
    signers: Option<Signers>,
    pub(crate) approval: Option<String>,
    signature: Option<String>,
    pub(crate) returned: Option<Returned>,
    name: String,
}

impl Sidecar {
    /// Reads what stands beside a procedure; people and keys may also stand one folder up.
    pub(crate) fn read(library: &Library, document: &Document<Procedure>) -> Result<Self> {
        let name = document.model.procedure.to_string();
        let source = &library.sources[document.source.0 as usize].name;
        let folder = Path::new(source).parent().unwrap_or(Path::new("")).to_owned();
        let above = folder.parent().map(Path::to_owned);
        let places = |file: &str| {
            [Some(&folder), above.as_ref()].into_iter().flatten().map(|at| at.join(file)).collect::<Vec<_>>()
        };
        let people = first(&places(files::PEOPLE), |text| Ok(People::parse(text)?))?;
        let signers = first(&places(files::SIGNERS), |text| Ok(Signers::parse(text)?))?;
        let mut sidecar =
            Self { folder, people, signers, approval: None, signature: None, returned: None, name };
        sidecar.approval = files::text(&sidecar.approval_path())?;
        sidecar.signature = files::text(&sidecar.signature_path())?;
        sidecar.returned = kept(&sidecar.returned_path(), |text| Ok(Returned::parse(text)?))?;
        Ok(sidecar)
    }

    pub(crate) fn approval_path(&self) -> PathBuf {
        self.folder.join(format!("{}{}", self.name, files::APPROVAL))
    }

    pub(crate) fn signature_path(&self) -> PathBuf {
        self.folder.join(format!("{}{}.sig", self.name, files::APPROVAL))
    }

    pub(crate) fn returned_path(&self) -> PathBuf {
        self.folder.join(format!("{}{}", self.name, files::RETURNED))
    }

    /// Whether only signed approvals count here.
    pub(crate) fn asks_for_signatures(&self) -> bool {
        self.signers.is_some()
    }

    /// How the procedure stands on a day.
    pub(crate) fn status(&self, subject: &Subject<'_>, on: Day) -> ApprovalStatus {
        let evidence = Evidence {
            approval: self.approval.as_deref(),
            signature: self.signature.as_deref(),
            people: self.people.as_ref(),
            signers: self.signers.as_ref(),
        };
        review::approval_status(subject, &evidence, &on)
    }
}

/// Files beside the procedures as they last read, and what is told of those that do not read now. Only a program that goes on,
/// as `serve` does, comes to read one twice.
#[derive(Default)]
struct LastRead {
    texts: BTreeMap<PathBuf, String>,
    unread: BTreeMap<PathBuf, String>,
}

static LAST_READ: Mutex<LastRead> = Mutex::new(LastRead { texts: BTreeMap::new(), unread: BTreeMap::new() });

/// What people are told of the files beside the procedures that did not read when they were last asked for, a sentence each.
#[cfg(feature = "web")]
pub(crate) fn unread() -> Vec<String> {
    LAST_READ.lock().unwrap_or_else(PoisonError::into_inner).unread.values().cloned().collect()
}

/// The first of these files that is there.
fn first<T>(paths: &[PathBuf], parse: impl Fn(&str) -> Result<T>) -> Result<Option<T>> {
    for path in paths {
        if let Some(read) = kept(path, &parse)? {
            return Ok(Some(read));
        }
    }
    Ok(None)
}

/// What a file says; none if it is not there. One that does not read, as while somebody types, says what it last did.
fn kept<T>(path: &Path, parse: impl Fn(&str) -> Result<T>) -> Result<Option<T>> {
    let read = files::text(path).and_then(|text| {
        let Some(text) = text else { return Ok(None) };
        let read = parse(&text).with_context(|| format!("`{}`", path.display()))?;
        Ok(Some((read, text)))
    });
    let mut last = LAST_READ.lock().unwrap_or_else(PoisonError::into_inner);
    match read {
        Ok(read) => {
            last.unread.remove(path);
            let Some((read, text)) = read else {
                last.texts.remove(path);
                return Ok(None);
            };
            last.texts.insert(path.to_owned(), text);
            Ok(Some(read))
        }
        Err(error) => {
            let before = last.texts.get(path).and_then(|text| parse(text).ok());
            let stays =
                if before.is_some() { "it stays in force as it last did" } else { "nothing counts by it" };
            last.unread.insert(path.to_owned(), format!("{error:#}: {stays}."));
            before.map(Some).ok_or(error)
        }
    }
}

/// What a decision about a procedure goes by.
pub(crate) struct DecisionBasis<'a> {
    pub(crate) document: &'a Document<Procedure>,
    pub(crate) content: String,
    pub(crate) findings: Vec<Diagnostic>,
    pub(crate) certificate: Option<String>,
    pub(crate) sidecar: Sidecar,
}

impl<'a> DecisionBasis<'a> {
    pub(crate) fn new(report: &Report, document: &'a Document<Procedure>) -> Result<Self> {
        let name = &document.model.procedure;
        Ok(Self {
            document,
            content: report.library.content_hash(name).unwrap_or_default(),
            findings: report.findings_of(name),
            certificate: report.certificate_hash(name),
            sidecar: Sidecar::read(&report.library, document)?,
        })
    }

    pub(crate) fn subject(&self) -> Subject<'_> {
        Subject {
            procedure: self.document,
            content: &self.content,
            findings: &self.findings,
            certificate: self.certificate.as_deref(),
        }
    }
}

/// How a procedure stands on a day, with its content.
pub(crate) fn status(library: &Library, name: &str, on: Day) -> Result<(String, ApprovalStatus)> {
    let content = library.content_hash(name).unwrap_or_default();
    let Some(document) = library.procedures.get(name) else { return Ok((content, ApprovalStatus::Never)) };
    let subject = Subject::of(document, &content);
    let status = Sidecar::read(library, document)?.status(&subject, on);
    Ok((content, status))
}

/// The people of the site where a procedure stands; none where no file of them stands there.
pub(crate) fn people(library: &Library, procedure: &str) -> Result<Option<People>> {
    match library.procedures.get(procedure) {
        Some(document) => Ok(Sidecar::read(library, document)?.people),
        None => Ok(None),
    }
}

/// The day that was given, or today at the site of these documents.
pub(crate) fn day(given: Option<Day>, library: &Library) -> Result<Day> {
    match given {
        Some(given) => Ok(given),
        None => Ok(register::zone_or_utc(register::beside(library))?.day_of(now_ms())),
    }
}

/// What a procedure's content is, and whether it is approved on a day.
pub(crate) fn for_card(library: &Library, name: &str, on: Day) -> Result<CardApproval> {
    let (content, known) = status(library, name, on)?;
    let approval = match known {
        ApprovalStatus::Approved(approval) => Approval::Approved {
            by: approval.by,
            on: approval.date.to_string(),
            until: approval.until.to_string(),
            certificate: approval.certificate,
        },
        ApprovalStatus::Never => Approval::NotApproved,
        other => Approval::NoLonger(other.word().to_owned()),
    };
    Ok(CardApproval { content, approval })
}
