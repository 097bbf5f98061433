//! Whether the data is well formed: indices, order, sets within values. What is checked here, nobody else has to doubt.

use std::collections::BTreeMap;

use crate::certificate::{
    CERTIFICATE_VERSION, Care, Certificate, ClaimedSet, PlaceSets, PlanStep, Row, View,
};
use crate::form::{
    Act, Effect, EffectKind, FORM_VERSION, Form, Guard, Node, Outcome, Part, Role, Settling, Standing, Takes,
    Var,
};

/// Variables, at most.
const MOST_VARS: usize = 1024;
/// Looks within looks of a plan, at most.
const MOST_NESTED: usize = 64;
/// What all sets of a view hold when they are laid out, at most.
const MOST_MARKS: usize = 1 << 27;

type Shape = Result<(), String>;

fn require(holds: bool, what: &str) -> Shape {
    if holds { Ok(()) } else { Err(what.to_owned()) }
}

impl Var {
    /// The set of all its values, of which there are 1 to 64.
    #[must_use]
    pub fn all(&self) -> u64 {
        u64::MAX >> (64 - self.values.len().clamp(1, 64))
    }

    /// The names of the values in a set.
    #[must_use]
    pub fn named(&self, set: u64) -> String {
        let values = (0..).zip(&self.values).filter(|(at, _)| set >> at & 1 == 1);
        values.map(|(_, value)| value.as_str()).collect::<Vec<_>>().join(" or ")
    }
}

/// The blocks, each with its items, one bit each: those that are chosen and those that nodes belong to.
#[must_use]
pub fn blocks(form: &Form) -> BTreeMap<u32, u32> {
    let mut blocks = BTreeMap::new();
    for node in &form.nodes {
        let Some(block) = node.block else { continue };
        let items = blocks.entry(block).or_insert(0);
        *items |= node.item.map_or(0, |item| 1 << item);
        for outcome in &node.outcomes {
            if let Takes::Item(item) = outcome.takes {
                *items |= 1 << item;
            }
        }
    }
    blocks
}

/// Whether the numbers rise.
fn rises<T: PartialOrd>(list: &[T]) -> bool {
    list.is_sorted_by(|a, b| a < b)
}

fn values(form: &Form, var: u32) -> u64 {
    form.vars.get(var as usize).map_or(0, Var::all)
}

fn part(form: &Form, part: &Part) -> Shape {
    require((part.var as usize) < form.vars.len(), "a variable that there is not")?;
    require(part.set & !values(form, part.var) == 0, "a set with values that there are not")
}

fn parts(form: &Form, parts: &[Part]) -> Shape {
    parts.iter().try_for_each(|it| part(form, it))
}

fn cube(form: &Form, cube: &[Part]) -> Shape {
    parts(form, cube)?;
    let mut vars: Vec<u32> = cube.iter().map(|part| part.var).collect();
    vars.sort_unstable();
    require(rises(&vars), "a cube that names a variable twice")
}

fn variants(form: &Form, it: &[Part]) -> Shape {
    cube(form, it)?;
    require(it.iter().all(|part| form.vars[part.var as usize].is_variant), "a guard or wait not of variants")
}

fn effect(form: &Form, effect: &Effect) -> Shape {
    part(form, &Part { var: effect.var, set: effect.set })?;
    let uses = matches!(effect.kind, EffectKind::Write | EffectKind::Look | EffectKind::Find);
    require(!uses || effect.set != 0, "an effect with no values")?;
    let is_act = matches!(effect.kind, EffectKind::Write | EffectKind::Open);
    require(!(is_act && form.vars[effect.var as usize].is_variant), "an act on a variant")?;
    require(effect.offers.is_none_or(|item| item < 32), "an item beyond 31")
}

fn outcome(form: &Form, node: &Node, outcome: &Outcome) -> Shape {
    let chooses = match outcome.takes {
        Takes::Always | Takes::Answer => true,
        Takes::Item(item) => node.role == Role::Chooses && item < 32,
        Takes::AllItems => node.role == Role::Chooses,
    };
    require(chooses, "an item taken where none is chosen")?;
    match &outcome.guard {
        Guard::Always => {}
        Guard::Is(cube) | Guard::IsNot(cube) => variants(form, cube)?,
    }
    outcome.waits.iter().try_for_each(|wait| variants(form, &wait.cube))?;
    outcome.effects.iter().try_for_each(|it| effect(form, it))?;
    require((outcome.to as usize) < form.nodes.len(), "a node that there is not")?;
    require(outcome.ends.is_none_or(|item| item < 32), "an item beyond 31")
}

