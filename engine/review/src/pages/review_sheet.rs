//! Everything about one procedure that an officer looks at before approving.

use super::{comparison, table, table_or};
use crate::approval::Approval;
use crate::compare::{Class, Comparison, Side, shown};

use crate::approval_status::ApprovalStatus;
use crate::place::step_at;
use crate::remarks::Returned;
use crate::waits::{Waits, longest_waits};
use calc::quantity::Duration;
use card::count;
use card::matrix::Matrix;
use card::page::{PlanLine, Stop, StopRow};
use card::sheet::{Block, Cell, Line, Part, Sheet, Tone};
use check::{Accepted, Second};
use document::{Day, Diagnostic, Severity};
use proof::{Counts, Proof};

/// What the caller brings to the page.
pub struct ReviewSheet<'a> {
    /// The procedure as it is now.
    pub now: Side<'a>,
    /// The hash of its content.
    pub content: &'a str,
    /// The hash of the certificate of what was proved, where there is one.
    pub certificate: Option<&'a str>,
    /// The day asked about.
    pub on: &'a Day,
    /// How it stands that day.
    pub status: &'a ApprovalStatus,
    /// Remarks with which it was returned.
    pub returned: Option<&'a Returned>,
    /// Everything found in it and in what it relies on.
    pub findings: &'a [Diagnostic],
    /// What the authors accept at its place.
    pub silenced: Vec<&'a Accepted>,
    /// The hazards and controls; none where documents have errors.
    pub matrix: Option<Matrix>,
    /// How the machine is left where work stops; none where nothing was worked out.
    pub stop: Option<Stop>,
    /// What changed since the approved content, with that content; none where it is not known.
    pub since: Option<(&'a Comparison, Side<'a>)>,
}

