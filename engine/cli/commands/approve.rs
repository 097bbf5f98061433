//! `approve`: gives an approval, takes one back, or returns a procedure to its author.

use crate::approvals::day;
use crate::arguments::Approve;
use crate::decide::{Written, decide};
use crate::exit::Exit;
use crate::output;
use anyhow::{Context, Result, bail};
use document::model::Name;
use review::{Accepted, Day, Decision, Officer, Outcome, Remark, Walkthrough};

pub(crate) fn run(options: &Approve) -> Result<Exit> {
    let report = super::read_and_check(&options.from)?;
    let document = super::find(&report.library, &options.procedure)?;
    let officer = Officer {
        by: options.by.clone(),
        role: Name::from(options.role.as_str()),
        date: day(options.date, &report.library)?,
    };
    let written = match decide(&report, document, &officer, decision(options)?, options.sign.as_deref())? {
        Ok(written) => written,
        Err(refused) => {
            output::complain(&format!("`{}`: nothing is written:\n", options.procedure));
            refused.0.iter().for_each(|why| output::complain(&format!("  - {why}\n")));
            return Ok(Exit::Findings);
        }
    };
    tell(&options.procedure, &written)?;
    Ok(Exit::Clean)
}

fn decision(options: &Approve) -> Result<Decision> {
    if let Some(reason) = options.withdraw.clone() {
        return Ok(Decision::Withdraw { reason });
    }
    if let Some(reason) = options.returned.clone() {
        let remark = |text: &String| {
            let (step, text) = text.split_once('=').context("a remark reads `step=text`")?;
            Ok(Remark { step: Name::from(step), text: text.trim().to_owned() })
        };
        let remarks = options.remark.iter().map(remark).collect::<Result<_>>()?;
        return Ok(Decision::Return { reason, remarks });
    }
    Ok(Decision::Approve {
        until: options.until.context("`--until` says how long the approval holds")?,
        walkthrough: options.walkthrough.as_deref().map(walkthrough).transpose()?,
        accepted: options.accept.iter().map(|text| accepted(text)).collect::<Result<_>>()?,
    })
}

fn tell(procedure: &str, written: &Written) -> Result<()> {
    for file in &written.files {
        output::say(&format!("{}\n", file.display()))?;
    }
    output::say(&match &written.outcome {
        Outcome::Returned(_) => format!("`{procedure}` is returned\n"),
        Outcome::Approval(approval) if approval.withdrawn.is_some() => {
            format!("the approval of `{procedure}` is withdrawn\n")
        }
        Outcome::Approval(approval) => format!(
            "{} revision {} is approved until {}\ncontent {}\n",
            approval.approval, approval.revision, approval.until, approval.content
        ),
    })?;
    if written.unsigned {
        output::say(
            "it counts once it is signed: `ssh-keygen -Y sign -n gatewright-approval -f KEY FILE`\n",
        )?;
    }
    Ok(())
}

/// "Tomas Reeve, 2026-11-05, Larkmoor depot, OSK-0117": the place may hold commas.
fn walkthrough(text: &str) -> Result<Walkthrough> {
    let parts: Vec<&str> = text.splitn(3, ',').map(str::trim).collect();
    match parts[..] {
        [by, date, place] if !by.is_empty() && !place.is_empty() => {
            Ok(Walkthrough { by: by.to_owned(), date: Day::parse(date)?, place: place.to_owned() })
        }
        _ => bail!(
            "a walkthrough reads \"who, when, where\", such as \"Tomas Reeve, 2026-11-05, Larkmoor depot\""
        ),
    }
}

/// "W12@open-bowl=reason", or without a step.
fn accepted(text: &str) -> Result<Accepted> {
    let (what, reason) = text.split_once('=').context("an accepted finding reads `CODE@step=reason`")?;
    let (code, step) = match what.split_once('@') {
        Some((code, step)) => (code, Some(Name::from(step))),
        None => (what, None),
    };
    Ok(Accepted { code: code.to_uppercase(), step, reason: reason.trim().to_owned() })
}
