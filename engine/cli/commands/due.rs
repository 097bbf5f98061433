//! `list --due`: what is due on each machine, and which are out of service.

use crate::arguments::ListForm;
use crate::exit::Exit;
use crate::output;
use anyhow::{Result, bail};
use document::{Day, Library, Zone};
use journal::Journal;
use records::{Damaged, Due, Item, Walked, due, walked};
use std::fmt::Write as _;
use std::path::Path;

pub(super) fn run(library: &Library, records: &Path, on: Day, form: ListForm) -> Result<Exit> {
    let register = crate::register::read(library)?;
    let Some(register) = register.filter(|register| !register.register.is_empty()) else {
        bail!("no `{}` with machines stands beside the procedures", crate::files::REGISTER);
    };
    let zone = register.site.zone;
    let (walks, damaged) = walks(records, zone)?;
    let due = due(Some(&register), zone, &walks, on);
    let text = match form {
        ListForm::Text => text(&due, &damaged, on),
        ListForm::Ical => {
            let title = |procedure: &str| {
                let document = library.procedures.get(procedure);
                document.map_or_else(|| procedure.to_owned(), |document| document.model.title.clone())
            };
            match records::calendar(&due, &damaged, title) {
                Ok(file) => file,
                Err(why) => bail!("{why}"),
            }
        }
        _ => bail!("what is due has a page in `gatewright serve`; here it is `text` or `ical`"),
    };
    output::say(&text)?;
    let is_due = due.items.iter().any(|item| item.is_due);
    let complete = super::record::tell_damaged(&damaged);
    Ok(if is_due { Exit::Findings } else { complete })
}

/// All walks that can be relied on, and those that are damaged; none where nothing was recorded yet.
pub(super) fn walks(path: &Path, zone: Zone) -> Result<(Vec<Walked>, Vec<Damaged>)> {
    if !path.exists() {
        return Ok((Vec::new(), Vec::new()));
    }
    let journal = Journal::open_existing(path)?;
    Ok(walked(&journal, zone)?)
}

fn text(due: &Due, damaged: &[Damaged], on: Day) -> String {
    let mut text = format!("Due on {on}\n");
    let (now, later): (Vec<&Item>, Vec<&Item>) = due.items.iter().partition(|item| item.is_due);
    items(&mut text, &now);
    text.push_str("\nLater\n");
    items(&mut text, &later);
    text.push_str("\nOut of service\n");
    for out in &due.out {
        let told = match &out.walk {
            Some(walk) => format!("work stopped in {walk}"),
            None => "by the register".to_owned(),
        };
        let _ = writeln!(text, "  {}  since {}: {} ({}, {told})", out.serial, out.since, out.reason, out.by);
    }
    for one in damaged {
        let _ = writeln!(text, "  {}: the walk {} is damaged", one.doubt(), one.walk);
    }
    if due.out.is_empty() && damaged.is_empty() {
        text.push_str("  none\n");
    }
    if !due.unlisted.is_empty() {
        text.push_str("\nWorked on and not in the register; their walks count for no machine\n");
    }
    for (equipment, serial, walks) in &due.unlisted {
        let _ = writeln!(text, "  {serial} ({equipment}), {}", card::count(*walks, "walk"));
    }
    text
}

fn items(text: &mut String, items: &[&Item]) {
    let width = |of: fn(&Item) -> &str| items.iter().map(|item| of(item).chars().count()).max().unwrap_or(0);
    let (serial, procedure) = (width(|item| &item.serial), width(|item| &item.procedure));
    for item in items {
        let on = item.on.map_or_else(|| " ".repeat(10), |on| on.to_string());
        let uses = item.uses.map(|(uses, of)| format!("{uses} of {of} uses, ")).unwrap_or_default();
        let last = match &item.last {
            Some((day, _)) => format!("last completed on {day}"),
            None => format!("not on record, in use since {}", item.since),
        };
        let _ =
            writeln!(text, "  {on}  {:serial$}  {:procedure$}  {uses}{last}", item.serial, item.procedure);
    }
    if items.is_empty() {
        text.push_str("  none\n");
    }
}
