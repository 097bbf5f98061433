//! `card`: writes cards of procedures without errors.

use crate::arguments::Card;
use crate::exit::Exit;
use crate::{files, output};
use anyhow::{Context, Result, bail};
use card::page::{Approval, ProofNote, Standing, build};
use check::Report;
use document::model::Name;

pub(crate) fn run(options: &Card) -> Result<Exit> {
    let report = super::read_and_check(&options.from)?;
    let names: Vec<Name> = if options.all {
        report.procedures.iter().map(|checked| checked.procedure.clone()).collect()
    } else {
        options.procedures.iter().map(|name| Name::from(name.as_str())).collect()
    };
    let mut refused = false;
    for name in &names {
        if !report.procedures.iter().any(|checked| checked.procedure == *name) {
            let known = report.procedures.iter().map(|checked| &*checked.procedure);
            let near = calc::nearest(name, known).map(|near| format!("; did you mean `{near}`?"));
            bail!("no procedure is named `{name}`{}", near.unwrap_or_default());
        }
        if report.is_sound(name) {
            write(&report, name, options)?;
        } else {
            super::tell_errors(&report, name)?;
            output::complain(&format!("`{name}` has errors: it gets no card\n"));
            refused = true;
        }
    }
    // A document that names no procedure any more must not pass unseen.
    if options.all && report.findings().iter().any(|finding| finding.severity == document::Severity::Error) {
        refused = true;
    }
    Ok(if refused { Exit::Findings } else { Exit::Clean })
}

fn write(report: &Report, name: &Name, options: &Card) -> Result<()> {
    let standing = Standing {
        content: report.library.content_hash(name).unwrap_or_default(),
        approval: Approval::NotApproved,
    };
    let checked = report.procedures.iter().find(|checked| checked.procedure == *name);
    let equipment = report.library.procedures.get(name).map(|document| &document.model.equipment);
    let equipment = equipment.and_then(|equipment| report.library.equipment.get(equipment));
    let proof = checked
        .and_then(|checked| checked.machine.as_ref().zip(checked.proof.as_ref()))
        .zip(equipment)
        .map(|((machine, proof), equipment)| ProofNote {
            obligations: proof.obligations,
            stops: super::leave::from_each_step(machine, &equipment.model, proof),
        });
    let page = build(&report.library, name, &standing, proof.as_ref())?;
    let html = card::html::html(&page).with_context(|| format!("the card of `{name}` cannot be laid out"))?;
    let text = card::text::text(&page);
    for (ending, bytes) in [("html", html), ("txt", text)] {
        let path = options.out.join(&**name).join(format!("card.{ending}"));
        files::write(&path, bytes.as_bytes())?;
        output::say(&format!("{}\n", path.display()))?;
    }
    Ok(())
}