fn nodes(form: &Form) -> Shape {
    require((form.entry as usize) < form.nodes.len(), "a first node that there is not")?;
    for (n, node) in form.nodes.iter().enumerate() {
        let is_end = (node.role == Role::Done, node.role == Role::Stop);
        require(is_end == (n == 0, n == 1), "ends that are not the nodes 0 and 1")?;
        require(
            n > 1 || (node.outcomes.is_empty() && node.block.is_none()),
            "an end with outcomes, or in a block",
        )?;
        require(node.item.is_none_or(|item| item < 32), "an item beyond 31")?;
        require(node.block.is_some() || node.item.is_none(), "an item of no block")?;
        require(
            (node.role == Role::Chooses) <= (node.block.is_some() && node.item.is_none()),
            "a choice of no block",
        )?;
        parts(form, &node.needs)?;
        node.outcomes.iter().try_for_each(|it| outcome(form, node, it))?;
    }
    require(form.nodes.len() > 1, "no nodes")
}

/// Whether a form is well formed.
///
/// # Errors
/// If it is not: what is wrong.
pub fn well_formed(form: &Form) -> Shape {
    require(form.version == FORM_VERSION, "a version of the form that is not known")?;
    // What stands over what is followed from variable to variable.
    require(form.vars.len() <= MOST_VARS, "too many variables")?;
    let has = |var: u32| (var as usize) < form.vars.len();
    for var in &form.vars {
        require((1..=64).contains(&var.values.len()), "a variable without values or with more than 64")?;
        require(!(var.is_asked && var.is_hidden), "a question about what is hidden")?;
        require(var.is_asked || !var.is_variant, "a variant without question")?;
        cube(form, &var.seen_when)?;
    }
    for it in [&form.start, &form.unseen].into_iter().chain(&form.rest) {
        cube(form, it)?;
    }
    nodes(form)?;
    form.rules.iter().chain(&form.released).try_for_each(|rule| cube(form, &rule.when))?;
    let chains =
        |entry: &Settling| form.settling.iter().any(|to| to.var == entry.var && to.from & entry.to != 0);
    require(!form.settling.iter().any(chains), "a value that gives way to one that gives way")?;
    for entry in &form.settling {
        for set in [entry.from, entry.to] {
            part(form, &Part { var: entry.var, set })?;
            require(set != 0, "an entry of `settling` without values")?;
        }
        require(!form.vars[entry.var as usize].is_variant, "a variant that settles")?;
        entry.holds.as_ref().map_or(Ok(()), |it| cube(form, it))?;
    }
    for loss in &form.lost_when {
        require(has(loss.var), "a loss of a variable that there is not")?;
        cube(form, &loss.when)?;
        if let Standing::ByItself { falling, stood_over } = &loss.standing {
            let falls = falling.iter().all(|s| (*s as usize) < form.settling.len());
            require(falls && stood_over.iter().all(|var| has(*var)), "a cause that there is not")?;
        }
    }
    form.promises.iter().try_for_each(|promise| part(form, &promise.part))?;
    for Act { needs, effects, .. } in &form.restoring {
        parts(form, needs)?;
        effects.iter().try_for_each(|it| effect(form, it))?;
        let is_act = |it: &Effect| matches!(it.kind, EffectKind::Write | EffectKind::Open);
        require(effects.iter().all(is_act), "a plan's act that looks")?;
    }
    Ok(())
}

/// Whether a certificate is well formed, of a form that is.
///
/// # Errors
/// If it is not: what is wrong.
pub fn fits(form: &Form, certificate: &Certificate) -> Shape {
    require(certificate.version == CERTIFICATE_VERSION, "a version of the certificate that is not known")?;
    require(!certificate.views.is_empty(), "no views")?;
    certificate.plans.iter().try_for_each(|steps| plan(form, steps, 0))?;
    let blocks = blocks(form);
    let mut views = certificate.views.iter().enumerate();
    views.try_for_each(|(number, it)| {
        view(form, &blocks, it, certificate.plans.len()).map_err(|what| format!("view {number} has {what}"))
    })
}

fn plan(form: &Form, steps: &[PlanStep], depth: usize) -> Shape {
    require(depth <= MOST_NESTED, "a plan with too many looks within looks")?;
    for step in steps {
        match step {
            PlanStep::Act(act) => {
                require((*act as usize) < form.restoring.len(), "an act that there is not")?
            }
            PlanStep::Wait(var, _) => part(form, &Part { var: *var, set: 0 })?,
            PlanStep::Look(var, ways) => {
                for (set, steps) in ways {
                    part(form, &Part { var: *var, set: *set })?;
                    require(*set != 0, "a side of a look without values")?;
                    plan(form, steps, depth + 1)?;
                }
            }
        }
    }
    Ok(())
}

