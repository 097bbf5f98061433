//! Section 6: sets stand for many records, and views for some of what there is.

use crate::told::{Reason, verify};
use form::EffectKind::{Find, Look, Lose, Write};
use form::{ClaimedSet, Duty, Role, Row, Standing, View};

use crate::build::{A, B, Kit, Rows, kit, part, row, wrong};

/// Nothing counts: values and clocks are bounds, marks may be either.
fn loose(kit: Kit) -> Kit {
    kit.care(|care| *care = form::Care::default())
}

#[test]
fn a_set_without_care_has_every_lesser_record() {
    let it = kit(&[3]);
    let pair = |from, to| it.clone().from(from).to(to);
    pair(row().may(0, A), row().may(0, 0b011)).leaves();
    loose(pair(row().may(0, A), row().may(0, 0b011))).right();
    loose(pair(row().may(0, 0b011), row().may(0, A))).leaves();
    let settles = it.clone().settles(0, None);
    let pair = |from, to| settles.clone().from(from).to(to);
    pair(row().clock(0, 500), row()).leaves();
    loose(pair(row().clock(0, 500), row())).right();
    loose(pair(row(), row().clock(0, 500))).leaves();
}

#[test]
fn marks_count_where_care_says_so() {
    let it = kit(&[2]).settles(0, None);
    for mark in [row().opened(0), row().wrote(0), row().look_only(0)] {
        it.clone().from(mark.clone()).to(row()).leaves();
        it.clone().from(row()).to(mark.clone()).leaves();
        loose(it.clone().from(mark).to(row())).right();
    }
    // From a set where a mark may be either, to sets where it counts: that they hold all of them together is not seen.
    let either = |to: &[Row]| {
        let it = to.iter().fold(it.clone().from(row()), |it, row| it.to(row.clone()));
        it.placed(3, |at| at.sets[0].1 = 0).is_ok()
    };
    assert!(!either(&[row()]));
    let it = it.clone().care(|care| care.exact.clear());
    let either = |to: &[Row]| {
        let it = to.iter().fold(it.clone().from(row()), |it, row| it.to(row.clone()));
        it.placed(3, |at| at.sets[0].1 = 0).is_ok()
    };
    let all = |w, l| {
        let wrote = |row: Row| if w { row.wrote(0) } else { row };
        let looked = |row: Row| if l { row.look_only(0) } else { row };
        [looked(wrote(row())), looked(wrote(row().opened(0)))]
    };
    let all = [all(false, false), all(false, true), all(true, false), all(true, true)].concat();
    assert!(!either(&all));
    assert!(!either(&all[1..]));
}

#[test]
fn found_rules_are_as_the_row_says() {
    let it = kit(&[2]).rule(vec![part(0, A)]);
    it.clone().from(row().found(0)).to(row().found(0)).right();
    it.clone().from(row().found(0)).to(row()).leaves();
    loose(it.from(row()).to(row().found(0))).leaves();
}

#[test]
fn each_set_has_its_own_care() {
    let it = kit(&[2]).from(row()).from(row().may(0, A)).to(row()).to(row().may(0, A));
    it.right();
    it.placed(4, |at| at.sets.truncate(1)).unwrap_err();
    it.placed(4, |at| {
        at.sets.truncate(1);
        at.sets[0].1 = 0;
    })
    .unwrap();
}

#[test]
fn a_look_at_what_may_be_less_is_followed_both_ways() {
    // The row allows both values: some records contradict the look.
    let it = loose(kit(&[3]).effect(Look, 0, A)).from(row().may(0, 0b011));
    it.clone().to(row().may(0, A)).right();
    let chain = kit(&[3, 2]).effect(Look, 0, A).loss(1, vec![part(0, A)], Standing::Event);
    let chain = chain
        .care(|care| (care.exact, care.opened) = (vec![1], vec![0, 1]))
        .from(row().may(0, 0b011).may(1, B));
    let (kept, ended) = (row().may(0, A).may(1, B), row().may(0, A).opened(1));
    chain.clone().to(kept.clone()).to(ended.clone()).right();
    chain.clone().to(kept.clone()).leaves();
    chain.clone().to(ended.clone()).leaves();
    let exact = chain.care(|care| care.exact = vec![0, 1]).to(kept);
    exact.right();
    exact.to(ended).right();
}

