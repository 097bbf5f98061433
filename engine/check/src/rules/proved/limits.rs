//! Where the proof ends.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use document::model::Procedure;
use document::{Document, Place};
use machine::CompileError;

pub(super) const RULES: &[Rule] = &[
    rule!("P07", Error, "The search ended before everything was looked at", Proof(not_proved)),
    rule!("P08", Error, "Written out in full, a procedure has too many places", Size(too_large)),
];

fn not_proved(context: &Context<'_>) -> Vec<Finding<Place>> {
    let Some(ended) = &context.proof.ended else { return Vec::new() };
    let node = context.node(ended.at);
    let layout = &context.machine.layout;
    let drivers: Vec<&str> =
        ended.drivers.iter().take(5).map(|&var| layout.var(var).label.as_str()).collect();
    let reached = context.proof.reached.iter().filter(|reached| **reached).count();
    let message = format!(
        "not proved: the budget ended at {}, after {} sets of states; {reached} of {} places were reached by then",
        context.step_words(node),
        context.proof.boxes,
        context.proof.reached.len()
    );
    let finding = Finding::at_place(context.id_place(node), message);
    vec![if drivers.is_empty() {
        finding.help("raise the budget, or split the procedure")
    } else {
        let remark =
            format!("{} sets of states meet here; they differ in {}", ended.sets_there, drivers.join(", "));
        finding
            .note(context.id_place(node), remark)
            .help("raise the budget, or settle these conditions with a `confirm` before the ways part")
    }]
}

fn too_large(procedure: &Document<Procedure>, error: &CompileError) -> Finding<Place> {
    Finding::at_place(procedure.place("/procedure"), format!("not proved: {error}"))
        .help("lower `at_most` where a `repeat` stands inside another, or perform fewer procedures")
}
