//! What a step needs.

use crate::context::Context;
use crate::rule::{Finding, Rule};
use crate::story::story;
use crate::words::{conjunct_words, cube_words, values_words};
use crate::written::in_machine;
use document::Place;
use document::model::Name;
use machine::{Choice, Conjunct, Effect, NeedSource, Node, NodeKind, Trace, VarId};
use proof::Obligation;

pub(super) const RULES: &[Rule] = &[rule!(
    "P01",
    Error,
    "A step can be reached while something it needs is not so",
    Proof(precondition_unmet)
)];

fn precondition_unmet(context: &Context<'_>) -> Vec<Finding<Place>> {
    let layout = &context.machine.layout;
    let mut findings = Vec::new();
    for refuted in &context.proof.refuted {
        let Obligation::Need { node, need } = refuted.obligation else { continue };
        let node = context.node(node);
        let need = &node.needs[need];
        let name = &layout.var(need.conjunct.var).name;
        let needed = conjunct_words(layout, need.conjunct);
        let (key, why) = match &need.source {
            NeedSource::Step => (format!("requires/{name}"), String::new()),
            NeedSource::Work(work) => ("work".to_owned(), format!(" for the work `{work}`")),
            NeedSource::Action(action) => ("action".to_owned(), format!(" for the action `{action}`")),
            NeedSource::Procedure(procedure) => ("perform".to_owned(), format!(" to perform `{procedure}`")),
            NeedSource::Sight(seen) => {
                let var = layout.find(seen);
                let label = var.map_or_else(|| seen.words(), |var| layout.var(var).label.clone());
                (context.look_key(node), format!(" so that {label} can be seen"))
            }
        };
        let may = refuted.trace.as_ref().map_or_else(String::new, |trace| {
            let value =
                values_words(layout, need.conjunct.var, trace.last().field(layout, need.conjunct.var));
            format!(", but it may be {value} there")
        });
        let message = format!("{} needs {needed}{why}{may}", context.step_words(node));
        let mut finding = Finding::at_place(context.key(node, &key), message);
        finding = match &need.source {
            NeedSource::Step => finding,
            NeedSource::Work(work) => finding.note(
                context.equipment.key_place(&format!("/work/{work}/requires/{name}")),
                "asked for here",
            ),
            NeedSource::Action(action) => finding.note(
                context.equipment.key_place(&format!("/actions/{action}/requires/{name}")),
                "asked for here",
            ),
            NeedSource::Sight(seen) => finding.note(
                context.equipment.key_place(&format!("/conditions/{seen}/seen_when/{name}")),
                "asked for here",
            ),
            NeedSource::Procedure(procedure) => match context.library.procedures.get(procedure) {
                Some(inner) => finding.note(inner.key_place(&format!("/requires/{name}")), "asked for here"),
                None => finding,
            },
        };
        let cause = Cause::of(context, refuted.trace.as_ref(), node, need.conjunct);
        findings.push(
            finding
                .cause(cause.key(context, node, need.conjunct.var))
                .help(cause.help(context, need.conjunct))
                .trace(refuted.trace.iter().flat_map(|trace| story(context, trace)).collect()),
        );
    }
    findings
}

