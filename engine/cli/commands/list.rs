//! `list`: every procedure with its standing.

use crate::approvals::{day, standing};
use crate::arguments::List;
use crate::exit::Exit;
use crate::output;
use anyhow::Result;
use std::fmt::Write as _;

pub(crate) fn run(options: &List) -> Result<Exit> {
    let report = super::read_and_check(&options.from)?;
    let on = day(options.on.as_ref())?;
    let names: Vec<String> = report.library.procedures.keys().map(ToString::to_string).collect();
    let width = names.iter().map(String::len).max().unwrap_or(0);
    let mut text = String::new();
    for (name, document) in &report.library.procedures {
        let (_, standing) = standing(&report.library, name, &on)?;
        let open = report.findings_of(name);
        let found = if open.is_empty() { "nothing found".to_owned() } else { card::report::summary(&open) };
        let _ = writeln!(
            text,
            "{name:width$}  revision {}  {}  {found}",
            document.model.revision,
            standing.sentence().trim_end_matches('.'),
            name = &**name,
        );
    }
    for name in report.library.left_out() {
        let _ = writeln!(text, "{name:width$}  cannot be used: its document has errors");
    }
    output::say(&text)?;
    Ok(Exit::Clean)
}
