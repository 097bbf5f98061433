//! Everything about one procedure that an officer looks at before approving.

use super::comparison::{Rows, rows};
use super::{PageError, render};
use crate::approval::Approval;
use crate::compare::{Class, Comparison, Side};
use crate::place::step_at;
use crate::remarks::Returned;
use crate::standing::Standing;
use crate::waits::{Waits, longest_waits};
use calc::quantity::Duration;
use document::Diagnostic;
use serde::Serialize;
use std::fmt::Write as _;

/// What the caller brings to the page.
pub struct Desk<'a> {
    /// The procedure as it is now.
    pub now: Side<'a>,
    /// The hash of its content.
    pub content: &'a str,
    /// How it stands, at the day asked about.
    pub standing: &'a Standing,
    /// Remarks with which it was returned.
    pub returned: Option<&'a Returned>,
    /// Everything found in it and in what it relies on.
    pub findings: &'a [Diagnostic],
    /// Ways to stop: numbers of steps with what to do.
    pub stops: Vec<(String, Vec<String>)>,
    /// What changed since the approved content, with that content; none where it is not known.
    pub since: Option<(&'a Comparison, Side<'a>)>,
    /// The card as a page of its own.
    pub card: Option<String>,
}

#[derive(Serialize)]
struct Page<'a> {
    title: &'a str,
    id: &'a str,
    revision: u32,
    author: Option<&'a str>,
    content: &'a str,
    standing: String,
    good: bool,
    walkthrough: Option<String>,
    returned: Option<ReturnedRows<'a>>,
    findings: Vec<Finding<'a>>,
    proved: String,
    sound: bool,
    gaps: Vec<String>,
    stops: Vec<(String, Vec<String>)>,
    waits: WaitRows,
    since: Option<Since<'a>>,
    no_since: String,
    card: Option<String>,
}

#[derive(Serialize)]
struct ReturnedRows<'a> {
    sentence: String,
    remarks: Vec<(String, &'a str)>,
}

#[derive(Serialize)]
struct Finding<'a> {
    code: &'static str,
    severity: &'static str,
    place: String,
    message: &'a str,
    accepted: Option<String>,
}

#[derive(Serialize)]
struct WaitRows {
    total: String,
    steps: Vec<(String, String)>,
}

#[derive(Serialize)]
struct Since<'a> {
    summary: String,
    weakened: bool,
    groups: Vec<Rows<'a>>,
}

impl<'a> Desk<'a> {
    /// As one file for a browser.
    ///
    /// # Errors
    /// Only for a fault of the templates.
    pub fn html(&self) -> Result<String, PageError> {
        render("desk.html", &self.page())
    }

    /// As plain text, without the card.
    #[must_use]
    pub fn text(&self) -> String {
        let page = self.page();
        let mut text = format!("{} ({}, revision {})\n", page.title, page.id, page.revision);
        let _ = writeln!(text, "{}\ncontent {}", page.standing, page.content);
        let _ = writeln!(text, "author {}", page.author.unwrap_or("not stated"));
        if let Some(walk) = &page.walkthrough {
            let _ = writeln!(text, "{walk}");
        }
        if let Some(returned) = &page.returned {
            let _ = writeln!(text, "\n{}", returned.sentence);
            for (step, remark) in &returned.remarks {
                let _ = writeln!(text, "  {step}: {remark}");
            }
        }
        let _ = writeln!(text, "\nFindings: {}", page.findings.len());
        for finding in &page.findings {
            let _ = writeln!(
                text,
                "  {} {} {}: {}",
                finding.severity, finding.code, finding.place, finding.message
            );
            if let Some(accepted) = &finding.accepted {
                let _ = writeln!(text, "    {accepted}");
            }
        }
        let _ = writeln!(text, "\nProof: {}", page.proved);
        if !page.gaps.is_empty() {
            text.push_str("\nHazards without a rule or a type of work that controls them\n");
            page.gaps.iter().for_each(|gap| {
                let _ = writeln!(text, "  {gap}");
            });
        }
        let _ = writeln!(text, "\nLongest wait in one run: {}", page.waits.total);
        for (step, time) in &page.waits.steps {
            let _ = writeln!(text, "  {step}: {time}");
        }
        text.push_str("\nWays to stop, before each step\n");
        for (step, ways) in &page.stops {
            let _ = writeln!(text, "  {step}: {}", ways.join(" / "));
        }
        text.push_str("\nSince the approved content\n");
        match (&self.since, &page.since) {
            (Some((comparison, old)), Some(_)) => text.push_str(&comparison.text(old, &self.now)),
            _ => {
                let _ = writeln!(text, "  {}", page.no_since);
            }
        }
        text
    }

