//! `explain`: what a code means, and how a method works.

use super::method;
use crate::arguments::Explain;
use crate::exit::Exit;
use crate::output;
use anyhow::{Result, bail};
use std::fmt::Write as _;

pub(crate) fn run(options: &Explain) -> Result<Exit> {
    let Some(code) = &options.code else {
        let mut list = String::new();
        for (letter, family) in check::families() {
            let _ = writeln!(list, "{family}");
            for explanation in check::explanations().iter().filter(|one| one.code.starts_with(letter)) {
                let _ = writeln!(list, "  {} {}", explanation.code, explanation.title);
            }
        }
        output::say(&list)?;
        return Ok(Exit::Clean);
    };
    if code == "units" {
        output::say(&method::units())?;
        return Ok(Exit::Clean);
    }
    if let Ok(found) = calc::methods::method(code) {
        output::say(&method::explained(found))?;
        return Ok(Exit::Clean);
    }
    let Some(explanation) = check::explain(code) else {
        let codes = check::explanations().iter().map(|explanation| explanation.code);
        let methods = calc::methods::methods().iter().map(|method| method.name);
        match calc::nearest(&code.to_uppercase(), codes).or_else(|| calc::nearest(code, methods)) {
            Some(near) => bail!("no finding or method is named `{code}`; did you mean `{near}`?"),
            None => bail!(
                "no finding or method is named `{code}`; `gatewright explain` lists all codes, `gatewright amount` \
                 all methods"
            ),
        }
    };
    output::say(&explanation.text())?;
    Ok(Exit::Clean)
}
