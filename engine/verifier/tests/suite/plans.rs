//! Section 5: plans for stopping. Rest is that variable 0 has its first value; act 0 is for all other places.

use crate::told::Reason;
use form::EffectKind::{Open, Write};
use form::PlanStep::{self, Act, Look, Wait};
use form::{Effect, EffectKind, Role, Rule, Standing};

use crate::build::{A, B, Kit, Rows, effect, kit, part, row};

const ALL: u64 = A | B;

fn stands() -> Kit {
    let it = kit(&[2, 2]).node(3, |node| node.role = Role::Stood);
    it.with(|form| form.rest = Some(vec![part(0, A)])).act(vec![effect(Write, 0, A)])
}

impl Kit {
    fn act(self, effects: Vec<Effect>) -> Self {
        let name = format!("act {}", self.form.restoring.len());
        self.with(|form| form.restoring.push(form::Act { name, needs: vec![], effects }))
    }
    fn stops(&self, known: form::Row, steps: Vec<PlanStep>) -> Result<(), Reason> {
        let it = self.clone().from(known.clone()).to(known).plan(steps).plan(vec![Act(0)]);
        it.verify().map_err(|refusal| refusal.reason)
    }
    #[track_caller]
    fn good(&self, known: form::Row, steps: Vec<PlanStep>) {
        self.stops(known, steps).unwrap();
    }
    #[track_caller]
    fn bad(&self, known: form::Row, steps: Vec<PlanStep>) {
        assert!(matches!(self.stops(known, steps), Err(Reason::Plan)));
    }
}

#[test]
fn a_plan_comes_to_rest() {
    let it = stands();
    it.good(row().may(0, A), vec![]);
    it.bad(row(), vec![]);
    it.good(row(), vec![Act(0)]);
    it.clone().with(|form| form.rest = None).good(row(), vec![]);
    let none =
        |it: &Kit| it.clone().from(row()).to(row()).plan(vec![Act(0)]).placed(3, |at| at.sets[0].2 = None);
    assert_eq!(none(&it).unwrap_err().reason, Reason::NoPlan);
    none(&it.node(3, |node| node.role = Role::Passing)).unwrap();
}

#[test]
fn ends_have_plans_too() {
    let it = stands().from(row()).to(row()).plan(vec![Act(0)]);
    assert_eq!(it.placed(1, |at| at.sets[0].2 = None).unwrap_err().reason, Reason::NoPlan);
    let place =
        form::PlaceSets { node: 0, items: 0, again: 0, rank: 0, sets: vec![form::ClaimedSet(0, 0, Some(0))] };
    it.changed(|it| it.views[0].places.insert(0, place.clone())).unwrap();
    let none = it.changed(|it| {
        it.views[0].places.insert(0, place);
        it.views[0].places[0].sets[0].2 = None;
    });
    assert_eq!(none.unwrap_err().reason, Reason::NoPlan);
}

#[test]
fn an_act_has_what_it_needs_unless_it_is_passed_over() {
    let it = stands().act(vec![effect(Write, 0, A)]).with(|form| form.restoring[1].needs = vec![part(1, A)]);
    it.good(row().may(1, A), vec![Act(1)]);
    it.bad(row(), vec![Act(1)]);
    it.good(row().may(0, A), vec![Act(1)]);
    let open = it.with(|form| form.restoring[1].effects.push(effect(Open, 1, 0)));
    open.bad(row().may(0, A), vec![Act(1)]);
    open.with(|form| form.restoring[1].effects[1].set = ALL).bad(row().may(0, A), vec![Act(1)]);
}

#[test]
fn an_act_breaks_nothing_new() {
    let it = stands().act(vec![effect(Write, 1, A), effect(Write, 0, A)]);
    it.good(row(), vec![Act(1)]);
    let rule = |when| Rule { name: "never".to_owned(), when };
    let between = it.clone().rule(vec![part(0, B), part(1, A)]);
    between.bad(row(), vec![Act(1)]);
    between.good(row().may(0, B).may(1, A), vec![Act(1)]);
    between.bad(row().may(1, B), vec![Act(1)]);
    let released = it.with(|form| form.released = vec![rule(vec![part(0, B), part(1, A)])]);
    released.bad(row(), vec![Act(1)]);
    released.good(row().may(0, A), vec![Act(1)]);
    // It held before the first effect, and names nothing that the second one changes.
    let opens = stands().act(vec![effect(Open, 1, 0), effect(Write, 0, A)]).rule(vec![part(1, A)]);
    opens.good(row().may(1, A), vec![Act(1)]);
    opens.bad(row().may(1, B), vec![Act(1)]);
    // It names nothing that changed.
    stands().rule(vec![part(1, B)]).good(row(), vec![Act(0)]);
}

