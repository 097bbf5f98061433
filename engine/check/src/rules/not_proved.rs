//! P07: the exploration ended at its budget.

use crate::context::Context;
use document::Diagnostic;

pub(crate) const CODE: &str = "P07";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
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
    let finding = Diagnostic::error(CODE, context.id_place(node), message);
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
