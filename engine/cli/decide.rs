//! Writing down what an officer decides, for the command and for the browser.

use crate::approvals::{DecisionBasis, Sidecar};
use crate::files;
use anyhow::{Context, Result, bail};
use check::Report;
use document::Document;
use document::model::Procedure;
use review::{Approval, Decision, Officer, Outcome, Refused};
use std::path::{Path, PathBuf};

/// What was written, and where.
pub(crate) struct Written {
    pub(crate) outcome: Outcome,
    pub(crate) files: Vec<PathBuf>,
    /// Whether it counts only once somebody has signed it.
    pub(crate) unsigned: bool,
}

/// Decides and writes the file of it; `sign` is the private key that signs an approval.
pub(crate) fn decide(
    report: &Report,
    document: &Document<Procedure>,
    officer: &Officer,
    decision: Decision,
    sign: Option<&Path>,
) -> Result<Result<Written, Refused>> {
    let name = &document.model.procedure;
    let basis = DecisionBasis::new(report, document)?;
    let sidecar = &basis.sidecar;
    let Some(people) = &sidecar.people else {
        bail!("no `{}` beside `{name}` says who may approve", files::PEOPLE);
    };
    let outcome =
        match review::decide(&basis.subject(), people, officer, decision, sidecar.approval.as_deref()) {
            Ok(outcome) => outcome,
            Err(refused) => return Ok(Err(refused)),
        };
    let files = match &outcome {
        Outcome::Approval(approval) => keep(sign, sidecar, approval)?,
        Outcome::Returned(returned) => {
            files::write(&sidecar.returned_path(), returned.text().as_bytes())?;
            vec![sidecar.returned_path()]
        }
    };
    let given = matches!(&outcome, Outcome::Approval(approval) if approval.withdrawn.is_none());
    let unsigned = given && sign.is_none() && sidecar.asks_for_signatures();
    Ok(Ok(Written { outcome, files, unsigned }))
}

/// Writes the approval, and its signature if it is to be signed; an old signature would not fit it.
fn keep(sign: Option<&Path>, sidecar: &Sidecar, approval: &Approval) -> Result<Vec<PathBuf>> {
    let text = approval.text();
    let signature = match sign {
        Some(path) => {
            let key = std::fs::read_to_string(path)
                .with_context(|| format!("the key `{}` cannot be read", path.display()))?;
            Some(review::sign(text.as_bytes(), &key, review::NAMESPACE)?)
        }
        None => None,
    };
    let mut written = vec![sidecar.approval_path()];
    files::write(&sidecar.approval_path(), text.as_bytes())?;
    let path = sidecar.signature_path();
    match signature {
        Some(signature) => {
            files::write(&path, signature.as_bytes())?;
            written.push(path);
        }
        None if path.exists() => {
            std::fs::remove_file(&path).with_context(|| format!("`{}` cannot be removed", path.display()))?;
        }
        None => {}
    }
    Ok(written)
}