#[test]
fn whether_a_rule_is_found_is_not_open() {
    let it = kit(&[2, 2]).rule(vec![part(0, A), part(1, A)]).effect(Look, 0, A);
    let it = it.care(|care| care.exact = vec![0]).from(row());
    let (not, found) = (row().may(0, A), row().may(0, A).may(1, A).found(0));
    let open = |reason: &Reason| *reason == Reason::Open;
    it.clone().to(not.clone()).to(found.clone()).wrong(open);
    it.clone().to(not.clone()).wrong(open);
    it.clone().to(found).wrong(open);
    it.care(|care| care.exact = vec![0, 1]).to(not).right();
    // A rule found that may meet or not.
    let mend =
        kit(&[2]).rule(vec![part(0, A)]).duty(Duty::Mend).from(row().found(0)).to(row()).to(row().found(0));
    mend.clone().wrong(|reason| matches!(reason, Reason::Found));
    loose(mend).wrong(open);
    let may = loose(kit(&[2]).rule(vec![part(0, A)]).duty(Duty::May).from(row().found(0)));
    let may = may.to(row().may(0, B)).to(row().found(0));
    may.clone().wrong(open);
    may.placed(4, |at| at.sets.truncate(1)).unwrap_err();
}

#[test]
fn a_bound_on_time_is_a_bound() {
    let it = kit(&[2]).settles(0, None).wait(vec![], 600).care(|care| care.exact.clear());
    it.clone().from(row().clock(0, 400)).to(row().may(0, B).clock(0, 1000)).right();
    it.clone().from(row().clock(0, 300)).to(row().clock(0, 900)).right();
    it.clone().from(row().clock(0, 300)).to(row().clock(0, 901)).leaves();
    it.from(row().clock(0, 300)).to(row().may(0, B).clock(0, 900)).leaves();
    // Whether its time counts is open.
    let holds = kit(&[2, 2]).settles(0, Some(vec![part(1, A)])).wait(vec![], 600);
    let holds = holds.care(|care| care.exact = vec![0]).from(row().clock(0, 300));
    holds.clone().to(row().clock(0, 300)).to(row().may(1, A).clock(0, 900)).leaves();
    holds.clone().to(row().clock(0, 300)).leaves();
    loose(holds).to(row().clock(0, 300)).right();
}

#[test]
fn whether_only_looks_count_may_be_open() {
    let it = kit(&[2]).settles(0, None).wait(vec![], 600).care(|care| care.look_only.clear());
    let it = it.from(row().clock(0, 400));
    it.clone().to(row().clock(0, 1000)).to(row().may(0, B).clock(0, 1000)).leaves();
    it.clone().to(row().may(0, B).clock(0, 1000)).leaves();
    it.clone().to(row().clock(0, 1000)).leaves();
    loose(it.clone()).to(row().clock(0, 1000)).right();
    loose(it).to(row().may(0, B).clock(0, 1000)).leaves();
}

#[test]
fn what_is_known_of_the_second_value_alone_is_exact() {
    let it = kit(&[2, 2]).effect(Look, 0, A).loss(1, vec![part(0, A)], Standing::Event);
    let it = it.care(|care| care.exact = vec![1]).from(row().may(0, B).may(1, A));
    it.to(row().may(0, A).opened(1)).right();
}

/// What the view does not speak of may be in any way: variable 1.
fn view(kit: Kit) -> Kit {
    kit.vars(&[0])
}

#[test]
fn an_effect_outside_may_end_something_inside() {
    let it = kit(&[2, 2]).loss(0, vec![part(1, A)], Standing::Event);
    let (kept, ended) = (row().may(0, A), row().opened(0));
    // What is written is known while it is written.
    let write = view(it.clone().effect(Write, 1, A));
    write.leads(kept.clone(), ended.clone(), [kept.clone()]);
    let write = view(it.clone().effect(Write, 1, B));
    write.leads(kept.clone(), kept.clone(), [ended.clone()]);
    for kind in [Look, Find, Lose] {
        let set = if kind == Find { A } else { A | B };
        let it = view(it.clone().effect(kind, 1, set)).from(kept.clone()).to(kept.clone());
        it.leaves();
        let both = it.clone().from(ended.clone()).to(ended.clone());
        if kind == Look {
            // Whether it is ended is open: it is not exact any more.
            both.leaves();
            loose(it.to(row())).right();
        } else {
            both.right();
        }
    }
}

#[test]
fn an_effect_outside_may_end_something_by_way_of_what_is_outside() {
    let it =
        kit(&[2, 2, 2]).loss(0, vec![part(1, A)], Standing::Event).loss(1, vec![part(2, A)], Standing::Event);
    let (kept, ended) = (row().may(0, A), row().opened(0));
    let it = view(it.effect(Write, 2, A)).from(kept.clone()).to(kept);
    it.leaves();
    it.to(ended).right();
}

