//! Certificates: written beside `check`, and checked by the second program alone.

use crate::arguments::{CertificateAction, CertificateOf};
use crate::exit::Exit;
use crate::{files, jobs, output};
use anyhow::{Context, Result};
use check::Report;
use form::Certificate;
use serde::Deserialize;
use std::path::Path;

/// A file of certificates.
#[derive(Deserialize)]
#[serde(deny_unknown_fields)]
struct File {
    certificates: Vec<Certificate>,
}

pub(crate) fn run(options: &CertificateOf) -> Result<Exit> {
    match &options.action {
        CertificateAction::Verify { file, paths } => {
            let bytes = std::fs::read(file).with_context(|| format!("cannot read {}", file.display()))?;
            let File { certificates } = serde_json::from_slice(&bytes)
                .with_context(|| format!("{} is no file of certificates", file.display()))?;
            let reading = jobs::read(&files::read_all(paths)?);
            let mut exit = if certificates.is_empty() { Exit::Findings } else { Exit::Clean };
            for certificate in &certificates {
                let name = &card::clean_line(&certificate.procedure);
                let hash = form::hash(certificate)?;
                match check::refusal(&reading.library, certificate) {
                    None => output::say(&format!("{name}  the certificate is right  {hash}\n"))?,
                    Some(why) => {
                        output::say(&format!("{name}  refused: {}\n", card::clean_line(&why)))?;
                        exit = Exit::Findings;
                    }
                }
            }
            if certificates.is_empty() {
                output::say("there is no certificate in it\n")?;
            }
            Ok(exit)
        }
    }
}

/// Writes the certificates of everything that was proved, one a line.
pub(super) fn write(report: &Report, to: &Path) -> Result<()> {
    let mut lines = Vec::new();
    for checked in &report.procedures {
        if let Some(certificate) = report.certificate(&checked.procedure) {
            lines.push(serde_json::to_string(&certificate)?);
        }
    }
    let text = format!("{{\"certificates\":[\n{}\n]}}\n", lines.join(",\n"));
    files::write(to, text.as_bytes())
}
