//! What the views speak of together, and what a view may leave out.

use std::collections::{BTreeMap, BTreeSet};

use form::{Effect, EffectKind, Form, Guard, Node, Outcome, Part, Role, Takes, View};

use crate::refusal::{Reason, Refusal};
use crate::scope::Scope;

/// The values that one answer of a question is for.
pub(crate) type Answer = Vec<Part>;

/// Whether a person stands at a node of this role.
pub(crate) fn is_stood(role: Role) -> bool {
    matches!(role, Role::Stood | Role::Asks | Role::Chooses)
}

fn looks(outcome: &Outcome) -> impl Iterator<Item = &Effect> {
    outcome.effects.iter().filter(|effect| effect.kind == EffectKind::Look)
}

/// The variables that the answers of a question look at, if every answer looks.
pub(crate) fn question(node: &Node) -> Option<Vec<u32>> {
    let mut answers = node.outcomes.iter().filter(|outcome| outcome.takes == Takes::Answer);
    let is_question = node.role == Role::Asks && answers.clone().all(|answer| looks(answer).next().is_some());
    is_question.then(|| answers.by_ref().flat_map(looks).map(|look| look.var).collect())
}

/// What its answers are for. An answer with a guard is one for those variants alone.
pub(crate) fn answers(form: &Form, node: &Node) -> Vec<Answer> {
    let mut all = Vec::new();
    for answer in node.outcomes.iter().filter(|outcome| outcome.takes == Takes::Answer) {
        let seen: Answer = looks(answer).map(|look| Part { var: look.var, set: look.set }).collect();
        match &answer.guard {
            Guard::Always => all.push(seen),
            Guard::Is(cube) => all.push([seen, cube.clone()].concat()),
            Guard::IsNot(cube) => all.extend((0..cube.len()).map(|i| {
                let Part { var, set } = cube[i];
                let outside =
                    Part { var, set: crate::scope::all(form.vars[var as usize].values.len()) & !set };
                [seen.as_slice(), &cube[..i], &[outside]].concat()
            })),
        }
    }
    all
}