/// Why it is not so.
enum Cause<'a> {
    /// A look has just said no, and the way of no leads here.
    FailedLook(&'a Node),
    /// It was found or made so, which does not last: a cause stands over it.
    DoesNotLast(&'a Node),
    /// A step further down makes it so.
    TooLate(&'a Name),
    /// Nothing makes it so, or not for long enough.
    Missing,
}

impl<'a> Cause<'a> {
    fn of(context: &Context<'a>, trace: Option<&Trace>, node: &Node, needed: Conjunct) -> Self {
        let look = trace.and_then(|trace| failed_look(context, trace, needed.var));
        let lasts = || trace.and_then(|trace| does_not_last(context, trace, needed)).map(Self::DoesNotLast);
        let late = || made_later(context, node, needed).map(Self::TooLate);
        look.map(Self::FailedLook).or_else(lasts).or_else(late).unwrap_or(Self::Missing)
    }

    /// What it has in common with others that the same mend serves: everything that a look leaves open is told with it; and
    /// what is wrong in a performed procedure is told once, whoever performs it.
    fn key(&self, context: &Context<'_>, node: &Node, var: VarId) -> String {
        match self {
            Self::FailedLook(look) => context.cause_at(look, ""),
            Self::DoesNotLast(_) | Self::TooLate(_) | Self::Missing => {
                context.cause_at(node, &context.machine.layout.var(var).name)
            }
        }
    }

    fn help(&self, context: &Context<'_>, needed: Conjunct) -> String {
        let layout = &context.machine.layout;
        let words = conjunct_words(layout, needed);
        match self {
            Self::FailedLook(look) => {
                return format!(
                    "a look at {} says that it is not so, and its way of no leads on to this: \
                 lead its `otherwise` to what puts it right, into a `repeat`, or to `stop`",
                    context.step_words(look)
                );
            }
            Self::DoesNotLast(node) => {
                let causes: Vec<String> = context
                    .machine
                    .standing_over(needed.var)
                    .map(|cause| cube_words(layout, cause))
                    .collect();
                return format!(
                    "that {words} at {} does not last: by `lost_when` it ends with {}, which may be so then or come about \
                     by itself; make sure before it that this is not so",
                    context.step_words(node),
                    causes.join(" or ")
                );
            }
            Self::TooLate(step) => {
                return format!("step `{step}` leaves {words}, but comes after it: move it before this step");
            }
            Self::Missing => {}
        }
        match context.machine.settling.iter().find(|settling| settling.var == needed.var) {
            Some(settling) if needed.set & settling.from == 0 => {
                let time = calc::quantity::Duration::from_millis(settling.after);
                match &settling.holds {
                    Some(under) => {
                        format!("before it, wait {time} with {} all the while", cube_words(layout, under))
                    }
                    None => format!("wait {time} between what sets it and this step"),
                }
            }
            _ => format!("before it, put a step that leaves {words}, or a `confirm` of it"),
        }
    }
}

/// The look whose no, or third answer, was the last to change a condition on a run.
fn failed_look<'a>(context: &Context<'a>, trace: &Trace, var: VarId) -> Option<&'a Node> {
    let layout = &context.machine.layout;
    let befores = std::iter::once(&trace.start).chain(trace.moves.iter().map(|step| &step.after));
    let changed = trace
        .moves
        .iter()
        .zip(befores)
        .filter(|(step, before)| before.field(layout, var) != step.after.field(layout, var));
    let (step, _) = changed.last()?;
    let node = context.machine.nodes.get(step.place.node.0 as usize)?;
    let choice = node.outcomes.get(step.outcome)?.choice;
    let failed = matches!(choice, Choice::Fail | Choice::Is(_) | Choice::CannotTell);
    (failed && !matches!(node.kind, NodeKind::Verify { .. })).then_some(node)
}

/// The act or look that was the last to make it so on a run, where a cause ends that at once.
fn does_not_last<'a>(context: &Context<'a>, trace: &Trace, needed: Conjunct) -> Option<&'a Node> {
    let machine = context.machine;
    let hangs_on: Vec<VarId> =
        machine.standing_over(needed.var).flat_map(|cause| &cause.0).map(|part| part.var).collect();
    if hangs_on.is_empty() {
        return None;
    }
    let moves = trace.moves.iter().rev().filter_map(|step| {
        let node = machine.nodes.get(step.place.node.0 as usize)?;
        Some((node, node.outcomes.get(step.outcome)?))
    });
    for (node, outcome) in moves {
        for effect in outcome.effects.iter().rev() {
            let makes = match *effect {
                Effect::Write(made) | Effect::Look(made) | Effect::Find(made) => made.set & !needed.set == 0,
                Effect::Open(_) | Effect::Lose(_) | Effect::Verify(_) => false,
            };
            if effect.var() == needed.var {
                return makes.then_some(node);
            }
            if hangs_on.contains(&effect.var()) {
                return None;
            }
        }
    }
    None
}

/// A step after this one in the same list that leaves it so.
fn made_later<'a>(context: &Context<'a>, node: &Node, needed: Conjunct) -> Option<&'a Name> {
    let (list, index) = node.pointer.rsplit_once('/')?;
    let procedure = &context.library.procedures.get(&node.procedure)?.model;
    let index: usize = index.parse().ok()?;
    let later = (index + 1..).map_while(|at| procedure.step_at(&format!("{list}/{at}")));
    let mut making = later.filter(|step| {
        let action = step.kind.action().and_then(|name| context.equipment.model.actions.get(name));
        let leaves = action.map(|action| &action.leaves).into_iter().chain([&step.common.leaves]);
        let made = leaves.filter_map(|leaves| in_machine(&context.machine.layout, leaves));
        made.flat_map(|made| made.0).any(|made| made.var == needed.var && made.set & !needed.set == 0)
    });
    making.next().map(|step| &step.common.id)
}
