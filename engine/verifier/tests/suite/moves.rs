//! Section 2: guards, time, places, duties of a move; and section 3.

use crate::told::Reason;
use form::EffectKind::{Find, Look, Lose, Open, Verify, Write};
use form::{Duty, Guard, Role, Standing};

use crate::build::{A, B, Kit, Rows, kit, node, part, row, to};

fn variants(values: &[usize]) -> Kit {
    (0..).zip(values).fold(kit(values), |kit, (v, _)| kit.var(v, |var| var.is_variant = true))
}

#[test]
fn a_guard_lets_through_what_is_inside() {
    let inside = vec![part(0, A), part(1, A)];
    let it = variants(&[2, 2]).guard(Guard::Is(inside.clone()));
    let whole = it.clone().or_stops(Guard::IsNot(inside));
    whole.clone().leads(row(), row().may(0, A).may(1, A), [row().may(0, A), row()]);
    whole.from(row()).to(row().may(0, A).may(1, B)).leaves();
    // For the others nothing leads on, be it that some of them stop.
    let inside = row().may(0, A).may(1, A);
    it.clone().from(row()).to(inside.clone()).wrong(|reason| *reason == Reason::NoWayOn);
    let some = it.clone().or_stops(Guard::Is(vec![part(0, B)]));
    some.from(row()).to(inside).wrong(|reason| *reason == Reason::NoWayOn);
    // It settles.
    let settles =
        it.clone().with(|form| form.vars.push(crate::build::var("v2", 2))).vars(&[0, 1, 2]).settles(2, None);
    let from = row().may(0, A).may(1, A);
    settles.clone().leads(from.clone().may(2, A), from.clone(), [from.clone().may(2, A)]);
    settles.guard(Guard::Always).leads(from.clone().may(2, A), from.clone().may(2, A), [from]);
    // Nothing is inside: there is no move by it, so that none leads on.
    it.from(row().may(0, B)).to(row()).wrong(|reason| *reason == Reason::NoWayOn);
}

#[test]
fn a_guard_lets_through_what_is_outside_in_pieces() {
    let inside = vec![part(0, A), part(1, A)];
    let alone = variants(&[2, 2]).guard(Guard::IsNot(inside.clone()));
    let it = alone.clone().or_stops(Guard::Is(inside));
    let (first, second) = (row().may(0, B), row().may(0, A).may(1, B));
    it.clone().from(row()).to(first.clone()).to(second.clone()).right();
    it.clone().from(row()).to(first).leaves();
    it.clone().from(row()).to(second).leaves();
    alone.from(row().may(0, A).may(1, A)).to(row()).wrong(|reason| *reason == Reason::NoWayOn);
    variants(&[2])
        .guard(Guard::IsNot(vec![]))
        .from(row())
        .to(row())
        .wrong(|reason| *reason == Reason::NoWayOn);
}

#[test]
fn time_passes_by_variants() {
    let it = variants(&[2, 2]).var(1, |var| var.is_variant = false).settles(1, None);
    let it = it.wait(vec![part(0, A)], 300);
    let (inside, outside) = (row().may(0, A).clock(0, 300), row().may(0, B));
    it.clone().from(row()).to(inside.clone()).to(outside.clone()).right();
    it.clone().from(row()).to(inside.clone()).leaves();
    it.clone().from(row()).to(outside).leaves();
    let second = it.wait(vec![], 500);
    second.clone().from(row()).to(inside.clone()).to(row().may(0, B).clock(0, 500)).right();
    second.from(row()).to(inside).to(row().may(0, B).clock(0, 800)).leaves();
}

#[test]
fn time_settles() {
    let it = kit(&[2]).settles(0, None).wait(vec![], 600);
    it.clone().leads(
        row(),
        row().clock(0, 600),
        [row(), row().clock(0, 500), row().may(0, B).clock(0, 1000)],
    );
    it.clone().leads(row().clock(0, 400), row().may(0, B).clock(0, 1000), [row().clock(0, 1000)]);
    // Only looks count: the time passes and nothing comes of it.
    let looked = row().clock(0, 400).look_only(0);
    it.leads(looked, row().clock(0, 1000).look_only(0), [row().may(0, B).clock(0, 1000).look_only(0)]);
}

#[test]
fn time_that_does_not_count_does_not_pass() {
    let it = kit(&[2, 2]).settles(0, Some(vec![part(1, A)])).wait(vec![], 600);
    it.clone().leads(row().may(1, A), row().may(1, A).clock(0, 600), [row().may(1, A)]);
    it.leads(row(), row(), [row().clock(0, 600)]);
}

