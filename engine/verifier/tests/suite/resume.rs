//! Section 4, 6: taking up again.

use form::{Role, Standing, Var};

use crate::build::{A, B, Kit, Rows, kit, part, row};

/// A person stands at node 3 and knows `known`; after an interruption it is `known` or `lost`.
#[track_caller]
fn keeps(it: &Kit, known: form::Row) {
    it.clone().node(3, |node| node.role = Role::Stood).from(known.clone()).to(known).right();
}

#[track_caller]
fn loses(it: &Kit, known: form::Row, lost: form::Row) {
    let it = it.clone().node(3, |node| node.role = Role::Stood);
    let both = it.clone().from(known.clone()).from(lost.clone()).to(known.clone()).to(lost);
    both.right();
    it.from(known.clone()).to(known).leaves();
}

fn first(change: impl FnOnce(&mut Var)) -> Kit {
    kit(&[2, 2]).var(0, change)
}

fn hidden(var: &mut Var) {
    (var.is_hidden, var.is_asked) = (true, false);
}

#[test]
fn what_keeps_is_vouched_for() {
    keeps(&first(|var| (var.keeps, var.is_asked) = (true, false)), row().may(0, A));
    loses(&first(|var| (var.keeps, var.is_asked) = (false, false)), row().may(0, A), row().opened(0));
    // Where nobody stands nothing is interrupted; of a variant nobody has to vouch for anything.
    let it =
        first(|var| (var.keeps, var.is_asked) = (false, false)).from(row().may(0, A)).to(row().may(0, A));
    it.right();
    keeps(
        &first(|var| (var.keeps, var.is_variant, var.seen_when) = (false, true, vec![part(1, A)])),
        row().may(0, A),
    );
}

#[test]
fn only_what_is_known_is_lost() {
    let it = first(|var| (var.keeps, var.is_asked) = (false, false));
    keeps(&it, row());
    let settles = it.settles(0, None);
    keeps(&settles, row());
    loses(&settles, row().clock(0, 500), row().opened(0));
}

#[test]
fn what_is_half_run_does_not_keep() {
    let run = row().clock(0, 500);
    let it = first(hidden)
        .settles(0, Some(vec![part(1, A)]))
        .var(1, |var| (var.keeps, var.is_asked) = (true, true));
    // Timed, and nothing at hand says that its time counts.
    let known = run.clone().may(1, A);
    let unseen = it.clone().var(1, |var| (var.keeps, var.is_asked) = (false, false));
    loses(&unseen, known.clone(), row().opened(0).opened(1));
    keeps(&it, known);
    keeps(&it, row().may(0, B).may(1, A).clock(0, 1000));
    // Other values are ruled out: it keeps, and time vouches for it.
    keeps(&kit(&[3, 2]).var(0, hidden).settles(0, None), row().may(0, 0b011).clock(0, 500));
    // It may be half run: of a bound on time it is not known.
    let away = first(hidden).settles(0, Some(vec![part(1, A)]));
    let away = away.with(|form| form.vars.push(crate::build::var("v2", 2))).vars(&[0, 1, 2]);
    let away =
        away.var(1, |var| (var.is_variant, var.keeps, var.seen_when) = (true, false, vec![part(2, B)]));
    let known = row().may(1, A).may(2, A);
    keeps(&away, known.clone());
    loses(&away, known.clone().clock(0, 500), known.clone().opened(0));
    let bound = away.care(|care| care.exact = vec![1, 2]).from(known.clone()).to(known);
    bound.node(3, |node| node.role = Role::Stood).leaves();
    // Not hidden, it keeps though half run and not asked.
    let seen = kit(&[2, 2]).var(0, |var| var.is_asked = false).settles(0, Some(vec![part(1, A)]));
    keeps(&seen, row().may(1, A).clock(0, 500));
    // Seen, it keeps though half run.
    keeps(&kit(&[2, 2]).settles(0, Some(vec![part(1, A)])), run.may(1, A));
}

#[test]
fn evidence_that_stands_is_vouched_for() {
    let it = first(|var| (var.keeps, var.is_asked) = (false, false));
    let known = row().may(0, A).may(1, A);
    keeps(&it.clone().loss(0, vec![part(1, B)], Standing::Event), known.clone());
    let met = it.clone().loss(0, vec![part(1, A)], Standing::Event);
    loses(&met, known.clone(), row().may(1, A).opened(0));
    // What its cause needs is neither at hand nor covered.
    let away = it.clone().loss(0, vec![part(1, B)], Standing::Event);
    let away = away.var(1, |var| (var.keeps, var.seen_when) = (false, vec![part(0, B)]));
    loses(&away, known.clone(), row().opened(0).opened(1));
    // Not evidence: it settles.
    let settles = it.loss(0, vec![part(1, B)], Standing::Event).settles(0, None);
    let settled = row().may(0, B).may(1, A).clock(0, 1000);
    loses(&settles, settled, row().may(1, A).opened(0));
}

#[test]
fn evidence_whose_cause_is_covered_stands() {
    let it = kit(&[2, 2, 2]).var(0, |var| (var.keeps, var.is_asked) = (false, false));
    let it = it.loss(0, vec![part(1, B)], Standing::Event);
    let it = it.var(1, |var| (var.keeps, var.seen_when) = (false, vec![part(2, B)]));
    let known = row().may(0, A).may(1, A).may(2, A);
    keeps(&it, known.clone());
    let open = it.var(2, |var| (var.keeps, var.is_asked) = (false, false));
    loses(&open, known, row().opened(0).opened(1).opened(2));
}