/// What a view speaks of.
struct Scope<'a> {
    form: &'a Form,
    blocks: &'a BTreeMap<u32, u32>,
    view: &'a View,
}

impl Scope<'_> {
    fn has(&self, var: u32) -> bool {
        self.view.vars.binary_search(&var).is_ok()
    }

    fn vars(&self, list: &[u32]) -> bool {
        rises(list) && list.iter().all(|var| self.has(*var))
    }

    fn entry(&self, s: u32) -> Option<&Settling> {
        self.form.settling.get(s as usize).filter(|entry| self.has(entry.var))
    }

    fn entries(&self, list: &[u32]) -> bool {
        rises(list) && list.iter().all(|s| self.entry(*s).is_some())
    }

    fn care(&self, care: &Care) -> Shape {
        let lists = self.vars(&care.exact) && self.vars(&care.opened) && self.vars(&care.wrote);
        require(lists && self.entries(&care.look_only), "a care list that is out of order or not of the view")
    }

    fn row(&self, row: &Row) -> Shape {
        require(row.values.is_sorted_by(|a, b| a.0 < b.0), "values out of order")?;
        let is_set =
            |(var, set): &(u32, u64)| self.has(*var) && *set != 0 && set & !values(self.form, *var) == 0;
        require(row.values.iter().all(is_set), "values of no variable, or none, or that there are not")?;
        require(row.clocks.is_sorted_by(|a, b| a.0 < b.0), "clocks out of order")?;
        let is_time = |(s, millis): &(u32, u64)| self.entry(*s).is_some_and(|entry| *millis <= entry.after);
        require(row.clocks.iter().all(is_time), "a clock of no entry, or beyond its time")?;
        let marks = self.vars(&row.opened) && self.vars(&row.wrote) && self.entries(&row.look_only);
        require(marks, "marks out of order or not of the view")?;
        let rule = |r: &u32| self.form.rules.get(*r as usize);
        let speaks = |r: &u32| rule(r).is_some_and(|rule| rule.when.iter().all(|part| self.has(part.var)));
        require(rises(&row.found) && row.found.iter().all(speaks), "rules out of order or not of the view")
    }

    fn place(&self, at: &PlaceSets, plans: usize) -> Shape {
        let Some(node) = self.form.nodes.get(at.node as usize) else {
            return Err("a place at no node".to_owned());
        };
        let cut = |block| self.view.items.iter().find(|(cut, _)| *cut == block).map(|(_, items)| *items);
        let followed = node.block.map_or(0, |block| cut(block).unwrap_or(self.blocks[&block]));
        require((at.items | at.again) & !followed == 0, "a place with items that are not followed")?;
        require(node.item.is_none_or(|item| followed >> item & 1 == 1), "a place in an item left out")?;
        let is_there = |set: &ClaimedSet| {
            (set.0 as usize) < self.view.rows.len()
                && (set.1 as usize) < self.view.care.len()
                && set.2.is_none_or(|plan| (plan as usize) < plans)
        };
        require(at.sets.iter().all(is_there), "a set with no row, or with a plan that there is not")?;
        require(at.sets.is_sorted_by(|a, b| (a.0, a.1) < (b.0, b.1)), "sets out of order, or one twice")
    }
}

fn view(form: &Form, blocks: &BTreeMap<u32, u32>, view: &View, plans: usize) -> Shape {
    let scope = Scope { form, blocks, view };
    require(rises(&view.vars), "variables out of order")?;
    require(view.vars.iter().all(|var| (*var as usize) < form.vars.len()), "a variable that there is not")?;
    require(view.items.is_sorted_by(|a, b| a.0 < b.0), "blocks out of order")?;
    let there =
        |(block, followed): &(u32, u32)| blocks.get(block).is_some_and(|items| followed & !items == 0);
    require(view.items.iter().all(there), "items or a block that there are not")?;
    view.care.iter().try_for_each(|care| scope.care(care))?;
    view.rows.iter().try_for_each(|row| scope.row(row))?;
    let key = |at: &PlaceSets| (at.node, at.items, at.again);
    require(view.places.is_sorted_by(|a, b| key(a) < key(b)), "places out of order")?;
    let sets: usize = view.places.iter().map(|at| at.sets.len()).sum();
    let marks = form.vars.len() * 4 + form.settling.len() * 2 + form.rules.len();
    require(sets.saturating_mul(marks) <= MOST_MARKS, "more sets than can be laid out")?;
    view.places.iter().try_for_each(|at| scope.place(at, plans))
}
