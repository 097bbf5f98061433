//! Where it is open whether something happens: nothing exact is claimed afterwards, and no mark.

use form::EffectKind::{Look, Write};
use form::{Care, Standing};

use crate::build::{A, B, Kit, Rows, kit, part, row};
use crate::told::Reason;

const ALL: u64 = A | B;

/// Variable 0 is known, and ended by what variable 1 becomes, but only if variable 2 may be so; the view speaks of neither.
fn perhaps(kit: Kit) -> Kit {
    let it = kit.loss(0, vec![part(1, A), part(2, A)], Standing::Event);
    it.effect(Write, 1, A).vars(&[0]).from(row().may(0, A))
}

fn exact(kit: Kit) -> Kit {
    kit.care(|care| *care = Care { exact: vec![0], ..Care::default() })
}

#[test]
fn what_is_perhaps_ended_is_not_exact() {
    let it = perhaps(kit(&[2, 2, 2]));
    exact(it.clone().to(row())).leaves();
    exact(it.clone().to(row().may(0, A))).leaves();
    it.care(|care| *care = Care::default()).to(row()).right();
}

#[test]
fn what_is_perhaps_ended_is_perhaps_opened() {
    let it = perhaps(kit(&[2, 2, 2])).care(|care| *care = Care { opened: vec![0], ..Care::default() });
    it.clone().to(row()).leaves();
    it.clone().to(row().opened(0)).leaves();
    it.to(row()).to(row().opened(0)).leaves();
}

#[test]
fn what_is_perhaps_changed_perhaps_ends_something() {
    // Variable 1 is perhaps ended, and whatever it is, that ends variable 0.
    let it = kit(&[2, 2, 2, 2]).loss(1, vec![part(2, A), part(3, A)], Standing::Event).effect(Write, 2, A);
    let it = it.loss(0, vec![part(1, ALL)], Standing::Event).vars(&[0]).from(row().may(0, A));
    it.clone().to(row().opened(0)).leaves();
    it.clone().to(row().may(0, A)).leaves();
    it.care(|care| *care = Care::default()).to(row()).right();
}

#[test]
fn a_clock_that_perhaps_begins_is_not_exact() {
    let it = perhaps(kit(&[2, 2, 2]).settles(0, None));
    let it = Kit { from: vec![row().clock(0, 500)], ..it };
    exact(it.clone().to(row())).leaves();
    exact(it.clone().to(row().clock(0, 500))).leaves();
    it.care(|care| *care = Care::default()).to(row()).right();
}

#[test]
fn what_was_not_known_is_as_it_was() {
    let it = perhaps(kit(&[2, 2, 2]));
    exact(Kit { from: vec![row()], ..it }.to(row())).right();
}

#[test]
fn what_perhaps_settles_is_not_exact() {
    // Time may end variable 1, outside; where it does not, nothing settles: the second value is not added.
    let it = kit(&[2, 2]).settles(0, None).settles(1, None).loss(1, vec![], Standing::Feeds);
    let it = exact(it.wait(vec![], 100).vars(&[0])).from(row().may(0, A));
    it.clone().to(row().clock(0, 100)).leaves();
    it.clone().to(row().may(0, A).clock(0, 100)).leaves();
    // Nor is it over for a clock that stood still.
    let out = kit(&[2, 2]).settles(0, None).settles(1, None).loss(1, vec![], Standing::Feeds);
    let out = out.with(|form| form.settling[0].holds = Some(vec![part(1, A)]));
    let out = out.wait(vec![], 100).vars(&[0]).care(|care| *care = Care::default());
    out.clone().from(row().may(0, B)).to(row().may(0, B).clock(0, 1000)).leaves();
    out.from(row().may(0, B)).to(row().may(0, B)).right();
}

#[test]
fn who_perhaps_stands_over_is_not_sure() {
    let falling = Standing::ByItself { falling: vec![0], stood_over: vec![] };
    let it = kit(&[2, 2, 2]).settles(2, None).loss(0, vec![part(1, A)], falling).effect(Write, 0, A);
    let it = it.care(|care| *care = Care { exact: vec![0, 2], ..Care::default() }).from(row());
    it.clone().to(row()).leaves();
    it.clone().to(row().may(0, A)).leaves();
    it.care(|care| care.exact = vec![2]).to(row()).right();
}

#[test]
fn time_that_perhaps_counts_does_not_pass() {
    let it = kit(&[2, 2]).settles(0, Some(vec![part(1, A)])).wait(vec![], 600);
    let it = it.care(|care| *care = Care::default()).from(row().clock(0, 300));
    it.clone().to(row().clock(0, 900)).leaves();
    it.to(row().clock(0, 300)).right();
}

#[test]
fn too_many_ways_are_refused() {
    let looks = |count: u32| {
        let it = kit(&[2; 13]).care(|care| care.exact.clear());
        (0..count).fold(it, |it, v| it.effect(Look, v, A)).from(row()).to(row())
    };
    looks(4).right();
    looks(13).wrong(|reason| *reason == Reason::Open);
}
