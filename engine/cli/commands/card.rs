//! `card`: writes cards of procedures without errors, and says whether a card in hand is the current one.

#[cfg(feature = "pdf")]
mod paper;
mod verify;
mod write;

pub(crate) use write::{page, stop};

use crate::arguments::Card;
use crate::exit::Exit;
use crate::{jobs, output};
use anyhow::{Result, bail};
use card::page::Chosen;
use document::model::Name;
use std::sync::OnceLock;
use write::Laid;

pub(crate) fn run(options: &Card) -> Result<Exit> {
    if let Some(mark) = &options.verify {
        return verify::run(mark, &options.from, options.on);
    }
    let chosen = chosen(&options.variant)?;
    let report = super::read_and_check(&options.from)?;
    let names = super::named(&report, &options.procedures, options.all)?;
    let on = crate::approvals::day(options.on, &report.library)?;
    let mut refused = false;
    let mut entries = Vec::new();
    for names in names.chunks(write::AT_ONCE) {
        // What is laid out side by side is written, and told, in order.
        let slots: Vec<OnceLock<Result<Laid>>> = names.iter().map(|_| OnceLock::new()).collect();
        jobs::side_by_side("laying out", names.len(), &|at| {
            let name = &names[at];
            if report.is_sound(name) {
                slots[at].get_or_init(|| write::forms(&report, name, on, &chosen, options));
            }
        });
        for (name, laid) in names.iter().zip(slots) {
            match laid.into_inner() {
                Some(laid) => entries.push(laid?.write()?),
                None => {
                    super::tell_errors(&report, name)?;
                    output::complain(&format!("`{name}` has errors: it gets no card\n"));
                    refused = true;
                }
            }
        }
    }
    if options.all {
        write::index(&entries, options)?;
    }
    // A document that names no procedure any more must not pass unseen.
    if options.all && report.findings().iter().any(|finding| finding.severity == document::Severity::Error) {
        refused = true;
    }
    Ok(if refused { Exit::Findings } else { Exit::Clean })
}

/// `hose=4 m` and the like.
fn chosen(given: &[String]) -> Result<Chosen> {
    let mut chosen = Chosen::new();
    for one in given {
        let Some((name, value)) = one.split_once('=') else {
            bail!(
                "`--variant {one}` names no value: write `--variant \"NAME=VALUE\"`, such as `--variant \"hose=4 m\"`"
            );
        };
        let name = Name::from(name.trim());
        if chosen.insert(name.clone(), value.trim().to_owned()).is_some() {
            bail!("`--variant` names `{name}` twice: a card is for one value or for all");
        }
    }
    Ok(chosen)
}
