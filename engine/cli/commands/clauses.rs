//! `check --form smt2`: what an outside solver is asked about every procedure that can be compiled. Nothing is proved here.

use crate::arguments::Check;
use crate::exit::Exit;
use crate::{files, jobs, output};
use anyhow::{Result, bail};
use document::{Diagnostic, Reading, Severity};

pub(crate) fn run(options: &Check) -> Result<Exit> {
    let asked = [(options.mend, "--mend"), (options.certificate.is_some(), "--certificate")];
    if let Some((_, option)) = asked.iter().find(|(is_asked, _)| *is_asked) {
        bail!(
            "with `--form smt2` nothing is proved, so that `{option}` has nothing to go by: ask for it alone"
        );
    }
    let Reading { library, findings } = jobs::read(&files::read_all(&options.paths)?);
    let errors: Vec<Diagnostic> =
        findings.iter().filter(|finding| finding.severity == Severity::Error).cloned().collect();
    let style = card::report::Style { colour: false, width: output::WIDTH };
    output::complain(&card::report::text(&library.sources, &errors, style));
    let mut exit = if errors.is_empty() { Exit::Clean } else { Exit::Findings };
    for name in library.procedures.keys() {
        if ::check::relies_on_errors(&library, &findings, name) {
            output::complain(&format!("{name}: left out, as documents that it relies on have errors\n"));
            continue;
        }
        match machine::compile(&library, name) {
            Ok(machine) => {
                let form = ::check::formed(&library, &machine);
                output::say(&format!("; {name}\n{}", horn::smt2(&form)))?;
            }
            Err(error) => {
                output::complain(&format!("{name}: {error}\n"));
                exit = Exit::Findings;
            }
        }
    }
    Ok(exit)
}
