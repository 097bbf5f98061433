//! `approve`: gives an approval, takes one back, or returns a procedure to its author.

use crate::approvals::{Beside, day};
use crate::arguments::Approve;
use crate::exit::Exit;
use crate::{files, output};
use anyhow::{Context, Result, bail};
use document::model::Name;
use review::{Accepted, Approval, Date, People, Remark, Request, Returned, Subject, Walkthrough, Withdrawal};

pub(crate) fn run(options: &Approve) -> Result<Exit> {
    let report = super::read_and_check(&options.from)?;
    let document = super::find(&report.library, &options.procedure)?;
    let beside = Beside::read(&report.library, document)?;
    let Some(people) = &beside.people else {
        bail!("no `{}` beside `{}` says who may approve", files::PEOPLE, options.procedure);
    };
    let date = day(options.date.as_ref())?;
    let content = report.library.content_hash(&options.procedure).unwrap_or_default();
    let findings = report.findings_of(&options.procedure);
    let subject = Subject { procedure: document, content: &content, findings: &findings };
    if let Some(reason) = &options.withdraw {
        return withdraw(options, &beside, people, date, reason);
    }
    if let Some(reason) = &options.returned {
        return give_back(options, &beside, people, &subject, date, reason);
    }
    let request = Request {
        by: options.by.clone(),
        role: Name::from(options.role.as_str()),
        date,
        until: options.until.clone().context("`--until` says how long the approval holds")?,
        walkthrough: options.walkthrough.as_deref().map(walkthrough).transpose()?,
        accepted: options.accept.iter().map(|text| accepted(text)).collect::<Result<_>>()?,
    };
    match review::approve(&subject, people, &request) {
        Ok(approval) => {
            keep(options, &beside, &approval)?;
            output::say(&format!(
                "{} revision {} is approved until {}\ncontent {}\n",
                approval.approval, approval.revision, approval.until, approval.content
            ))?;
            Ok(Exit::Clean)
        }
        Err(refused) => refuse(&options.procedure, &refused.0),
    }
}

fn refuse(procedure: &str, why: &[String]) -> Result<Exit> {
    output::complain(&format!("`{procedure}` is not approved:\n"));
    why.iter().for_each(|why| output::complain(&format!("  - {why}\n")));
    Ok(Exit::Findings)
}

/// Writes the approval, and its signature if it is to be signed; an old signature would not fit it.
fn keep(options: &Approve, beside: &Beside, approval: &Approval) -> Result<()> {
    let text = approval.text();
    let signature = match &options.sign {
        Some(path) => {
            let key = std::fs::read_to_string(path)
                .with_context(|| format!("the key `{}` cannot be read", path.display()))?;
            Some(review::sign(text.as_bytes(), &key)?)
        }
        None => None,
    };
    files::write(&beside.approval_path(), text.as_bytes())?;
    output::say(&format!("{}\n", beside.approval_path().display()))?;
    let path = beside.signature_path();
    match signature {
        Some(signature) => {
            files::write(&path, signature.as_bytes())?;
            output::say(&format!("{}\n", path.display()))?;
        }
        None if path.exists() => {
            std::fs::remove_file(&path).with_context(|| format!("`{}` cannot be removed", path.display()))?;
        }
        None => {}
    }
    Ok(())
}

fn withdraw(options: &Approve, beside: &Beside, people: &People, date: Date, reason: &str) -> Result<Exit> {
    let Some(text) = &beside.approval else { bail!("`{}` was never approved", options.procedure) };
    let mut approval = Approval::parse(text)?;
    // Anyone who may approve may take an approval back, whoever gave it.
    if let Some(why) = people.no_approver(&options.by, &options.role, &date) {
        output::complain(&format!("the approval of `{}` stays: {why}\n", options.procedure));
        return Ok(Exit::Findings);
    }
    approval.withdrawn = Some(Withdrawal { by: options.by.clone(), date, reason: reason.to_owned() });
    keep(options, beside, &approval.sealed())?;
    output::say(&format!("the approval of `{}` is withdrawn\n", options.procedure))?;
    Ok(Exit::Clean)
}

fn give_back(
    options: &Approve,
    beside: &Beside,
    people: &People,
    subject: &Subject<'_>,
    date: Date,
    reason: &str,
) -> Result<Exit> {
    if let Some(why) = people.no_approver(&options.by, &options.role, &date) {
        output::complain(&format!("`{}` is not returned: {why}\n", options.procedure));
        return Ok(Exit::Findings);
    }
    let mut remarks = Vec::new();
    for remark in &options.remark {
        let (step, text) = remark.split_once('=').context("a remark reads `step=text`")?;
        let known = review::step_names(&subject.procedure.model);
        if !known.contains(&step) {
            let near = calc::nearest(step, known).map(|near| format!("; did you mean `{near}`?"));
            bail!("`{}` has no step `{step}`{}", options.procedure, near.unwrap_or_default());
        }
        remarks.push(Remark { step: Name::from(step), text: text.trim().to_owned() });
    }
    let returned = Returned {
        returned: subject.procedure.model.procedure.clone(),
        revision: subject.procedure.model.revision,
        content: subject.content.to_owned(),
        by: options.by.clone(),
        role: Name::from(options.role.as_str()),
        date,
        reason: reason.to_owned(),
        remarks,
    };
    files::write(&beside.returned_path(), returned.text().as_bytes())?;
    output::say(&format!("{}\n`{}` is returned\n", beside.returned_path().display(), options.procedure))?;
    Ok(Exit::Clean)
}

/// "Tomas Reeve, 2026-11-05, Larkmoor depot, OSK-0117": the place may hold commas.
fn walkthrough(text: &str) -> Result<Walkthrough> {
    let parts: Vec<&str> = text.splitn(3, ',').map(str::trim).collect();
    match parts[..] {
        [by, date, place] if !by.is_empty() && !place.is_empty() => {
            Ok(Walkthrough { by: by.to_owned(), date: Date::parse(date)?, place: place.to_owned() })
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