/// Whether the views speak of everything together.
pub(crate) fn complete(form: &Form, views: &[View], scopes: &[Scope<'_>]) -> Result<(), Refusal> {
    let missing = |what: String| Err(Reason::NotCovered(what).into());
    let has = |var: u32| scopes.iter().any(|scope| scope.slot(var).is_some());
    for (n, node) in (0..).zip(&form.nodes) {
        let here = || scopes.iter().filter(|scope| scope.follows(n));
        for need in &node.needs {
            if !here().any(|scope| scope.slot(need.var).is_some()) {
                return missing(format!(
                    "the need of `{}` at `{}`",
                    form.vars[need.var as usize].name, node.name
                ));
            }
        }
        // Where nobody asks, some view has to follow the node all the same: another cannot say that it comes to an end.
        let vars = question(node).unwrap_or_default();
        if !here().any(|scope| vars.iter().all(|var| scope.slot(*var).is_some())) {
            return missing(format!("the node `{}` with what is asked there", node.name));
        }
    }
    if let Some(rule) = form.rules.iter().find(|rule| !scopes.iter().any(|scope| scope.speaks_of(&rule.when)))
    {
        return missing(format!("the rule `{}`", rule.name));
    }
    let promised = form.promises.iter().map(|promise| promise.part.var);
    if let Some(var) = promised.chain(form.unseen.iter().map(|part| part.var)).find(|var| !has(*var)) {
        return missing(format!(
            "`{}`, which is promised or has to be so at the start",
            form.vars[var as usize].name
        ));
    }
    for view in views {
        for at in &view.places {
            let role = form.nodes[at.node as usize].role;
            if !is_stood(role) && role != Role::Stop {
                continue;
            }
            let found = at.sets.iter().flat_map(|set| &view.rows[set.0 as usize].found);
            for rule in found.map(|rule| &form.rules[*rule as usize]) {
                if !scopes[0].speaks_of(&rule.when) {
                    return missing(format!("the rule `{}`, for plans", rule.name));
                }
            }
        }
    }
    Ok(())
}

/// The blocks, each with its items.
pub(crate) fn blocks(form: &Form) -> BTreeMap<u32, u32> {
    let mut blocks = BTreeMap::new();
    for node in &form.nodes {
        let Some(block) = node.block else { continue };
        let chosen = node.outcomes.iter().filter_map(|outcome| match outcome.takes {
            Takes::Item(item) => Some(item),
            _ => None,
        });
        let items = chosen.chain(node.item).fold(0, |items, item| items | 1 << item);
        *blocks.entry(block).or_insert(0) |= items;
    }
    blocks
}

/// Whether a view may leave out the items that it does, and which outcomes can move it at which choosing node then: a guard or a
/// stop in an item left out is a move from the choosing node.
pub(crate) fn left_out<'a>(
    form: &'a Form,
    view: &View,
    scope: &Scope<'_>,
) -> Result<Vec<(u32, Vec<&'a Outcome>)>, Reason> {
    let (mut moves, blocks) =
        (Vec::new(), if view.items.is_empty() { BTreeMap::new() } else { blocks(form) });
    for (block, followed) in &view.items {
        if blocks.get(block).is_none_or(|items| items & !followed == 0) {
            continue;
        }
        let no = |node: &Node, why: &str| Err(Reason::LeftOut(format!("at `{}` {why}", node.name)));
        let mut own =
            (0..).zip(&form.nodes).filter(|(_, node)| node.block == Some(*block) && node.item.is_none());
        let (Some((chooser, first)), None) = (own.next(), own.next()) else {
            return Err(Reason::LeftOut(format!("block {block} has not one node that chooses")));
        };
        if first.role != Role::Chooses {
            return no(first, "nobody chooses");
        }
        let is_out = |takes: Takes| matches!(takes, Takes::Item(item) if followed >> item & 1 == 0);
        let mut kinds = BTreeSet::new();
        let mut kept: Vec<&Outcome> = Vec::new();
        for (n, node) in (0..).zip(&form.nodes) {
            for outcome in &node.outcomes {
                let to = &form.nodes[outcome.to as usize];
                if scope.follows(n) && !(n == chooser && is_out(outcome.takes)) {
                    if to.block == Some(*block) && !scope.follows(outcome.to) {
                        return no(node, "an outcome leads into an item left out");
                    }
                    continue;
                }
                if node.block != Some(*block) {
                    continue;
                }
                if let Some(why) = may_be_left_out(scope, *followed, outcome, to, *block) {
                    return no(node, why);
                }
                let is_plain =
                    outcome.guard == Guard::Always && outcome.waits.iter().all(|wait| wait.cube.is_empty());
                let kind = (outcome.to == 1, outcome.effects.is_empty(), outcome.waits.is_empty());
                if !is_plain || kinds.insert(kind) {
                    kept.push(outcome);
                }
            }
        }
        if let Some(at) = view.places.iter().find(|at| {
            let finds = |set: &form::ClaimedSet| !view.rows[set.0 as usize].found.is_empty();
            form.nodes[at.node as usize].block == Some(*block) && at.sets.iter().any(finds)
        }) {
            return no(&form.nodes[at.node as usize], "a rule is found");
        }
        moves.push((chooser, kept));
    }
    Ok(moves)
}

/// What is wrong with an outcome in an item left out.
fn may_be_left_out(
    scope: &Scope<'_>,
    followed: u32,
    outcome: &Outcome,
    to: &Node,
    block: u32,
) -> Option<&'static str> {
    let is_followed = |item: Option<u8>| item.is_some_and(|item| followed >> item & 1 == 1);
    let changes = |var: u32| scope.slot(var).is_some() || scope.reaches[var as usize];
    if outcome.to != 1 && (to.block != Some(block) || is_followed(to.item)) {
        return Some("an outcome leads out of it");
    }
    if outcome.effects.iter().any(|effect| changes(effect.var)) {
        return Some("an effect can change what the view speaks of");
    }
    if is_followed(outcome.ends) || outcome.effects.iter().any(|effect| is_followed(effect.offers)) {
        return Some("an item that is followed is ended or offered");
    }
    let settles = !scope.entries.is_empty() || scope.timed().next().is_some();
    if settles && !outcome.waits.is_empty() {
        return Some("time passes");
    }
    None
}