#[test]
fn what_is_asked_is_vouched_for_in_sight_or_covered() {
    let it = first(|var| (var.keeps, var.seen_when) = (false, vec![part(1, A)]));
    let known = row().may(0, A);
    keeps(&it, known.clone().may(1, A));
    keeps(&it, known.clone().may(1, B));
    loses(&it, known.clone(), row().opened(0));
    // Covered by what is not at hand.
    let away = it.clone().var(1, |var| (var.keeps, var.is_asked) = (false, false));
    loses(&away, known.clone().may(1, B), row().opened(0).opened(1));
    // What brings it in sight is lost first, and it is lost by the next interruption.
    let away = away.node(3, |node| node.role = Role::Stood);
    let rows = [known.clone().may(1, A), known.opened(1), row().opened(0).opened(1)];
    let all = rows.iter().fold(away.clone(), |it, row| it.from(row.clone()).to(row.clone()));
    all.right();
    rows[..2].iter().fold(away, |it, row| it.from(row.clone()).to(row.clone())).leaves();
}

#[test]
fn evidence_that_is_not_asked_and_does_not_stand_is_lost() {
    let it = first(|var| (var.is_hidden, var.is_asked, var.keeps) = (true, false, false)).loss(
        0,
        vec![],
        Standing::Event,
    );
    loses(&it, row().may(0, A), row().opened(0));
}

#[test]
fn what_is_hidden_is_vouched_for_by_time() {
    let it = kit(&[3, 2]).var(0, |var| (var.is_hidden, var.is_asked, var.keeps) = (true, false, false));
    let free = it.clone().settles(0, None);
    keeps(&free, row().clock(0, 500));
    keeps(&free, row().may(0, 0b110).clock(0, 1000));
    // Something other than what gives way is ruled out.
    loses(&free, row().may(0, 0b011).clock(0, 500), row().opened(0));
    let when = it.clone().settles(0, Some(vec![part(1, A)]));
    keeps(&when, row().may(1, A).clock(0, 500));
    let settled = row().may(0, 0b110).clock(0, 1000);
    loses(&when, settled.clone(), row().opened(0));
    keeps(&when, row().may(0, 0b110).may(1, A).clock(0, 1000));
    let sight = when.clone().var(1, |var| var.keeps = false);
    keeps(&sight, row().may(0, 0b110).may(1, A).clock(0, 1000));
    // It holds, and is not at hand.
    let away = when.var(1, |var| (var.keeps, var.is_asked) = (false, false));
    loses(&away, row().may(0, 0b110).may(1, A).clock(0, 1000), row().opened(0).opened(1));
    // Neither hidden nor asked: the last rule.
    let seen = free.var(0, |var| var.is_hidden = false);
    loses(&seen, row().clock(0, 500), row().opened(0));
}

#[test]
fn a_loss_ends_nothing_else_but_what_is_fed_then() {
    let it = kit(&[2, 2, 2]).var(0, |var| (var.keeps, var.is_asked) = (false, false));
    let known = row().may(0, A).may(1, A);
    loses(&it.clone().loss(1, vec![part(0, B)], Standing::Event), known.clone(), row().may(1, A).opened(0));
    let fed = it.clone().loss(1, vec![part(0, B)], Standing::Feeds);
    loses(&fed, known.clone(), row().opened(0).opened(1));
    // By what is lost so, evidence ends.
    let chain = fed.clone().loss(2, vec![part(1, A)], Standing::Event);
    loses(&chain, known.clone().may(2, A), row().opened(0).opened(1).opened(2));
    // A variant stays.
    let variant =
        it.clone().var(0, |var| var.keeps = true).var(1, |var| (var.keeps, var.is_asked) = (false, false));
    let variant = variant.var(0, |var| (var.is_variant, var.is_asked) = (true, true));
    let variant = variant.loss(0, vec![part(1, A)], Standing::Feeds);
    loses(&variant, row().may(0, A).may(1, B), row().may(0, A).opened(1));
    // Where nothing is lost, what is fed stays as it is.
    keeps(&fed.var(0, |var| var.keeps = true), known);
}

#[test]
fn what_is_lost_begins_its_clock_and_settles() {
    let it = kit(&[2, 2])
        .var(0, |var| (var.keeps, var.is_asked) = (false, false))
        .settles(1, Some(vec![part(0, A)]));
    let known = row().may(0, A).clock(0, 500);
    loses(&it, known, row().opened(0));
}

#[test]
fn what_may_be_known_may_be_lost() {
    let it = kit(&[2]).var(0, |var| (var.keeps, var.is_asked) = (false, false));
    let it = it.node(3, |node| node.role = Role::Stood).from(row()).to(row());
    it.right();
    let wide = it.care(|care| care.exact.clear());
    wide.leaves();
    // Of some it was not known before, so that it is open whether it is opened.
    wide.clone().from(row().opened(0)).to(row().opened(0)).leaves();
    wide.care(|care| care.opened.clear()).right();
    // What is lost is known no more at all.
    let it = kit(&[3]).var(0, |var| (var.keeps, var.is_asked) = (false, false));
    let it = it.node(3, |node| node.role = Role::Stood).care(|care| *care = form::Care::default());
    let lost = it.from(row().may(0, 0b011)).from(row()).to(row());
    let exact = lost.changed(|it| {
        let exact = form::Care { exact: vec![0], ..it.views[0].care[1].clone() };
        it.views[0].care.push(exact);
        it.views[0].places[2].sets[1].1 = 2;
    });
    exact.unwrap();
}