#[test]
fn what_settles_and_is_fed_is_lost() {
    let it = kit(&[3, 2]).settles(0, None).loss(0, vec![part(1, B)], Standing::Feeds).wait(vec![], 600);
    let from = row().may(0, 0b011).clock(0, 500);
    it.clone().leads(from.clone(), row().opened(0), [row().may(0, B).clock(0, 1000)]);
    let unfed = row().may(0, 0b011).may(1, A).clock(0, 500);
    it.clone().leads(unfed, row().may(0, B).may(1, A).clock(0, 1000), [row().may(1, A).opened(0)]);
    // What did not have the value did not settle.
    it.leads(row().may(0, B).clock(0, 1000), row().may(0, B).clock(0, 1000), [row().opened(0)]);
}

#[test]
fn who_stands_over_is_judged_before_time_passes() {
    let falling = Standing::ByItself { falling: vec![1], stood_over: vec![] };
    let it = kit(&[3, 2]).settles(0, None).settles(1, None).loss(0, vec![], falling).wait(vec![], 600);
    let from = row().may(0, 0b011).clock(0, 500).clock(1, 500);
    let after = row().may(1, B).clock(1, 1000).opened(0);
    it.leads(from, after, [row().may(0, B).may(1, B).clock(0, 1000).clock(1, 1000)]);
}

#[test]
fn a_rule_found_does_not_pass_where_none_may_be() {
    let found = row().found(0);
    let it = kit(&[2]).rule(vec![part(0, A)]).from(found.clone()).to(found);
    it.right();
    it.duty(Duty::Absent).wrong(|reason| matches!(reason, Reason::Found));
}

#[test]
fn looks_find_rules_and_end_them() {
    let it = kit(&[2, 2]).rule(vec![part(0, A), part(1, A)]);
    let look = it.clone().effect(Look, 0, A);
    look.clone().leads(row().may(1, A), row().may(0, A).may(1, A).found(0), [row().may(0, A).may(1, A)]);
    look.clone().leads(row(), row().may(0, A), [row().may(0, A).found(0)]);
    it.clone().effect(Look, 0, B).leads(row().found(0), row().may(0, B), [row().may(0, B).found(0)]);
    // An act finds nothing and ends nothing.
    let act = it.clone().effect(Write, 0, B);
    act.leads(row().found(0), row().may(0, B).found(0), [row().may(0, B)]);
    // What is verified is looked at.
    let verified = row().may(0, A).may(1, A);
    it.clone().effect(Verify, 0, A).leads(verified.clone(), verified.clone().found(0), [verified]);
    // A rule that the look does not name, and nothing that changed.
    let other = kit(&[2, 2]).rule(vec![part(1, A)]).effect(Look, 0, A);
    other.leads(row().may(1, A), row().may(0, A).may(1, A), [row().may(0, A).may(1, A).found(0)]);
    // What an act beside a look breaks is found by the look.
    let acts = kit(&[2, 2]).rule(vec![part(1, A)]).effect(Look, 0, A).effect(Write, 1, A);
    acts.leads(row(), row().may(0, A).may(1, A).found(0), [row().may(0, A).may(1, A)]);
    // It names what another effect changed.
    let both = kit(&[2, 2]).rule(vec![part(1, A)]).effect(Verify, 0, A).effect(Find, 1, A);
    both.leads(row(), row().may(1, A).found(0), [row().may(1, A)]);
}

#[test]
fn acts_break_no_rule() {
    let it = kit(&[2, 2]).rule(vec![part(0, A), part(1, A)]);
    let broken = |reason: &Reason| matches!(reason, Reason::Rule);
    let act = it.clone().effect(Write, 0, A);
    act.clone().from(row().may(1, B)).to(row().may(0, A).may(1, B)).right();
    act.clone().from(row()).to(row().may(0, A)).wrong(broken);
    act.clone().from(row().found(0)).to(row().may(0, A).found(0)).right();
    act.care(|care| care.exact = vec![0]).from(row()).to(row().may(0, A)).wrong(broken);
    it.clone().effect(Write, 0, B).from(row()).to(row().may(0, B)).right();
    it.clone().effect(Open, 0, 0).from(row()).to(row().opened(0)).wrong(broken);
    it.effect(Lose, 0, 0).from(row()).to(row().opened(0)).right();
    // It changes what it ends.
    let ends = kit(&[2, 2]).rule(vec![part(1, B)]).effect(Write, 0, A);
    let ends = ends.from(row().may(1, A)).to(row().may(0, A).may(1, A)).to(row().may(0, A).opened(1));
    ends.right();
    ends.loss(1, vec![part(0, A)], Standing::Event).wrong(broken);
}