#[test]
fn a_rule_found_is_ended() {
    let it = stands().rule(vec![part(0, B)]);
    it.good(row().found(0), vec![Act(0)]);
    // Before the plan begins.
    it.good(row().may(0, A).found(0), vec![]);
    let other =
        stands().rule(vec![part(1, B)]).with(|form| form.restoring[0].effects.push(effect(Write, 1, A)));
    let other = other.act(vec![effect(Write, 0, A)]);
    other.bad(row().may(0, A).found(0), vec![]);
    other.bad(row().found(0), vec![Act(1)]);
    other.good(row().found(0), vec![Act(0)]);
}

#[test]
fn a_wait_lets_time_pass_that_counts() {
    // Variable 0 comes to rest by itself: from the second value to the first.
    let entry = |holds| form::Settling { var: 0, from: B, to: A, after: 1000, holds };
    let it = stands().with(|form| form.settling.push(entry(None))).exact();
    it.good(row(), vec![Wait(0, 1000)]);
    it.bad(row(), vec![Wait(0, 999)]);
    it.good(row().clock(0, 400), vec![Wait(0, 600)]);
    it.bad(row().look_only(0), vec![Wait(0, 1000)]);
    it.bad(row(), vec![Wait(1, 1000)]);
    it.good(row().may(0, A).clock(0, 1000), vec![Wait(0, 1)]);
    // What does not count is taken to be so: only looks count.
    it.clone().care(|care| care.look_only.clear()).bad(row(), vec![Wait(0, 1000)]);
    it.clone().care(|care| care.exact.clear()).good(row(), vec![Wait(0, 1000)]);
    let holds = stands().with(|form| form.settling.push(entry(Some(vec![part(1, A)])))).exact();
    holds.good(row().may(1, A), vec![Wait(0, 1000)]);
    holds.bad(row(), vec![Wait(0, 1000)]);
    holds.bad(row(), vec![Wait(0, 1000), Act(0)]);
    let found = it.rule(vec![part(0, B)]);
    found.good(row().found(0), vec![Wait(0, 1000)]);
}

#[test]
fn a_look_has_a_side_for_every_value() {
    let it = stands();
    it.good(row(), vec![Look(0, vec![(A, vec![]), (B, vec![Act(0)])])]);
    it.bad(row(), vec![Look(0, vec![(A, vec![]), (B, vec![])])]);
    it.bad(row(), vec![Look(0, vec![(A, vec![])])]);
    it.good(row().may(0, A), vec![Look(0, vec![(A, vec![])])]);
    it.bad(row(), vec![Look(1, vec![(A, vec![Act(0)])])]);
    // And from there on what follows.
    it.good(row(), vec![Look(1, vec![(A, vec![]), (B, vec![])]), Act(0)]);
    it.good(row(), vec![Look(0, vec![(A, vec![]), (B, vec![])]), Act(0)]);
}

#[test]
fn a_look_has_to_be_possible_unless_nobody_looks() {
    let steps = || vec![Look(0, vec![(A, vec![]), (B, vec![Act(0)])])];
    let hidden = stands().var(0, |var| (var.is_hidden, var.is_asked) = (true, false));
    hidden.bad(row(), steps());
    hidden.good(row().may(0, A), steps());
    hidden.good(row(), vec![Look(0, vec![(ALL, vec![Act(0)])])]);
    let behind = stands().var(0, |var| var.seen_when = vec![part(1, A)]);
    behind.good(row().may(1, A), steps());
    behind.bad(row(), steps());
}

#[test]
fn a_look_finds_rules_and_ends_them() {
    let it = stands().rule(vec![part(1, A)]).with(|form| form.restoring[0].effects.push(effect(Write, 1, B)));
    let it = it.act(vec![effect(Write, 0, A)]);
    it.bad(row(), vec![Look(1, vec![(A, vec![Act(1)]), (B, vec![Act(1)])])]);
    it.good(row(), vec![Look(1, vec![(A, vec![Act(0)]), (B, vec![Act(1)])])]);
    it.good(row().found(0), vec![Look(1, vec![(A, vec![Act(0)]), (B, vec![Act(1)])])]);
}

