//! P05: a way to done leaves a condition away from its normal value.

use super::broken_promise::unkept;
use crate::context::Context;
use document::Diagnostic;
use machine::PromiseSource;

pub(crate) const CODE: &str = "P05";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    unkept(context, PromiseSource::Normal)
        .into_iter()
        .map(|unkept| {
            let name = &context.machine.layout.var(unkept.conjunct.var).name;
            let message =
                format!("`{}` has to end with {}{}", context.machine.procedure, unkept.due, unkept.may);
            let normal = context.equipment.place(&format!("/conditions/{name}/normal"));
            // The step that last moved it is where something is missing after; without one, the procedure as a whole.
            let place = unkept.last.map_or_else(
                || context.procedure.place("/procedure"),
                |last| context.id_place(context.node(last)),
            );
            Diagnostic::error(CODE, place, message)
                .note(normal, "its normal value")
                .help(format!("put it back, or say under `leaves` how `{name}` is handed on"))
                .trace(unkept.trace)
        })
        .collect()
}