#[test]
fn what_time_ends_no_effect_changed() {
    // Time ends variable 1; the rule names it, and holds, and the look is at another.
    let it = kit(&[2, 2, 2]).settles(1, None).loss(1, vec![], Standing::Feeds).wait(vec![], 1000);
    let it = it.rule(vec![part(0, A), part(1, A | B)]).effect(Look, 2, A);
    let after = row().may(0, A).may(2, A).opened(1);
    it.leads(row().may(0, A), after.clone(), [after.found(0)]);
}

#[test]
fn a_duty_ends_what_no_longer_meets() {
    let it = kit(&[2]).rule(vec![part(0, A)]).rule(vec![part(0, A)]).effect(Write, 0, B);
    let (kept, ended) = (row().may(0, B).found(0), row().may(0, B));
    it.clone().leads(row().found(0), kept.clone(), [ended.clone()]);
    it.clone().duty(Duty::May).leads(row().found(0), ended.clone(), [kept.clone()]);
    it.clone().duty(Duty::Mend).leads(row().found(0), ended.clone(), [kept]);
    it.duty(Duty::Mend).leads(row(), ended, []);
}

#[test]
fn who_has_to_mend_mends_something() {
    let it = kit(&[2, 2]).rule(vec![part(0, A)]).rule(vec![part(1, A)]).effect(Write, 0, B);
    let one = it.clone().from(row().found(1)).to(row().may(0, B).found(1));
    one.clone().duty(Duty::May).right();
    one.duty(Duty::Mend).wrong(|reason| matches!(reason, Reason::Found));
    it.duty(Duty::Mend).from(row().found(0).found(1)).to(row().may(0, B).found(1)).right();
}

#[test]
fn the_start_is_claimed() {
    let it = kit(&[2]).with(|form| form.start = vec![part(0, A)]);
    let at = |it: &Kit, row| it.changed(|certificate| certificate.views[0].rows[1] = row);
    let care = |it: &mut form::Certificate| it.views[0].care[0] = it.views[0].care[1].clone();
    let exact = |it: &Kit, row| {
        it.changed(|certificate| {
            care(certificate);
            certificate.views[0].rows[1] = row;
            certificate.views[0].places[0].sets[0].1 = 0;
            certificate.views[0].places[0].sets.push(form::ClaimedSet(1, 0, None));
        })
    };
    at(&it, row()).unwrap();
    at(&it, row().may(0, A)).unwrap();
    assert!(matches!(at(&it, row().may(0, B)).unwrap_err().reason, Reason::NotClaimed));
    exact(&it, row().may(0, A)).unwrap();
    assert!(exact(&it, row()).is_err());
    assert!(it.placed(2, |at| at.node = 3).is_err());
    // It settles, and what is fed is lost.
    let settles = it.clone().settles(0, None);
    exact(&settles, row()).unwrap();
    assert!(exact(&settles, row().may(0, A)).is_err());
    let fed = it.clone().loss(0, vec![], Standing::Feeds);
    exact(&fed, row().opened(0)).unwrap();
    assert!(exact(&fed, row().may(0, A)).is_err());
    // What is outside may be fed by what is outside, and end what is inside.
    let outside = kit(&[2, 2, 2]).with(|form| form.start = vec![part(0, A), part(1, A)]).vars(&[0]);
    let outside = outside.loss(0, vec![part(1, A)], Standing::Event);
    exact(&outside, row().may(0, A)).unwrap();
    assert!(exact(&outside.loss(1, vec![part(2, A)], Standing::Feeds), row().may(0, A)).is_err());
    let done = kit(&[2]).settles(0, None).with(|form| form.start = vec![part(0, B)]);
    exact(&done, row().may(0, B).clock(0, 1000)).unwrap();
    assert!(exact(&done, row().may(0, B)).is_err());
}

#[test]
fn the_start_breaks_nothing() {
    let it = kit(&[2, 2]).with(|form| form.start = vec![part(0, A)]);
    it.right();
    it.clone().rule(vec![part(0, B)]).right();
    it.clone().rule(vec![part(0, A), part(1, A)]).right();
    it.clone().rule(vec![part(0, A)]).wrong(|reason| matches!(reason, Reason::Rule));
    it.clone().with(|form| form.unseen = vec![part(0, A)]).right();
    let unseen = it.clone().with(|form| form.unseen = vec![part(1, A)]);
    unseen.wrong(|reason| matches!(reason, Reason::Unseen));
    let lost = it.with(|form| form.unseen = vec![part(0, A)]).loss(0, vec![], Standing::Feeds);
    lost.wrong(|reason| matches!(reason, Reason::Unseen));
    kit(&[2]).with(|form| form.start = vec![part(0, 0)]).wrong(|reason| matches!(reason, Reason::Empty));
}