#[test]
fn a_look_ends_what_it_shows_to_be_over() {
    let it = stands().rule(vec![part(1, A)]).with(|form| form.restoring[0].effects.push(effect(Write, 1, B)));
    let it = it.act(vec![effect(Write, 1, B)]);
    it.good(row().may(0, A).found(0), vec![Look(1, vec![(A, vec![Act(1)]), (B, vec![])])]);
    it.bad(row().may(0, A).found(0), vec![Look(1, vec![(A, vec![]), (B, vec![])])]);
}

#[test]
fn a_look_is_an_effect() {
    // Where it is not said that it was not opened, a look ends evidence.
    let it = stands().loss(0, vec![part(1, A)], Standing::Event);
    let steps = || vec![Look(1, vec![(A, vec![]), (B, vec![])])];
    it.good(row().may(0, A), steps());
    it.bad(row().may(0, A).opened(1), steps());
    it.care(|care| care.opened.clear()).bad(row().may(0, A), steps());
}

#[test]
fn what_a_plan_does_not_know_is_unknown() {
    // The view does not speak of variable 1: it may have any value.
    let it = stands().act(vec![effect(Write, 0, A)]).with(|form| form.restoring[1].needs = vec![part(1, A)]);
    let ends = it.clone().loss(0, vec![part(1, A)], Standing::Event).vars(&[0]);
    let it = it.vars(&[0]);
    // It may be opened, so that a look at it ends evidence.
    let steps = || vec![Look(1, vec![(A, vec![]), (B, vec![])])];
    it.good(row().may(0, A), steps());
    ends.bad(row().may(0, A), steps());
    it.good(row(), vec![Act(0)]);
    it.bad(row(), vec![Act(1)]);
    it.good(row(), vec![Look(1, vec![(A, vec![Act(1)]), (B, vec![Act(0)])])]);
    let seen = it
        .with(|form| form.settling.push(form::Settling { var: 1, from: B, to: A, after: 1000, holds: None }));
    seen.bad(row(), vec![Wait(1, 1000), Act(1)]);
    seen.var(1, |var| (var.is_hidden, var.is_asked) = (true, false)).good(row(), vec![Wait(1, 1000), Act(1)]);
}

#[test]
fn a_plan_that_goes_too_deep_is_refused() {
    let deep = |depth| (0..depth).fold(vec![Act(0)], |plan, _| vec![Look(1, vec![(ALL, plan)])]);
    stands().good(row(), deep(60));
    assert!(matches!(stands().stops(row(), deep(70)), Err(Reason::Malformed)));
    assert!(matches!(stands().stops(row(), vec![Act(9)]), Err(Reason::Malformed)));
    let look = |kind: EffectKind| stands().with(|form| form.restoring[0].effects[0].kind = kind);
    assert!(matches!(look(EffectKind::Find).stops(row(), vec![Act(0)]), Err(Reason::Malformed)));
}

#[test]
fn a_wait_passes_time_whatever_has_given_way_already() {
    let it = kit(&[2, 2]).node(3, |node| node.role = Role::Stood).settles(0, None).settles(1, None);
    let it = it.with(|form| form.rest = Some(vec![part(0, B), part(1, B)]));
    let it = it.act(vec![effect(Write, 0, B), effect(Write, 1, B)]);
    it.good(row(), vec![Wait(0, 1000)]);
    // Of somebody who knows that the first has given way the other waits all the same.
    it.good(row().may(0, B).clock(0, 1000), vec![Wait(0, 1000)]);
}

#[test]
fn what_may_not_be_done_or_looked_at_leaves_opened_what_was() {
    // A value that was opened is put by a look, and that ends evidence whose cause it is; one that is known is not.
    let looked = vec![Look(0, vec![(A, vec![]), (B, vec![])])];
    let evidence = |more: Vec<PlanStep>| {
        let it = kit(&[2, 2]).node(3, |node| node.role = Role::Stood).settles(0, None);
        let it = it.loss(1, vec![part(0, B)], Standing::Event).act(vec![effect(Write, 1, A)]);
        let it = it.act(vec![effect(Write, 0, A)]).with(|form| form.rest = Some(vec![part(1, A)]));
        let it = it.care(|care| care.opened = vec![]);
        (it, [more, vec![Act(0)], looked.clone()].concat())
    };
    let (it, plan) = evidence(vec![]);
    it.bad(row(), plan);
    // Who knew it before has not looked, and so it is opened still.
    let (it, plan) = evidence(looked.clone());
    it.bad(row(), plan);
    // The same of an act that others pass over.
    let (it, plan) = evidence(vec![Act(1)]);
    it.bad(row(), plan);
}
