//! `explain`: what a code means.

use crate::arguments::Explain;
use crate::exit::Exit;
use crate::output;
use anyhow::{Result, bail};
use std::fmt::Write as _;

pub(crate) fn run(options: &Explain) -> Result<Exit> {
    let Some(code) = &options.code else {
        let mut list = String::new();
        for explanation in check::explanations() {
            let _ = writeln!(list, "{}", explanation.title);
        }
        output::say(&list)?;
        return Ok(Exit::Clean);
    };
    let Some(explanation) = check::explain(code) else {
        let codes = check::explanations().iter().map(|explanation| explanation.code);
        match calc::nearest(&code.to_uppercase(), codes) {
            Some(near) => bail!("no finding has the code `{code}`; did you mean `{near}`?"),
            None => bail!("no finding has the code `{code}`; `gatewright explain` lists all codes"),
        }
    };
    output::say(explanation.text)?;
    Ok(Exit::Clean)
}