#[test]
fn what_is_outside_may_feed_and_hold_at_any_moment() {
    let fed = kit(&[2, 2]).effect(Write, 0, A).loss(0, vec![part(1, A)], Standing::Feeds);
    let fed = view(fed).from(row()).to(row().may(0, A));
    fed.leaves();
    fed.clone().to(row().opened(0)).leaves();
    loose(fed.clone()).leaves();
    loose(fed.to(row())).right();
    let holds = kit(&[2, 2, 2]).settles(0, Some(vec![part(1, A)])).effect(Write, 2, A);
    let holds = view(holds).from(row().clock(0, 500));
    holds.clone().to(row()).to(row().clock(0, 500)).leaves();
    holds.clone().to(row()).leaves();
    holds.clone().to(row().clock(0, 500)).leaves();
    loose(holds.clone()).to(row().clock(0, 500)).leaves();
    loose(holds).to(row()).right();
}

#[test]
fn time_outside_may_end_something_inside() {
    let it = kit(&[2, 2]).settles(1, None).loss(1, vec![], Standing::Feeds).loss(
        0,
        vec![part(1, A)],
        Standing::Event,
    );
    let it = view(it.wait(vec![], 100)).exact().from(row().may(0, A)).to(row().may(0, A));
    it.leaves();
    it.clone().to(row().opened(0)).leaves();
    loose(it.clone()).leaves();
    loose(it.clone().to(row())).right();
    it.with(|form| form.lost_when[0].standing = Standing::Event).right();
}

#[test]
fn an_interruption_outside_may_end_something_inside() {
    // What is outside may be lost, and then have any value: a clock may not count any more, and what is fed may be lost.
    let known = row().may(0, 0b011).clock(0, 500);
    let it = kit(&[2, 2, 2]).settles(0, Some(vec![part(1, A)])).node(3, |node| node.role = Role::Stood);
    let it = it.care(|care| care.exact = vec![0]);
    let pair = |it: &Kit| view(it.clone()).from(known.clone()).to(known.clone());
    pair(&it).right();
    let lossy = it.clone().var(1, |var| (var.keeps, var.is_asked) = (false, false));
    pair(&lossy).leaves();
    pair(&lossy).from(row()).to(row()).right();
    pair(&lossy.var(1, |var| var.is_variant = true).var(1, |var| var.is_asked = true)).right();
    let fed = kit(&[2, 2]).loss(0, vec![part(1, A)], Standing::Feeds).node(3, |node| node.role = Role::Stood);
    let pair = |it: &Kit| view(it.clone()).from(row().may(0, A)).to(row().may(0, A));
    pair(&fed).right();
    let lossy = fed.var(1, |var| (var.keeps, var.is_asked) = (false, false));
    pair(&lossy).leaves();
    pair(&lossy).from(row().opened(0)).to(row().opened(0)).right();
    pair(&lossy.with(|form| form.lost_when[0].standing = Standing::Event)).right();
}

#[test]
fn an_interruption_may_end_what_is_fed_by_way_of_what_is_outside() {
    // Variable 2 is lost, variable 1 is fed by it then, and what is known of variable 0 ends by that of variable 1.
    let it =
        kit(&[2, 2, 2]).loss(1, vec![part(2, A)], Standing::Feeds).loss(0, vec![part(1, A)], Standing::Event);
    let it =
        it.node(3, |node| node.role = Role::Stood).var(2, |var| (var.keeps, var.is_asked) = (false, false));
    let it = view(it).from(row().may(0, A)).to(row().may(0, A));
    it.leaves();
    it.clone().from(row().opened(0)).to(row().opened(0)).leaves();
    loose(it.clone()).leaves();
    loose(it.from(row()).to(row())).right();
}

#[test]
fn a_bound_that_is_met_is_no_exact_value() {
    let it = kit(&[3]).from(row().may(0, 0b011)).to(row().may(0, 0b011));
    let it = it.care(|care| *care = form::Care { exact: vec![0], ..form::Care::default() });
    it.right();
    it.placed(3, |at| at.sets[0].1 = 0).unwrap_err();
    let one =
        kit(&[3]).settles(0, None).from(row().may(0, B).clock(0, 1000)).to(row().may(0, B).clock(0, 1000));
    let one = one.care(|care| *care = form::Care { exact: vec![0], ..form::Care::default() });
    one.placed(3, |at| at.sets[0].1 = 0).unwrap();
    let time =
        kit(&[3]).settles(0, None).from(row().may(0, A).clock(0, 500)).to(row().may(0, A).clock(0, 500));
    let time = time.care(|care| *care = form::Care { exact: vec![0], ..form::Care::default() });
    time.right();
    time.placed(3, |at| at.sets[0].1 = 0).unwrap_err();
    // Of what a look leaves one value of, nothing else is left.
    let look = kit(&[3]).effect(Look, 0, A).from(row()).to(row().may(0, A));
    let look = look.care(|care| *care = form::Care { exact: vec![0], ..form::Care::default() });
    look.placed(3, |at| at.sets[0].1 = 0).unwrap();
}