impl ReviewSheet<'_> {
    /// The whole page without the card.
    #[must_use]
    pub fn sheet(&self) -> Sheet {
        let model = &self.now.procedure.model;
        let approval = self.status.approval();
        let mut facts = vec![
            ("Procedure".to_owned(), format!("{}, revision {}", model.procedure, model.revision)),
            ("Equipment".to_owned(), self.now.equipment.model.title.clone()),
            ("Author".to_owned(), model.author.clone().unwrap_or_else(|| "not stated".to_owned())),
            ("Content".to_owned(), self.content.to_owned()),
        ];
        if let Some(approval) = approval {
            let walk = approval.walkthrough.as_ref().map_or_else(
                || "none, it was approved without one on the machine".to_owned(),
                |walk| format!("by {} on {}: {}", walk.by, walk.date, walk.place),
            );
            facts.push(("Walkthrough".to_owned(), walk));
        }
        let mut parts = vec![self.glance()];
        parts.extend(self.returned.map(|returned| self.returned(returned)));
        parts.push(self.since());
        parts.push(self.findings(approval));
        parts.push(self.silenced());
        parts.push(self.hazards());
        parts.push(self.proved());
        parts.push(self.waits());
        parts.push(self.stops());
        Sheet {
            title: format!("Review: {}", model.title),
            running: format!("{}, revision {}", model.procedure, model.revision),
            content: self.content.to_owned(),
            day: Some(self.on.to_string()),
            effective: model.effective.clone(),
            mark: String::new(),
            verdict: Some(Line::from(self.status.sentence()).toned(tone(self.status.is_approved()))),
            facts,
            parts,
        }
    }

    /// What speaks for and against, in one line each.
    fn glance(&self) -> Part {
        let open = |severity| self.findings.iter().filter(|finding| finding.severity == severity).count();
        let (errors, warnings) = (open(Severity::Error), open(Severity::Warning));
        let gaps: Option<usize> =
            self.matrix.as_ref().map(|matrix| matrix.hazards.iter().map(|hazard| hazard.gaps).sum());
        let rows = self.stop.as_ref().map_or(&[][..], |stop| &stop.rows);
        let stuck = rows.iter().filter(|row| !row.is_known).count();
        let (proved, sound) = self.proved_words();
        let mut lines = vec![
            (
                "Findings",
                format!("{}, {}", count(errors, "error"), count(warnings, "open warning")),
                errors + warnings == 0,
            ),
            ("Accepted by the authors", count(self.silenced.len(), "finding"), true),
            ("Proof", proved, sound),
            (
                "Hazards and controls",
                gaps.map_or_else(|| "not worked out".to_owned(), |gaps| count(gaps, "gap")),
                gaps == Some(0),
            ),
            (
                "If work stops",
                match (rows.len(), stuck) {
                    (0, _) => "no way is worked out".to_owned(),
                    (_, 0) => "a way to leave the machine is known at every step".to_owned(),
                    (_, stuck) => format!("no way is known at {}", count(stuck, "place")),
                },
                stuck == 0 && !rows.is_empty(),
            ),
        ];
        if let Some((comparison, _)) = &self.since {
            let good = comparison.class() != Class::Weakened;
            lines.push(("Since the approved content", comparison.summary(), good));
        }
        let rows = lines.into_iter().map(|(what, words, good)| {
            let line = Line::from(words);
            let line = if good { line } else { line.toned(Tone::Against) };
            vec![Cell::from(what), Cell::from(line)]
        });
        Part::new("glance", "At a glance", vec![table(&[("What", 30), ("How it is", 70)], rows.collect())])
    }

    fn returned(&self, returned: &Returned) -> Part {
        let which = if returned.content == self.content { "this content" } else { "an earlier content" };
        let sentence =
            format!("Returned by {} on {} ({which}): {}", returned.by, returned.date, returned.reason);
        let mut blocks = vec![Block::line(Line::from(sentence).toned(Tone::Against))];
        let rows: Vec<Vec<Cell>> = returned
            .remarks
            .iter()
            .map(|one| vec![Cell::from(one.step.to_string()), Cell::from(one.text.as_str())])
            .collect();
        if !rows.is_empty() {
            blocks.push(table(&[("Step", 25), ("Remark", 75)], rows));
        }
        Part::new("returned", "Returned to the author", blocks)
    }

    fn since(&self) -> Part {
        let blocks = match &self.since {
            Some((comparison, old)) => comparison::blocks(comparison, old, &self.now),
            None => vec![Block::line(Line::from(match self.status.approval() {
                None => "Nothing was approved before.",
                Some(approval) if approval.content == self.content => "Nothing changed.",
                Some(_) => "The approved content is not in the history of this repository.",
            }))],
        };
        Part::new("since", "Changes since the approved content", blocks)
    }

    fn findings(&self, approval: Option<&Approval>) -> Part {
        let row = |finding: &Diagnostic| {
            let against = if finding.severity == Severity::Advice { Tone::Plain } else { Tone::Against };
            let mut lines = vec![Line::from(finding.message.as_str())];
            if let Some(accepted) = self.accepted(finding, approval) {
                lines.push(Line::led("Accepted in the approval", accepted));
            }
            let places = std::iter::once(&finding.place).chain(&finding.also);
            lines.extend(places.map(|place| Line::from(shown(&self.now, place)).toned(Tone::Place)));
            let severity = Line::from(finding.severity.word()).toned(against);
            vec![Cell::from(finding.code), Cell::from(severity), Cell::from_lines(lines)]
        };
        let rows = self.findings.iter().map(row).collect();
        let columns = [("Code", 10), ("Severity", 14), ("Finding and place", 76)];
        Part::new("findings", "Findings", vec![table_or(&columns, rows, "Nothing was found.")])
    }

    /// Why the approval accepts a finding, if it does.
    fn accepted<'r>(&self, finding: &Diagnostic, approval: Option<&'r Approval>) -> Option<&'r str> {
        let own = finding.place.source == self.now.procedure.source;
        let step = if own { step_at(self.now.procedure, finding.place.span.start) } else { None };
        let mut accepted = approval?.accepted.iter();
        accepted
            .find(|one| one.code == finding.code && one.step.as_ref() == step)
            .map(|one| one.reason.as_str())
    }

    fn silenced(&self) -> Part {
        let row = |one: &&Accepted| {
            let lines = vec![
                Line::from(one.finding.message.as_str()),
                Line::from(shown(&self.now, &one.place)).toned(Tone::Place),
            ];
            vec![Cell::from(one.finding.code), Cell::from_lines(lines), Cell::from(one.reason.as_str())]
        };
        let rows = self.silenced.iter().map(row).collect();
        let columns = [("Code", 10), ("What was found, and where it is accepted", 50), ("Reason", 40)];
        let table = table_or(&columns, rows, "The authors accept nothing.");
        Part::new("accepted", "Findings that the authors accept at their place", vec![table])
    }

    fn hazards(&self) -> Part {
        let block = match &self.matrix {
            Some(matrix) => Block::Matrix(Box::new(matrix.clone())),
            None => {
                Block::line(Line::from("Documents have errors: there is no matrix.").toned(Tone::Against))
            }
        };
        Part::new("matrix", "Hazards and controls", vec![block])
    }

    fn proof(&self) -> Option<&Proof> {
        self.now.checked.and_then(|checked| checked.proof.as_ref())
    }

    fn proved_words(&self) -> (String, bool) {
        let Some(proof) = self.proof() else {
            return ("nothing was proved: documents have errors".to_owned(), false);
        };
        let (all, open) = (proof.obligations, proof.refuted.len());
        match &proof.ended {
            Some(_) => ("not proved: the search reached its limit".to_owned(), false),
            None if open == 0 => (
                format!(
                    "{all} of {all} obligations hold on every path, over {} sets of states; {}",
                    proof.boxes,
                    self.second_words()
                ),
                true,
            ),
            None => (format!("{open} of {all} obligations are refuted"), false),
        }
    }

    fn second_words(&self) -> String {
        let agrees = self.now.checked.is_some_and(|checked| checked.second == Second::Agrees);
        match self.certificate.filter(|_| agrees) {
            Some(certificate) => format!("checked by a second program, certificate {certificate}"),
            None => "not checked by a second program".to_owned(),
        }
    }

    fn proved(&self) -> Part {
        let (words, sound) = self.proved_words();
        let sentence = Line::from(format!("Checked against the stated rules: {words}."));
        let mut blocks = vec![Block::line(if sound { sentence } else { sentence.toned(Tone::Against) })];
        if let Some(proof) = self.proof() {
            let mut refuted = Counts::default();
            proof.refuted.iter().for_each(|one| refuted.count(one.obligation));
            let holds =
                if proof.ended.is_none() { "hold on every path" } else { "not refuted, and not proved" };
            let rows =
                kinds(&proof.counts).into_iter().zip(kinds(&refuted)).map(|((kind, all), (_, open))| {
                    let mut lines = vec![Line::from(format!("{} {holds}", all.saturating_sub(open)))];
                    if open > 0 {
                        lines.push(Line::from(format!("{open} refuted")).toned(Tone::Against));
                    }
                    vec![Cell::from(kind), Cell::from_lines(lines)]
                });
            blocks.push(table(&[("Kind", 62), ("Proved", 38)], rows.collect()));
        }
        Part::new("proved", "What was proved", blocks)
    }

    fn waits(&self) -> Part {
        let machine = self.now.checked.and_then(|checked| checked.machine.as_ref());
        let waits = machine.map_or_else(Waits::default, |machine| longest_waits(self.now.library, machine));
        let time = |millis| Duration::from_millis(millis).to_string();
        let rows = waits
            .steps
            .iter()
            .map(|(step, millis)| vec![Cell::from(step.as_str()), Cell::from(time(*millis))]);
        let table =
            table_or(&[("Step", 60), ("At most", 40)], rows.collect(), "There is nothing to wait for.");
        Part::new("waits", format!("Longest wait in one run: {}", time(waits.total_ms)), vec![table])
    }

    fn stops(&self) -> Part {
        let Some(Stop { how: _, rows, looks: _, unseen: _, whole, cannot }) = &self.stop else {
            let none = Block::line(Line::from("No way was worked out.").toned(Tone::Aside));
            return Part::new("stops", "If work stops", vec![none]);
        };
        let row = |StopRow { at, lines, is_known }: &StopRow| {
            let lines = plan(lines).map(|line| if *is_known { line } else { line.toned(Tone::Against) });
            vec![Cell::from(at.as_str()), Cell::from_lines(lines.collect())]
        };
        let rows = rows.iter().map(row).collect();
        let mut blocks = vec![table_or(&[("At", 20), ("Do first", 80)], rows, "No way was worked out.")];
        blocks.push(Block::Heading("The plan for the whole machine, whatever is found".to_owned()));
        blocks.push(match whole {
            Some(whole) => Block::Lines(plan(whole).collect()),
            None => Block::line(Line::from("There is none.").toned(Tone::Against)),
        });
        blocks.push(Block::line(Line::led("Where the machine cannot be brought to rest", cannot.as_str())));
        Part::new("stops", "If work stops", blocks)
    }
}

/// The lines of a plan; what stands under an answer has a dash for each.
fn plan(lines: &[PlanLine]) -> impl Iterator<Item = Line> {
    lines.iter().map(|PlanLine { depth, kind: _, text }| Line::from("– ".repeat(*depth) + text))
}

fn tone(good: bool) -> Tone {
    if good { Tone::For } else { Tone::Against }
}

/// What is to be proved, kind by kind.
fn kinds(counts: &Counts) -> [(&'static str, usize); 8] {
    let Counts { needs, rules, mends, unseen, promises, answers, stops, resumes } = *counts;
    [
        ("Preconditions of steps and of their types of work", needs),
        ("Rules that the start or an act could break", rules),
        ("Places where the next act ends what a look found broken", mends),
        ("What a start by hand requires though nobody can see it", unseen),
        ("Promises at the end, and what acts wrote back as usual", promises),
        ("Questions with an answer for whatever may be so", answers),
        ("Places where work can be stopped, and the plan for the whole machine", stops),
        ("Conditions that somebody can make sure of again after an interruption", resumes),
    ]
}
