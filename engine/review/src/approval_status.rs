//! What an approval is worth at a day.

use crate::approval::Approval;
use crate::people::People;
use crate::request::{Subject, against};
use crate::signature;
use crate::signers::Signers;
use document::{Day, MEANING};

/// The texts that stand beside a procedure.
#[derive(Clone, Copy, Debug, Default)]
pub struct Evidence<'a> {
    /// The text of the approval.
    pub approval: Option<&'a str>,
    /// The signature over exactly that text.
    pub signature: Option<&'a str>,
    /// The people of the site.
    pub people: Option<&'a People>,
    /// The keys that may sign; where there are any, an approval without a signature is worth nothing.
    pub signers: Option<&'a Signers>,
}

/// How a procedure stands.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum ApprovalStatus {
    /// Nobody approved it.
    Never,
    /// This very content is approved.
    Approved(Box<Approval>),
    /// Another content was approved.
    Changed(Box<Approval>),
    /// It was given under an earlier meaning of the documents: what was approved means something else now, whether its words
    /// changed or not.
    EarlierMeaning(Box<Approval>),
    /// The approval's last day is over.
    Expired(Box<Approval>),
    /// The approval was taken back.
    Withdrawn(Box<Approval>),
    /// There is an approval that cannot be relied on, and why.
    Void(String),
}

impl ApprovalStatus {
    /// Whether the content is approved at the day asked about.
    #[must_use]
    pub fn is_approved(&self) -> bool {
        matches!(self, Self::Approved(_))
    }

    /// The approval, where there is one that can be read and was not tampered with.
    #[must_use]
    pub fn approval(&self) -> Option<&Approval> {
        match self {
            Self::Approved(approval)
            | Self::Changed(approval)
            | Self::EarlierMeaning(approval)
            | Self::Expired(approval)
            | Self::Withdrawn(approval) => Some(approval),
            Self::Never | Self::Void(_) => None,
        }
    }

    /// The state in two or three words.
    #[must_use]
    pub fn word(&self) -> &'static str {
        match self {
            Self::Never => "never approved",
            Self::Approved(_) => "approved",
            Self::Changed(_) => "changed since approved",
            Self::EarlierMeaning(_) => "approved under an earlier meaning of the rules: review again",
            Self::Expired(_) => "expired",
            Self::Withdrawn(_) => "withdrawn",
            Self::Void(_) => "approval void",
        }
    }

    /// The state with what there is to say of it.
    #[must_use]
    pub fn sentence(&self) -> String {
        match self {
            Self::Never => "Nobody has approved this procedure.".to_owned(),
            Self::Approved(approval) => format!(
                "Approved by {} ({}) on {}, valid until {}.",
                approval.by,
                approval.role.words(),
                approval.date,
                approval.until
            ),
            Self::Changed(approval) => format!(
                "Changed since {} approved revision {} on {}: this content is not approved.",
                approval.by, approval.revision, approval.date
            ),
            Self::EarlierMeaning(approval) => format!(
                "{} approved revision {} on {} under an earlier meaning of the rules: the same words mean something else now. \
                 Review it again.",
                approval.by, approval.revision, approval.date
            ),
            Self::Expired(approval) => {
                format!("The approval by {} of {} ended on {}.", approval.by, approval.date, approval.until)
            }
            Self::Withdrawn(approval) => match &approval.withdrawn {
                Some(withdrawn) => {
                    format!("Withdrawn by {} on {}: {}", withdrawn.by, withdrawn.date, withdrawn.reason)
                }
                None => "Withdrawn.".to_owned(),
            },
            Self::Void(why) => format!("There is an approval, but it counts for nothing: {why}."),
        }
    }
}

/// How a procedure stands on a day. Everything is looked at anew: an approval that was altered, that names a person who
/// might not approve, or whose signature does not verify counts for nothing.
#[must_use]
pub fn approval_status(subject: &Subject<'_>, evidence: &Evidence<'_>, on: &Day) -> ApprovalStatus {
    let Some(text) = evidence.approval else { return ApprovalStatus::Never };
    let approval = match Approval::parse(text) {
        Ok(approval) => Box::new(approval),
        Err(error) => return ApprovalStatus::Void(error.to_string()),
    };
    let model = &subject.procedure.model;
    if approval.approval != model.procedure {
        return ApprovalStatus::Void(format!("it is for `{}`", approval.approval));
    }
    if !approval.is_sealed() {
        return ApprovalStatus::Void("it was altered since it was given".to_owned());
    }
    // An approval taken back stays so, whoever signed.
    if approval.withdrawn.is_some() {
        return ApprovalStatus::Withdrawn(approval);
    }
    let Some(people) = evidence.people else {
        return ApprovalStatus::Void("no `people.yaml` says who may approve".to_owned());
    };
    if let Some(why) = unsigned(text, &approval, people, evidence) {
        return ApprovalStatus::Void(why);
    }
    if let Some(why) = against(&approval, model.author.as_deref(), people).into_iter().next() {
        return ApprovalStatus::Void(why);
    }
    if approval.meaning > MEANING {
        return ApprovalStatus::Void(format!(
            "it was given under meaning {} of the documents, which this program does not know",
            approval.meaning
        ));
    }
    if approval.meaning < MEANING {
        return ApprovalStatus::EarlierMeaning(approval);
    }
    if approval.content != subject.content {
        return ApprovalStatus::Changed(approval);
    }
    if *on < approval.date {
        return ApprovalStatus::Void(format!("it begins on {}", approval.date));
    }
    if *on > approval.until { ApprovalStatus::Expired(approval) } else { ApprovalStatus::Approved(approval) }
}

/// Why the signature does not count; `None` if it does, or none is asked for and none is there.
fn unsigned(text: &str, approval: &Approval, people: &People, evidence: &Evidence<'_>) -> Option<String> {
    match (evidence.signature, evidence.signers) {
        (None, None) => None,
        (None, Some(_)) => Some("it is not signed, and `allowed-signers` asks for a signature".to_owned()),
        (Some(_), None) => Some("it is signed, and no `allowed-signers` says whose keys count".to_owned()),
        (Some(signature), Some(signers)) => {
            let Some(principal) =
                people.person(&approval.by).and_then(|(_, person)| person.signs_as.as_deref())
            else {
                return Some(format!("`people.yaml` does not say as whom {} signs", approval.by));
            };
            let verified = signature::verify(
                text.as_bytes(),
                signature,
                principal,
                signers,
                &approval.date,
                signature::NAMESPACE,
            );
            verified.err().map(|error| error.to_string())
        }
    }
}