#[test]
fn a_clock_that_is_bounded_may_lose_its_time() {
    let holds = kit(&[2, 2, 2]).settles(0, Some(vec![part(1, A)])).effect(Write, 2, A);
    let it = view(holds).care(|care| care.exact.clear()).from(row().clock(0, 500));
    it.clone().to(row().clock(0, 500)).leaves();
    it.to(row()).right();
}

#[test]
fn what_is_not_tracked_is_not_owed() {
    let it = view(kit(&[2, 2]).node(4, |node| node.needs = vec![part(1, A)])).from(row()).to(row());
    it.wrong(|reason| matches!(reason, Reason::NotCovered));
    // With a second view that claims the need it is the second one that is refused.
    let second = it.clone().vars(&[1]).certificate().views.remove(0);
    let mut both = it.certificate();
    both.views.push(second);
    let refusal = verify(&it.form, &both).unwrap_err();
    assert_eq!((refusal.view, refusal.place.map(|place| place.node)), (Some(1), Some(4)));
    assert!(matches!(refusal.reason, Reason::Need));
    for row in &mut both.views[1].rows {
        row.values = vec![(1, A)];
    }
    let it = it.with(|form| form.start = vec![part(1, A)]);
    verify(&it.form, &both).unwrap();
}

#[test]
fn the_views_speak_of_everything_together() {
    let it = kit(&[2, 2]).from(row()).to(row());
    let in_view = |change: &dyn Fn(Kit) -> Kit, reason: fn(&Reason) -> bool| {
        view(change(it.clone())).wrong(|it| matches!(it, Reason::NotCovered));
        let whole = change(it.clone()).exact().verify();
        if let Err(refusal) = whole {
            assert!(reason(&refusal.reason), "{refusal}");
        }
    };
    in_view(&|it| it.rule(vec![part(0, A), part(1, A)]), |_| false);
    in_view(&|it| it.promise(part(1, A), false), |_| false);
    in_view(&|it| it.with(|form| form.unseen = vec![part(1, A | B)]), |_| false);
    in_view(&|it| it.node(2, |node| node.needs = vec![part(1, A | B)]), |_| false);
    let asks = |it: Kit| {
        let it = it.node(3, |node| (node.role, node.outcomes[0].takes) = (Role::Asks, form::Takes::Answer));
        it.effect(Look, 0, A | B).effect(Look, 1, A | B)
    };
    view(asks(it.clone())).wrong(|it| matches!(it, Reason::NotCovered));
    asks(it).right();
}

#[test]
fn what_is_found_is_in_the_first_view() {
    let second = |role: Role| {
        let it = kit(&[2, 2]).rule(vec![part(1, A)]).node(3, |node| node.role = role).effect(Look, 1, A | B);
        let first: View = it.clone().vars(&[0]).from(row()).to(row()).certificate().views.remove(0);
        let mut both = it.clone().from(row().found(0)).to(row().found(0)).certificate();
        both.views[0].places[0].sets.retain(|set| role == Role::Stop || set.0 == 0);
        both.views.insert(0, first);
        verify(&it.form, &both)
    };
    wrong(second(Role::Stood), |reason| matches!(reason, Reason::NotCovered));
    // Nobody stands there; but what is found at the stop counts as well.
    wrong(second(Role::Passing), |reason| matches!(reason, Reason::NotClaimed));
}

#[test]
fn a_certificate_of_no_views_says_nothing() {
    let it = kit(&[2]).from(row()).to(row());
    wrong(it.changed(|it| it.views.clear()), |reason| matches!(reason, Reason::Malformed));
    wrong(it.changed(|it| it.views[0].places.clear()), |reason| matches!(reason, Reason::NotClaimed));
    // Places to which nothing leads need not be there.
    it.changed(|it| it.views[0].places.truncate(2)).unwrap();
    it.changed(|it| it.views[0].places[2].sets.insert(0, ClaimedSet(0, 1, None))).unwrap();
    let twice = it.changed(|it| it.views[0].places[2].sets.push(ClaimedSet(1, 1, None)));
    wrong(twice, |reason| matches!(reason, Reason::Malformed));
    let the_very_same = it.changed(|it| {
        let sets = &mut it.views[0].places[2].sets;
        let first = sets[0];
        sets.insert(0, first);
    });
    wrong(the_very_same, |reason| matches!(reason, Reason::Malformed));
}
