//! The pass of all rules over one document. A text, a step, a source of energy is looked at once, by every rule about it.

use crate::accept::{self, Accepted};
use crate::context::Context;
use crate::isolation::Isolation;
use crate::rule::{
    EquipmentRule, Finding, IsolationRule, Judge, Pointer, ProcedureRule, ProofRule, Rule, SizeRule,
    StepRule, TextRule, UnusedRule,
};
use crate::rules;
use crate::text::Text;
use crate::written::{WrittenEquipment, WrittenProcedure};
use document::model::{Equipment, Procedure};
use document::{Diagnostic, Document, Library, Place};
use machine::{CompileError, Machine};
use std::sync::LazyLock;

/// The rules of each kind. Findings are told by rule, and under each rule in written order.
#[derive(Default)]
struct Kinds {
    texts: Vec<Entry<TextRule>>,
    steps: Vec<Entry<StepRule>>,
    procedures: Vec<Entry<ProcedureRule>>,
    isolations: Vec<Entry<IsolationRule>>,
    equipment: Vec<Entry<EquipmentRule>>,
    unused: Vec<Entry<UnusedRule>>,
    sizes: Vec<Entry<SizeRule>>,
    proofs: Vec<Entry<ProofRule>>,
}

/// A rule with its function, and how early its findings are told: those about single texts come first.
struct Entry<F> {
    order: (bool, usize),
    rule: &'static Rule,
    judge: F,
}

static KINDS: LazyLock<Kinds> = LazyLock::new(|| {
    let mut kinds = Kinds::default();
    for (at, rule) in rules::all().enumerate() {
        let order = (true, at);
        match rule.judge {
            Judge::Text(judge) => kinds.texts.push(Entry { order: (false, at), rule, judge }),
            Judge::Step(judge) => kinds.steps.push(Entry { order, rule, judge }),
            Judge::Procedure(judge) => kinds.procedures.push(Entry { order, rule, judge }),
            Judge::Isolation(judge) => kinds.isolations.push(Entry { order, rule, judge }),
            Judge::Equipment(judge) => kinds.equipment.push(Entry { order, rule, judge }),
            Judge::Unused(judge) => kinds.unused.push(Entry { order, rule, judge }),
            Judge::Size(judge) => kinds.sizes.push(Entry { order, rule, judge }),
            Judge::Proof(judge) => kinds.proofs.push(Entry { order, rule, judge }),
        }
    }
    kinds
});

/// What was found so far in one document.
#[derive(Default)]
struct Found(Vec<((bool, usize), &'static Rule, Finding<Pointer>)>);

impl Found {
    fn add<F>(&mut self, entry: &Entry<F>, findings: impl IntoIterator<Item = Finding<Pointer>>) {
        self.0.extend(findings.into_iter().map(|finding| (entry.order, entry.rule, finding)));
    }

    fn add_texts(&mut self, texts: &[Text<'_>], equipment: &Equipment) {
        for text in texts {
            for entry in &KINDS.texts {
                let remark = (entry.judge)(text, equipment);
                self.add(
                    entry,
                    remark.map(|remark| {
                        let message = format!("{} {}", text.subject(), remark.message);
                        Finding::at_key(&text.at, message).help(remark.help)
                    }),
                );
            }
        }
    }

    /// Parts what is told from what is accepted, and tells of entries that accept nothing.
    fn told_and_accepted<T>(
        mut self,
        mut entries: Vec<accept::Entry<'_>>,
        document: &Document<T>,
    ) -> (Vec<Diagnostic>, Vec<Accepted>) {
        self.0.sort_by_key(|(order, ..)| *order);
        let mut told = Vec::new();
        let mut accepted = Vec::new();
        for (_, rule, finding) in self.0 {
            let entry = accept::nearest(&mut entries, rule.code, &finding.at);
            let finding = rule.diagnostic(finding.in_document(document));
            match entry {
                Some(entry) => accepted.push(entry.accept(finding, document)),
                None => told.push(finding),
            }
        }
        for (unused, at) in accept::unused(&entries) {
            for entry in &KINDS.unused {
                told.extend((entry.judge)(&unused).map(|remark| {
                    let finding = Finding::at_key(at, remark.message).help(remark.help);
                    entry.rule.diagnostic(finding.in_document(document))
                }));
            }
        }
        (told, accepted)
    }
}

/// What the rules say of one procedure as it is written, and what its author accepted of it.
pub(crate) fn procedure(
    library: &Library,
    document: &Document<Procedure>,
    equipment: &Equipment,
    compiled: Option<&Machine>,
) -> (Vec<Diagnostic>, Vec<Accepted>) {
    let written = WrittenProcedure::new(library, &document.model, equipment, compiled);
    let mut found = Found::default();
    found.add_texts(&written.texts, equipment);
    for step in &written.steps {
        for entry in &KINDS.steps {
            found.add(entry, (entry.judge)(step, &written));
        }
    }
    for isolation in &Isolation::all(&written) {
        for entry in &KINDS.isolations {
            found.add(entry, (entry.judge)(isolation));
        }
    }
    for entry in &KINDS.procedures {
        found.add(entry, (entry.judge)(&written));
    }
    found.told_and_accepted(accept::entries_of_procedure(&written), document)
}

/// The same of an equipment document.
pub(crate) fn equipment(
    library: &Library,
    document: &Document<Equipment>,
) -> (Vec<Diagnostic>, Vec<Accepted>) {
    let written = WrittenEquipment::new(library, &document.model);
    let mut found = Found::default();
    found.add_texts(&written.texts, &document.model);
    for entry in &KINDS.equipment {
        found.add(entry, (entry.judge)(&written));
    }
    found.told_and_accepted(accept::entries_of_equipment(&document.model), document)
}

/// What the rules say of a procedure that is too large to be compiled.
pub(crate) fn too_large(document: &Document<Procedure>, error: &CompileError) -> Vec<Diagnostic> {
    KINDS.sizes.iter().map(|entry| entry.rule.diagnostic((entry.judge)(document, error))).collect()
}

/// What the rules say of what was proved. Rounds of a repeat tell the same fault once, with the shortest run.
pub(crate) fn proved(context: &Context<'_>) -> Vec<Diagnostic> {
    let mut told: Vec<Diagnostic> = Vec::new();
    for entry in &KINDS.proofs {
        for finding in (entry.judge)(context) {
            let finding = entry.rule.diagnostic(finding);
            let same = |other: &&mut Diagnostic| key(other) == key(&finding);
            match told.iter_mut().find(same) {
                Some(other) if finding.trace.len() < other.trace.len() => *other = finding,
                Some(_) => {}
                None => told.push(finding),
            }
        }
    }
    told
}

/// By what two findings of several rounds are the same.
fn key(finding: &Diagnostic) -> (&'static str, Place, &str) {
    (finding.code, finding.place, &finding.message)
}
