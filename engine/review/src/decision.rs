//! What an officer decides, and what comes of it.

use crate::approval::{Accepted, Approval, Walkthrough, Withdrawal};
use crate::people::People;
use crate::place::step_names;
use crate::remarks::{Remark, Returned};
use crate::request::{Refused, Request, Subject, approve};
use document::Day;
use document::model::Name;

/// What is decided of a procedure.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Decision {
    /// It is approved.
    Approve {
        /// The last day on which the approval is to hold.
        until: Day,
        /// The walkthrough on the machine, if there was one.
        walkthrough: Option<Walkthrough>,
        /// Findings to be accepted.
        accepted: Vec<Accepted>,
    },
    /// It goes back to its author.
    Return {
        /// Why, as a whole.
        reason: String,
        /// Remarks on single steps.
        remarks: Vec<Remark>,
    },
    /// Its approval is taken back.
    Withdraw {
        /// Why.
        reason: String,
    },
}

/// Who decides, in which role, on which day.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Officer {
    /// Who.
    pub by: String,
    /// In which role.
    pub role: Name,
    /// The day.
    pub date: Day,
}

/// What is to be written down.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Outcome {
    /// An approval, given or withdrawn.
    Approval(Box<Approval>),
    /// The procedure with its remarks.
    Returned(Box<Returned>),
}

/// Makes sure that a decision may be taken, and gives what is to be written down. `before` is the approval there is.
///
/// # Errors
/// If anything stands against it; see [`approve`]. A return or a withdrawal needs somebody who may approve, a reason, and
/// steps that there are.
pub fn decide(
    subject: &Subject<'_>,
    people: &People,
    officer: &Officer,
    decision: Decision,
    before: Option<&str>,
) -> Result<Outcome, Refused> {
    let model = &subject.procedure.model;
    match decision {
        Decision::Approve { until, walkthrough, accepted } => {
            let Officer { by, role, date } = officer.clone();
            let request = Request { by, role, date, until, walkthrough, accepted };
            approve(subject, people, &request).map(|approval| Outcome::Approval(Box::new(approval)))
        }
        Decision::Return { reason, remarks } => {
            let mut against = not_an_officer(people, officer, &reason);
            let known = step_names(model);
            for remark in remarks.iter().filter(|remark| !known.contains(&&*remark.step)) {
                let near = calc::nearest(&remark.step, known.iter().copied());
                let near = near.map(|near| format!("; did you mean `{near}`?")).unwrap_or_default();
                against.push(format!("`{}` has no step `{}`{near}", model.procedure, remark.step));
            }
            refused(against)?;
            Ok(Outcome::Returned(Box::new(Returned {
                returned: model.procedure.clone(),
                revision: model.revision,
                content: subject.content.to_owned(),
                by: officer.by.clone(),
                role: officer.role.clone(),
                date: officer.date,
                reason,
                remarks,
            })))
        }
        Decision::Withdraw { reason } => {
            // Anyone who may approve may take an approval back, whoever gave it.
            refused(not_an_officer(people, officer, &reason))?;
            let Some(text) = before else {
                return Err(Refused(vec![format!("`{}` was never approved", model.procedure)]));
            };
            let mut approval = Approval::parse(text).map_err(|error| Refused(vec![error.to_string()]))?;
            let Officer { by, date, .. } = officer.clone();
            approval.withdrawn = Some(Withdrawal { by, date, reason });
            Ok(Outcome::Approval(Box::new(approval.sealed())))
        }
    }
}

fn not_an_officer(people: &People, officer: &Officer, reason: &str) -> Vec<String> {
    let mut against: Vec<String> =
        people.no_approver(&officer.by, &officer.role, &officer.date).into_iter().collect();
    if reason.trim().is_empty() {
        against.push("it needs a reason".to_owned());
    }
    against
}

fn refused(against: Vec<String>) -> Result<(), Refused> {
    if against.is_empty() { Ok(()) } else { Err(Refused(against)) }
}
