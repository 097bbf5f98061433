//! Asking for an approval, and why it is refused.

use crate::approval::{Accepted, Approval, Walkthrough};
use crate::people::People;
use crate::place::step_at;
use document::Day;
use document::model::{Name, Procedure};
use document::{Diagnostic, Document, MEANING, Severity, same_person};
use std::fmt;

/// What is to be approved.
#[derive(Clone, Copy, Debug)]
pub struct Subject<'a> {
    /// The procedure.
    pub procedure: &'a Document<Procedure>,
    /// The hash of its content.
    pub content: &'a str,
    /// Everything found in it and in what it relies on.
    pub findings: &'a [Diagnostic],
    /// The hash of the certificate of what was proved, where there is one.
    pub certificate: Option<&'a str>,
}

impl<'a> Subject<'a> {
    /// A procedure of which nothing was found and nothing is kept that a second program checks.
    #[must_use]
    pub fn of(procedure: &'a Document<Procedure>, content: &'a str) -> Self {
        Self { procedure, content, findings: &[], certificate: None }
    }
}

/// Who approves it, and on what grounds.
#[derive(Clone, Debug)]
pub struct Request {
    /// Who.
    pub by: String,
    /// In which role.
    pub role: Name,
    /// The day of the approval.
    pub date: Day,
    /// The last day on which it is to hold.
    pub until: Day,
    /// The walkthrough on the machine, if there was one.
    pub walkthrough: Option<Walkthrough>,
    /// Findings to be accepted.
    pub accepted: Vec<Accepted>,
}

/// Why there is no approval: everything that stands against it.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Refused(pub Vec<String>);

impl fmt::Display for Refused {
    fn fmt(&self, f: &mut fmt::Formatter<'_>) -> fmt::Result {
        write!(f, "{}", self.0.join("; "))
    }
}

impl std::error::Error for Refused {}

/// Gives the approval, sealed.
///
/// # Errors
/// If anything stands against it: errors, warnings that nobody accepted, an approver who wrote the procedure or is not
/// qualified that day, a walkthrough by the author.
pub fn approve(subject: &Subject<'_>, people: &People, request: &Request) -> Result<Approval, Refused> {
    let mut found = against_findings(subject, &request.accepted);
    let model = &subject.procedure.model;
    if model.author.is_none() {
        found.push(
            "the procedure names no `author`, so that nobody can tell whether the approver is another person"
                .to_owned(),
        );
    }
    let approval = Approval {
        approval: model.procedure.clone(),
        revision: model.revision,
        meaning: MEANING,
        content: subject.content.to_owned(),
        certificate: subject.certificate.map(str::to_owned),
        by: request.by.clone(),
        role: request.role.clone(),
        date: request.date,
        until: request.until,
        walkthrough: request.walkthrough.clone(),
        accepted: request.accepted.clone(),
        withdrawn: None,
        seal: String::new(),
    };
    found.extend(against(&approval, model.author.as_deref(), people));
    if found.is_empty() { Ok(approval.sealed()) } else { Err(Refused(found)) }
}

/// What stands against an approval whatever it is for: its people and its days.
pub(crate) fn against(approval: &Approval, author: Option<&str>, people: &People) -> Vec<String> {
    let mut against = Vec::new();
    if author.is_some_and(|author| same_person(author, &approval.by)) {
        against.push(format!("{} wrote the procedure and cannot approve it", approval.by));
    }
    against.extend(people.no_approver(&approval.by, &approval.role, &approval.date));
    if approval.until < approval.date {
        against.push(format!("it would end on {} before it begins on {}", approval.until, approval.date));
    }
    if let Some(walk) = &approval.walkthrough {
        if author.is_some_and(|author| same_person(author, &walk.by)) {
            against.push(format!("{} wrote the procedure: somebody else walks it through", walk.by));
        }
        if people.person(&walk.by).is_none() {
            against
                .push(format!("`{}`, who walked it through, is not among the people of this site", walk.by));
        }
        if walk.date > approval.date {
            against.push(format!(
                "the walkthrough of {} lies after the approval of {}",
                walk.date, approval.date
            ));
        }
    }
    against
}

fn against_findings(subject: &Subject<'_>, accepted: &[Accepted]) -> Vec<String> {
    let mut against = Vec::new();
    let step = |finding: &Diagnostic| {
        let own = finding.place.source == subject.procedure.source;
        own.then(|| step_at(subject.procedure, finding.place.span.start)).flatten()
    };
    let is = |accepted: &Accepted, finding: &Diagnostic| {
        accepted.code == finding.code && accepted.step.as_ref() == step(finding)
    };
    for finding in subject.findings {
        let at = step(finding).map(|step| format!("@{step}")).unwrap_or_default();
        match finding.severity {
            Severity::Error => against.push(format!("{}{at} is an error: {}", finding.code, finding.message)),
            Severity::Warning if !accepted.iter().any(|accepted| is(accepted, finding)) => {
                against.push(format!(
                    "{code}{at} is open: {}; mend it, or accept it with `--accept {code}{at}=REASON`",
                    finding.message,
                    code = finding.code
                ))
            }
            Severity::Warning | Severity::Advice => {}
        }
    }
    for one in accepted {
        if !subject.findings.iter().any(|finding| is(one, finding)) {
            let at = one.step.as_ref().map(|step| format!("@{step}")).unwrap_or_default();
            against.push(format!("there is no finding {}{at} to accept", one.code));
        }
        if one.reason.trim().is_empty() {
            against.push(format!("{} is accepted without a reason", one.code));
        }
    }
    against
}