    fn page(&self) -> Page<'_> {
        let model = &self.now.procedure.model;
        let approval = self.standing.approval();
        let walk = approval.and_then(|approval| approval.walkthrough.as_ref());
        let (proved, sound) = self.proved();
        Page {
            title: &model.title,
            id: &model.procedure,
            revision: model.revision,
            author: model.author.as_deref(),
            content: self.content,
            standing: self.standing.sentence(),
            good: self.standing.is_approved(),
            walkthrough: approval.map(|_| {
                walk.map_or("Approved without a walkthrough on the machine.".to_owned(), |walk| {
                    format!("Walked through by {} on {}: {}.", walk.by, walk.date, walk.place)
                })
            }),
            returned: self.returned.map(|returned| self.returned(returned)),
            findings: self.findings.iter().map(|finding| self.finding(finding, approval)).collect(),
            proved,
            sound,
            gaps: self.gaps(),
            stops: self.stops.clone(),
            waits: self.waits(),
            since: self.since.as_ref().map(|(comparison, old)| Since {
                summary: comparison.summary(),
                weakened: comparison.class() == Class::Weakened,
                groups: rows(comparison, old, &self.now),
            }),
            no_since: match approval {
                None => "Nothing was approved before.".to_owned(),
                Some(approval) if approval.content == self.content => "Nothing changed.".to_owned(),
                Some(_) => "The approved content is not in the history of this repository.".to_owned(),
            },
            card: self.card.clone(),
        }
    }

    fn returned<'r>(&self, returned: &'r Returned) -> ReturnedRows<'r> {
        let which = if returned.content == self.content { "this content" } else { "an earlier content" };
        ReturnedRows {
            sentence: format!(
                "Returned by {} on {} ({which}): {}",
                returned.by, returned.date, returned.reason
            ),
            remarks: returned.remarks.iter().map(|one| (one.step.to_string(), one.text.as_str())).collect(),
        }
    }

    fn finding<'f>(&self, finding: &'f Diagnostic, approval: Option<&Approval>) -> Finding<'f> {
        let own = finding.place.source == self.now.procedure.source;
        let step = if own { step_at(self.now.procedure, finding.place.span.start) } else { None };
        let accepted = approval.into_iter().flat_map(|approval| &approval.accepted);
        let mut accepted = accepted.filter(|one| one.code == finding.code && one.step.as_ref() == step);
        Finding {
            code: finding.code,
            severity: finding.severity.word(),
            place: crate::compare::shown(&self.now, &finding.place),
            message: &finding.message,
            accepted: accepted.next().map(|one| format!("Accepted: {}", one.reason)),
        }
    }

    fn proved(&self) -> (String, bool) {
        let Some(proof) = self.now.checked.and_then(|checked| checked.proof.as_ref()) else {
            return ("nothing was proved: documents have errors".to_owned(), false);
        };
        let (all, open) = (proof.obligations, proof.refuted.len());
        match &proof.ended {
            Some(_) => ("not proved: the search reached its limit".to_owned(), false),
            None if open == 0 => (
                format!("{all} of {all} obligations hold on every path, over {} sets of states", proof.boxes),
                true,
            ),
            None => (format!("{open} of {all} obligations are refuted"), false),
        }
    }

    /// Hazards that a step warns of or a rule names, with nothing in the equipment that holds a person back from them.
    fn gaps(&self) -> Vec<String> {
        let equipment = &self.now.equipment.model;
        let controlled = |name: &document::model::Name| {
            equipment.never.values().any(|rule| rule.hazard == *name)
                || equipment.work.values().any(|work| {
                    work.hazard.as_ref() == Some(name) && !(work.requires.is_empty() && work.wear.is_empty())
                })
        };
        let uncontrolled = equipment.hazards.iter().filter(|(name, _)| !controlled(name));
        uncontrolled.map(|(name, hazard)| format!("{name}: {}", hazard.hazard)).collect()
    }

    fn waits(&self) -> WaitRows {
        let machine = self.now.checked.and_then(|checked| checked.machine.as_ref());
        let waits = machine.map_or_else(Waits::default, |machine| longest_waits(self.now.library, machine));
        let time = |millis| Duration::from_millis(millis).to_string();
        WaitRows {
            total: time(waits.total_ms),
            steps: waits.steps.iter().map(|(step, millis)| (step.clone(), time(*millis))).collect(),
        }
    }
}
