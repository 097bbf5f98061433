//! P04: a way to done does not leave what the procedure promises.

use crate::context::Context;
use crate::story::story;
use crate::words::{conjunct_words, values_words};
use document::Diagnostic;
use machine::PromiseSource;
use proof::Obligation;

pub(crate) const CODE: &str = "P04";

pub(crate) fn findings(context: &Context<'_>) -> Vec<Diagnostic> {
    unkept(context, PromiseSource::Leaves)
        .into_iter()
        .map(|unkept| {
            let name = &context.machine.layout.var(unkept.conjunct.var).name;
            let message = format!("`{}` promises {}{}", context.machine.procedure, unkept.due, unkept.may);
            Diagnostic::error(CODE, context.procedure.key_place(&format!("/leaves/{name}")), message)
                .help("make it so on every way to done, or promise what is really left")
                .trace(unkept.trace)
        })
        .collect()
}

/// A promise that some way to done does not keep.
pub(crate) struct Unkept {
    pub(crate) conjunct: machine::Conjunct,
    pub(crate) due: String,
    pub(crate) may: String,
    pub(crate) trace: Vec<String>,
}

pub(crate) fn unkept(context: &Context<'_>, source: PromiseSource) -> Vec<Unkept> {
    let layout = &context.machine.layout;
    let mut unkept = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Promise(promise) = refuted.obligation else { continue };
        let promise = context.machine.promises[promise];
        if promise.source != source {
            continue;
        }
        let var = promise.conjunct.var;
        unkept.push(Unkept {
            conjunct: promise.conjunct,
            due: conjunct_words(layout, promise.conjunct),
            may: refuted.trace.as_ref().map_or_else(String::new, |trace| {
                format!(
                    ", but it may be {} at done",
                    values_words(layout, var, trace.last().field(layout, var))
                )
            }),
            trace: refuted.trace.iter().flat_map(|trace| story(context, trace)).collect(),
        });
    }
    unkept
}
