//! Whether what a walk goes by is proved under the equipment as it stands now, and by what its machine is left.

use crate::asked_for_more::asked_for_more;
use crate::asked_otherwise::asked_otherwise;
use check::{Budget, Report, check_one};
use document::model::{Equipment, Name};
use document::{InputFile, Library, Severity, Source};
use machine::Machine;
use review::{Group, Side, What, compare};
use walk::Walk;

/// What the equipment as it stands now says of a walk that goes by what it began with.
#[derive(Debug, Default)]
pub struct Judged {
    /// Why the walk is not gone on with; none where what it goes by is proved.
    pub unproved: Option<Unproved>,
    /// The equipment as it stands now, where it says otherwise than what the walk goes by: the machine is left by it.
    pub ground: Option<Ground>,
}

/// What a walk goes by is not proved any more.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Unproved {
    /// Why, in a sentence.
    pub why: String,
    /// What changed in the equipment, a sentence each.
    pub changes: Vec<String>,
}

/// The equipment as it stands now, with the procedure of a walk as a machine of that.
#[derive(Debug)]
pub struct Ground {
    library: Library,
    machine: Machine,
    equipment: Name,
}

impl Ground {
    pub(crate) fn machine(&self) -> &Machine {
        &self.machine
    }

    pub(crate) fn library(&self) -> &Library {
        &self.library
    }

    pub(crate) fn equipment(&self) -> Option<&Equipment> {
        self.library.equipment.get(&self.equipment).map(|document| &document.model)
    }
}

const UNDER_WAY: &str = "The equipment was changed since this walk began, and whether what the walk goes by is still proved is \
                         being worked out: it takes a minute at most.";

impl Judged {
    /// Nothing is known yet: until it is, the walk is held as one that is not proved any more.
    #[must_use]
    pub fn under_way() -> Self {
        Self::unproved(UNDER_WAY.to_owned())
    }

    /// Whether that is all that is known.
    #[must_use]
    pub fn is_under_way(&self) -> bool {
        self.unproved.as_ref().is_some_and(|unproved| unproved.why == UNDER_WAY)
    }

    fn unproved(why: String) -> Self {
        Self { unproved: Some(Unproved { why, changes: Vec::new() }), ground: None }
    }
}

/// So many differences are told at most.
const CHANGES_MAX: usize = 8;

/// Judges a walk by the documents in force. What they say of its procedure does not matter: a walk keeps the procedure it
/// began with, and what that performs. It is the equipment that has to bear it.
#[must_use]
pub fn judged(walk: &Walk, in_force: &Library, budget: &Budget<'_>) -> Judged {
    let (begin, walked) = (walk.begin(), walk.library());
    let name = Name::from(begin.equipment.as_str());
    let Some(now) = in_force.equipment.get(&name) else {
        return Judged::unproved(format!(
            "The equipment {name} is not among the documents that can be read now."
        ));
    };
    let kept = walked.equipment.get(&name);
    let own = walked
        .relies_on(&begin.procedure)
        .into_iter()
        .filter(|id| kept.is_none_or(|kept| kept.source != *id));
    let sources = own.filter_map(|id| walked.sources.get(id.0 as usize));
    let sources = sources.chain(in_force.sources.get(now.source.0 as usize));
    let reading = document::read(&sources.map(file).collect::<Vec<_>>());
    let reads = reading.findings.iter().all(|finding| finding.severity < Severity::Error);
    if reads && reading.library.content_hash(&begin.procedure).as_ref() == Some(&begin.content) {
        return Judged::default();
    }
    let procedure = Name::from(begin.procedure.as_str());
    let checked = match check_one(&reading.library, &reading.findings, &procedure, budget) {
        Ok(checked) => checked,
        Err(fault) => return Judged::unproved(format!("Whether it is proved cannot be told: {fault}.")),
    };
    let mut report = Report::new(reading, vec![checked]);
    let more = kept.map(|kept| asked_for_more(&kept.model, &now.model)).unwrap_or_default();
    let otherwise =
        match (walked.equipment_used(&begin.procedure), report.library.equipment_used(&begin.procedure)) {
            (Some(old), Some(new)) => asked_otherwise(&old, &new),
            // What cannot be compared is not gone on with.
            (Some(_) | None, Some(_) | None) => vec!["all of it".to_owned()],
        };
    let why = match (not_proved(&report, &procedure), &more[..], &otherwise[..]) {
        (Some(finding), ..) => Some(format!(
            "What this walk goes by is not proved any more under the equipment as it stands now: {finding}."
        )),
        (None, [], []) => None,
        (None, [], otherwise) => Some(format!(
            "The equipment as it stands now says otherwise than this walk goes by: {}.",
            otherwise.join(", ")
        )),
        (None, more, _) => Some(format!(
            "The equipment as it stands now asks for more than this walk looks at or waits for: {}.",
            more.join(", ")
        )),
    };
    let unproved =
        why.map(|why| Unproved { why, changes: changes(walked, &report.library, &procedure, budget) });
    let machine = report.procedures.pop().and_then(|checked| checked.machine);
    let ground = machine.map(|machine| Ground { library: report.library, machine, equipment: name });
    Judged { unproved, ground }
}

fn file(source: &Source) -> InputFile {
    InputFile { name: source.name.clone(), bytes: source.text.clone().into_bytes() }
}

/// Why a procedure is not proved under what is written: the first finding. None where it is.
#[must_use]
pub fn not_proved(report: &Report, procedure: &str) -> Option<String> {
    if report.is_sound(procedure) {
        return None;
    }
    let first = report.errors_of(procedure).into_iter().next();
    Some(first.map_or_else(|| "it was not looked at to the end".to_owned(), |finding| finding.message))
}

/// What differs in the equipment, for people at the machine.
fn changes(walked: &Library, now: &Library, procedure: &str, budget: &Budget<'_>) -> Vec<String> {
    let (Some(old), Some(new)) = (Side::find(walked, procedure, None), Side::find(now, procedure, None))
    else {
        return Vec::new();
    };
    let equipment = &new.equipment.model;
    let told = |message: &str| {
        let labels = equipment.conditions.keys().map(|name| (name, equipment.label(name)));
        let told =
            labels.fold(message.to_owned(), |told, (name, label)| told.replace(&format!("`{name}`"), &label));
        format!("{}.", told.trim_end_matches('.'))
    };
    let rules =
        new.equipment.model.never.iter().filter(|(name, _)| !old.equipment.model.never.contains_key(*name));
    let rules = rules.map(|(name, rule)| {
        let why = rule.why.as_ref().map(|why| format!(" {why}")).unwrap_or_default();
        format!("A new rule: this must never be so: {}.{why}", name.words())
    });
    let compared = compare(&old, &new, budget).changes;
    let others = compared
        .iter()
        .filter(|change| change.group != Group::Wording && change.what != What::RuleAdded)
        .map(|change| told(&change.message));
    let mut all: Vec<String> = rules.chain(others).collect();
    if all.len() > CHANGES_MAX {
        let rest = all.len() - CHANGES_MAX;
        all.truncate(CHANGES_MAX);
        all.push(format!("And {rest} more."));
    }
    all
}