/// Node 3 chooses in block 7, node 4 is item 0 of it, node 5 chooses in another block.
fn block(kit: Kit) -> Kit {
    let kit = kit.with(|form| form.nodes.push(node(Role::Chooses, vec![to(1)])));
    let kit = kit.node(3, |node| (node.block, node.role) = (Some(7), Role::Chooses));
    let kit = kit.node(5, |node| node.block = Some(8));
    kit.node(4, |node| (node.block, node.item) = (Some(7), Some(0)))
}

fn claims(kit: &Kit, from: (u32, u32), to: (u32, u32, u32)) -> Result<(), Reason> {
    let (source, target) = (kit.clone().from(row()).to(row()), to);
    let result = source.changed(|it| {
        let places = &mut it.views[0].places;
        (places[2].items, places[2].again) = from;
        (places[3].node, places[3].items, places[3].again) = target;
    });
    result.map_err(|refusal| refusal.reason)
}

#[test]
fn items_are_kept_within_a_block() {
    use form::Takes::Item;
    let it = block(kit(&[2])).by(|outcome| outcome.takes = Item(1));
    let it = it.node(4, |node| node.item = Some(2)).by(|outcome| outcome.ends = Some(2));
    let it = it.node(3, |node| {
        let mut other = node.outcomes[0].clone();
        other.takes = Item(0);
        other.ends = None;
        other.to = 1;
        node.outcomes.push(other);
    });
    claims(&it, (0b001, 0b001), (4, 0b101, 0b001)).unwrap();
    for wrong in [(4, 0b001, 0b001), (4, 0b100, 0b001), (4, 0b101, 0), (4, 0, 0)] {
        assert!(matches!(claims(&it, (0b001, 0b001), wrong), Err(Reason::NotClaimed)));
    }
    // Into another block nothing comes along; and what is done is not taken again.
    let other = it.clone().by(|outcome| (outcome.to, outcome.ends) = (5, None));
    claims(&other, (0b001, 0b001), (5, 0, 0)).unwrap();
    assert!(claims(&other, (0b001, 0b001), (5, 0b001, 0)).is_err());
    assert_eq!(claims(&it, (0b011, 0), (4, 0b111, 0)), Err(Reason::NoWayOn));
    let all = it.by(|outcome| (outcome.takes, outcome.to, outcome.ends) = (form::Takes::AllItems, 4, None));
    claims(&all, (0b001, 0), (4, 0b001, 0)).unwrap();
    assert_eq!(
        claims(&all.clone().node(3, |node| node.outcomes[1].to = 3), (0, 0), (4, 0, 0)),
        Err(Reason::NoWayOn)
    );
}

#[test]
fn an_item_contradicted_is_offered_again_once() {
    let it = block(kit(&[2])).effect(Look, 0, A).offers(0).with(|form| form.start = vec![]);
    let at = |from: (u32, u32), known: u64, target: (u32, u32, u32)| {
        let source = it.clone().from(row().may(0, known)).to(row().may(0, A));
        let result = source.changed(|it| {
            let places = &mut it.views[0].places;
            (places[2].items, places[2].again) = from;
            (places[3].node, places[3].items, places[3].again) = target;
        });
        result.is_ok()
    };
    assert!(at((1, 0), B, (4, 0, 1)));
    assert!(!at((1, 0), B, (4, 1, 0)));
    // It agrees; it was offered already; it was not done.
    assert!(at((1, 0), A, (4, 1, 0)) && !at((1, 0), A, (4, 0, 1)));
    assert!(at((1, 1), B, (4, 1, 1)) && !at((1, 1), B, (4, 0, 1)));
    assert!(at((0, 0), B, (4, 0, 0)) && !at((0, 0), B, (4, 0, 1)));
    // An act offers as well.
    let write = it.clone().by(|outcome| outcome.effects[0].kind = Write);
    let at_write = |known: u64, target: (u32, u32)| {
        let source = write.clone().from(row().may(0, known)).to(row().may(0, A));
        source.changed(|it| {
            let places = &mut it.views[0].places;
            places[2].items = 1;
            (places[3].items, places[3].again) = target;
        })
    };
    at_write(B, (0, 1)).unwrap();
    at_write(A, (1, 0)).unwrap();
    at_write(B, (1, 0)).unwrap_err();
    at_write(A, (0, 1)).unwrap_err();
    // What is done by this very move is not offered.
    let ends = it.clone().by(|outcome| outcome.ends = Some(0));
    let source = ends.from(row().may(0, B)).to(row().may(0, A));
    source.placed(4, |at| at.items = 1).unwrap();
    assert!(source.placed(4, |at| at.again = 1).is_err());
}
