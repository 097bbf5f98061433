//! All procedures with their status, and what came back from the field.

use super::table;
use crate::approval_status::ApprovalStatus;
use crate::place::step_names;
use card::sheet::{Block, Cell, Line, Part, Sheet, Tone};
use document::Diagnostic;
use document::model::Procedure;
use std::collections::BTreeMap;

/// How many walks of each procedure are shown.
const WALKS: usize = 5;

/// What the records say of one procedure.
#[derive(Clone, Debug, Default)]
pub struct Field {
    /// Its walks, latest first: a line each.
    pub walks: Vec<String>,
    /// What came back from the field by the names of the steps, in the order in which it was said.
    pub steps: BTreeMap<String, Vec<String>>,
}

/// One procedure in the list.
#[derive(Clone, Debug)]
pub struct Listed {
    /// Its name.
    pub id: String,
    /// What people call it.
    pub title: String,
    /// Its revision.
    pub revision: u32,
    /// How it stands, in two or three words.
    pub word: &'static str,
    /// The same with what there is to say of it.
    pub sentence: String,
    /// Whether it is approved.
    pub good: bool,
    /// The last day of its approval; none where it has none that counts for this content.
    pub until: Option<String>,
    /// Open findings, counted in words.
    pub findings: String,
    /// Its last walks, latest first: a line each.
    pub walks: Vec<String>,
    /// What came back from the field, by step in the order of the procedure: the step, and what was said or found.
    pub field: Vec<(String, Vec<String>)>,
    /// Where its review is; none where there is no page for it.
    pub review: Option<String>,
}

impl Listed {
    /// A procedure with how it stands, what was found, and what came back from the field.
    #[must_use]
    pub fn new(model: &Procedure, status: &ApprovalStatus, open: &[Diagnostic], mut field: Field) -> Self {
        field.walks.truncate(WALKS);
        let mut steps: Vec<(String, Vec<String>)> = Vec::new();
        for step in step_names(model) {
            steps.extend(field.steps.remove(step).map(|remarks| (step.to_owned(), remarks)));
        }
        // Steps of performed procedures, and those that are gone since.
        steps.extend(field.steps);
        Self {
            id: model.procedure.to_string(),
            title: model.title.clone(),
            revision: model.revision,
            word: status.word(),
            sentence: status.sentence(),
            good: status.is_approved(),
            until: match status {
                ApprovalStatus::Approved(approval) | ApprovalStatus::Expired(approval) => {
                    Some(approval.until.to_string())
                }
                // What was written about another content or meaning, or was taken back, is valid until no day.
                ApprovalStatus::Changed(_)
                | ApprovalStatus::EarlierMeaning(_)
                | ApprovalStatus::Withdrawn(_)
                | ApprovalStatus::Never
                | ApprovalStatus::Void(_) => None,
            },
            findings: match open.is_empty() {
                true => "nothing found".to_owned(),
                false => card::report::summary(open),
            },
            walks: field.walks,
            field: steps,
            review: None,
        }
    }
}

/// The library as a sheet: `on` is the day by which approvals were judged, `left_out` what cannot be used.
#[must_use]
pub fn library(on: &str, procedures: &[Listed], left_out: &[String]) -> Sheet {
    let mut rows: Vec<Vec<Cell>> = procedures.iter().map(row).collect();
    rows.extend(left_out.iter().map(|name| {
        vec![
            Cell::from(name.as_str()),
            Cell::from("–"),
            Cell::from(Line::from("cannot be used").toned(Tone::Against)),
            Cell::from("–"),
            Cell::from("its document has errors"),
        ]
    }));
    let columns =
        [("Procedure", 34), ("Revision", 12), ("Standing", 20), ("Valid until", 16), ("Findings", 18)];
    let mut parts = vec![Part::new("all", "All procedures", vec![table(&columns, rows)])];
    parts.extend(procedures.iter().map(part));
    Sheet {
        title: "Procedures".to_owned(),
        running: "Procedures".to_owned(),
        day: Some(on.to_owned()),
        facts: vec![("Approvals as of".to_owned(), on.to_owned())],
        parts,
        ..Sheet::default()
    }
}

fn row(one: &Listed) -> Vec<Cell> {
    let tone = if one.good { Tone::For } else { Tone::Against };
    let title = Line::from(one.title.as_str()).to(format!("#{}", one.id));
    vec![
        Cell::from_lines(vec![title, Line::from(one.id.as_str()).toned(Tone::Aside)]),
        Cell::from(one.revision.to_string()),
        Cell::from(Line::from(one.word).toned(tone)),
        Cell::from(one.until.as_deref().unwrap_or("–")),
        Cell::from(one.findings.as_str()),
    ]
}

fn part(one: &Listed) -> Part {
    let mut blocks = vec![Block::line(Line::from(one.sentence.as_str()))];
    if let Some(review) = &one.review {
        blocks.push(Block::line(Line::from("Review this procedure").to(review)));
    }
    if one.walks.is_empty() {
        blocks.push(Block::line(Line::from("No walk is recorded.").toned(Tone::Aside)));
    } else {
        blocks.push(Block::Heading("Last walks".to_owned()));
        blocks.push(Block::Lines(one.walks.iter().map(|walk| Line::from(walk.as_str())).collect()));
    }
    if !one.field.is_empty() {
        blocks.push(Block::Heading("From the field, step by step".to_owned()));
        let rows = one.field.iter().map(|(step, remarks)| {
            let lines = remarks.iter().map(|remark| Line::from(remark.as_str())).collect();
            vec![Cell::from(step.as_str()), Cell::from_lines(lines)]
        });
        blocks.push(table(&[("Step", 25), ("Remarks and deviations", 75)], rows.collect()));
    }
    Part::new(&one.id, one.title.as_str(), blocks)
}
