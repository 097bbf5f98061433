//! Where the proof ends.

use crate::context::Context;
use crate::rule::{Finding, Pointer, Rule};
use crate::written::WrittenProcedure;
use document::limits::{MAX_RECORD_BYTES, RECORD_HEAD_BYTES};
use document::model::Procedure;
use document::{Document, Place};
use machine::CompileError;
use proof::Limit;

pub(super) const RULES: &[Rule] = &[
    rule!("P07", Error, "The search ended before everything was looked at", Proof(not_proved)),
    rule!("P08", Error, "Written out in full, a procedure has too many places", Size(too_large)),
    rule!("P12", Error, "The documents of a procedure are too long to be walked by", Procedure(too_long)),
];

fn not_proved(context: &Context<'_>) -> Vec<Finding<Place>> {
    let Some(ended) = &context.proof.ended else { return Vec::new() };
    let (limit, more) = match ended.limit {
        Limit::Sets => ("the budget", "raise the budget"),
        Limit::Work => ("the work that goes with the budget", "raise the budget"),
        Limit::Time => ("the time, not the budget,", "give it more time"),
    };
    if ended.plan {
        let message = format!(
            "not proved: {limit} ended in the search for a plan for stopping, from whatever is true to `safe_state`"
        );
        let place = context.equipment.key_place("/safe_state");
        return vec![
            Finding::at_place(place, message).cause(context.equipment.model.equipment.to_string()).help(
                "see that each part of `safe_state` has an act with `restores: true` that needs little, and \
                 give what such acts need an `ask`",
            ),
        ];
    }
    let node = context.node(ended.at);
    let layout = &context.machine.layout;
    let drivers: Vec<&str> =
        ended.drivers.iter().take(5).map(|&var| layout.var(var).label.as_str()).collect();
    let reached = context.proof.reached.iter().filter(|reached| **reached).count();
    let message = format!(
        "not proved: {limit} ended at {}, after {} sets of states; {reached} of {} places were reached by then",
        context.step_words(node),
        context.proof.boxes,
        context.proof.reached.len()
    );
    let finding = Finding::at_place(context.id_place(node), message);
    vec![if drivers.is_empty() {
        finding.help(format!("{more}, or split the procedure"))
    } else {
        let remark =
            format!("{} sets of states meet here; they differ in {}", ended.sets_there, drivers.join(", "));
        finding
            .note(context.id_place(node), remark)
            .help(format!("{more}, or settle these conditions with a `confirm` before the ways part"))
    }]
}

fn too_large(procedure: &Document<Procedure>, error: &CompileError) -> Finding<Place> {
    Finding::at_place(procedure.place("/procedure"), format!("not proved: {error}"))
        .help("lower `at_most` where a `repeat` stands inside another, or perform fewer procedures")
}

/// A walk keeps the documents that it began with in its first record.
fn too_long(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let (library, name) = (written.library, &written.procedure.procedure);
    let (bytes, most) = (library.record_bytes(name), MAX_RECORD_BYTES - RECORD_HEAD_BYTES);
    if bytes <= most {
        return Vec::new();
    }
    let sources = library.relies_on(name).into_iter().filter_map(|id| library.sources.get(id.0 as usize));
    let longest = sources.max_by_key(|source| source.text.len()).map(|source| source.name.as_str());
    let message = format!(
        "`{name}` cannot be walked: a walk keeps its documents in its first record, which holds {most} bytes of them, \
         and here they take {bytes}"
    );
    vec![Finding::at_key("/procedure", message).help(format!(
        "shorten the documents, `{}` first, or perform fewer procedures",
        longest.unwrap_or_default()
    ))]
}
