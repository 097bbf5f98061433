//! Section 2: what an effect does.

use form::EffectKind::{Find, Look, Lose, Open, Verify, Write};
use form::Standing;

use crate::build::{A, B, Rows, kit, part, row};

const ALL: u64 = A | B;

fn falling() -> Standing {
    Standing::ByItself { falling: vec![0], stood_over: vec![] }
}

#[test]
fn a_write_says_what_is_so() {
    let it = kit(&[2]).effect(Write, 0, A);
    it.clone().leads(row(), row().may(0, A), [row(), row().may(0, B), row().may(0, A).wrote(0)]);
    it.leads(row().may(0, B).opened(0), row().may(0, A), [row().may(0, A).opened(0)]);
}

#[test]
fn what_an_act_changes_is_written_where_a_promise_is_usual() {
    let it = kit(&[2, 2]).effect(Write, 0, A).loss(1, vec![part(0, A)], Standing::Event);
    let usual = it.clone().promise(part(0, A), true).promise(part(1, A), true);
    let ended = row().may(0, A).opened(1);
    usual.leads(row().may(1, A), ended.clone().wrote(0).wrote(1), [ended.clone().wrote(0), ended.clone()]);
    it.promise(part(0, A), false).leads(row().may(1, A), ended.clone(), [ended.wrote(0)]);
    let opened = row().opened(0);
    let open = kit(&[2]).effect(Open, 0, 0);
    open.clone().promise(part(0, A), true).leads(row(), opened.clone().wrote(0), [opened.clone()]);
    open.leads(row(), opened.clone(), [opened.wrote(0)]);
    kit(&[2]).effect(Find, 0, A).promise(part(0, A), true).leads(
        row(),
        row().may(0, A),
        [row().may(0, A).wrote(0)],
    );
}

#[test]
fn open_and_lose_leave_nothing_known() {
    for kind in [Open, Lose] {
        kit(&[2]).effect(kind, 0, A).leads(
            row().may(0, A),
            row().opened(0),
            [row(), row().may(0, A).opened(0)],
        );
    }
}

#[test]
fn a_look_narrows_and_closes() {
    let it = kit(&[3]).effect(Look, 0, 0b011);
    it.clone().leads(row().may(0, 0b110), row().may(0, 0b010), [row().may(0, 0b011), row().may(0, 0b110)]);
    it.leads(row().may(0, 0b110).opened(0), row().may(0, 0b010), [row().may(0, 0b010).opened(0)]);
}

#[test]
fn a_surprise_puts_what_was_seen_and_only_looks_count() {
    let it = kit(&[2]).effect(Look, 0, A);
    it.clone().leads(row().may(0, B), row().may(0, A), [row(), row().may(0, B)]);
    let settles = it.settles(0, None).settles(0, None);
    let seen = row().clock(0, 0);
    let settled = row().may(0, B).clock(0, 1000).clock(1, 1000);
    settles.clone().leads(
        settled.clone(),
        seen.clone().look_only(0),
        [seen.clone(), seen.clone().look_only(1)],
    );
    let hidden = settles.var(0, |var| (var.is_hidden, var.is_asked) = (true, false));
    hidden.leads(settled.clone(), seen.clone(), [seen.clone().look_only(0)]);
    let find = kit(&[2]).effect(Find, 0, A).settles(0, None);
    find.clone().leads(row().may(0, B).clock(0, 1000), seen.clone().look_only(0), [seen.clone()]);
    find.leads(row(), seen.clone(), [seen.look_only(0)]);
}

#[test]
fn an_opened_look_changes_and_another_does_not() {
    let it = kit(&[2, 2]).effect(Look, 0, A).loss(1, vec![part(0, A)], Standing::Event);
    let (kept, ended) = (row().may(0, A).may(1, A), row().may(0, A).opened(1));
    it.clone().leads(row().may(1, A), kept.clone(), [ended.clone()]);
    it.clone().leads(row().may(1, A).opened(0), ended.clone(), [kept.clone()]);
    it.leads(row().may(0, B).may(1, A), ended.clone(), [kept.clone()]);
    let find = kit(&[2, 2]).effect(Find, 0, A).loss(1, vec![part(0, A)], Standing::Event);
    find.leads(row().may(1, A), ended.clone(), [kept.clone()]);
    let lose = kit(&[2, 2]).effect(Lose, 0, A).loss(1, vec![part(0, A)], Standing::Event);
    lose.leads(row().may(0, A).may(1, A), row().opened(0).opened(1), [row().may(1, A).opened(0)]);
}

#[test]
fn verify_closes_and_changes_nothing() {
    let it = kit(&[2, 2]).effect(Verify, 0, B).loss(1, vec![part(0, A)], Standing::Event);
    let kept = row().may(0, A).may(1, A);
    it.leads(kept.clone().opened(0), kept.clone(), [kept.opened(0), row().may(0, A).opened(1)]);
}

#[test]
fn what_is_put_may_settle_at_once_and_its_clock_begins() {
    let it = kit(&[3]).effect(Write, 0, A).settles(0, None);
    it.clone().leads(row().may(0, 0b011).clock(0, 500), row().may(0, 0b011), [row().may(0, A)]);
    it.leads(row(), row().may(0, 0b011), [row().may(0, 0b011).clock(0, 500), row().may(0, A)]);
    let other = kit(&[2, 2]).effect(Write, 1, A).settles(0, None);
    other.leads(row().clock(0, 500), row().may(1, A).clock(0, 500), [row().may(1, A)]);
    // What it may settle to ends evidence at once.
    let ends = kit(&[2, 2]).effect(Write, 0, A).settles(0, None).loss(1, vec![part(0, B)], Standing::Event);
    ends.leads(row().may(1, A), row().opened(1), [row().may(1, A)]);
    let out = kit(&[3]).effect(Write, 0, 0b100).settles(0, None);
    out.leads(
        row(),
        row().may(0, 0b100).clock(0, 1000),
        [row().may(0, 0b100), row().may(0, 0b110).clock(0, 1000)],
    );
}

#[test]
fn evidence_ends_by_what_changes_if_its_cube_meets() {
    let it = kit(&[2, 2]).effect(Write, 0, A);
    let (kept, ended) = (row().may(0, A).may(1, A), row().may(0, A).opened(1));
    let met = it.clone().loss(1, vec![part(0, A)], Standing::Event);
    met.leads(row().may(1, A), ended.clone(), [kept.clone()]);
    let unmet = it.clone().loss(1, vec![part(0, B)], Standing::Event);
    unmet.leads(row().may(1, A), kept.clone(), [ended.clone()]);
    let unnamed = it.loss(1, vec![part(1, A)], Standing::Event);
    unnamed.leads(row().may(1, A), kept, [ended]);
}

#[test]
fn evidence_ends_in_a_chain() {
    let it = kit(&[2, 2, 2, 2]).effect(Write, 0, A);
    let chain = it.loss(2, vec![part(1, B)], Standing::Event).loss(1, vec![part(0, A)], Standing::Event);
    // The last one meets only when what its own cause was ended.
    let chain = chain.loss(3, vec![part(0, A), part(2, B)], Standing::Event);
    let from = row().may(1, A).may(2, A).may(3, A);
    let ended = row().may(0, A).opened(1).opened(2).opened(3);
    let less = [row().may(0, A).may(3, A).opened(1).opened(2), row().may(0, A).may(2, A).may(3, A).opened(1)];
    chain.leads(from, ended, less);
}

#[test]
fn what_is_ended_can_be_fed_back_to_what_began() {
    let it = kit(&[2, 2]).effect(Write, 0, A).loss(1, vec![part(0, A)], Standing::Event);
    let it = it.loss(0, vec![part(1, B)], Standing::Event);
    it.leads(row().may(1, A), row().opened(0).opened(1), [row().may(0, A).opened(1)]);
}

#[test]
fn what_ends_begins_its_clock() {
    let it = kit(&[2, 2]).effect(Write, 0, A).settles(1, None).loss(1, vec![part(0, A)], Standing::Event);
    it.leads(
        row().may(1, B).clock(0, 1000),
        row().may(0, A).opened(1),
        [row().may(0, A).clock(0, 1000).opened(1)],
    );
}

#[test]
fn what_is_fed_is_not_known_for_long() {
    let it = kit(&[2, 2]).effect(Write, 0, A);
    let fed = it.clone().loss(0, vec![part(1, B)], Standing::Feeds);
    fed.clone().leads(row(), row().opened(0), [row().may(0, A)]);
    fed.leads(row().may(1, A), row().may(0, A).may(1, A), [row().may(1, A).opened(0)]);
    it.loss(0, vec![part(1, B)], Standing::Event).leads(row(), row().may(0, A), [row().opened(0)]);
}

#[test]
fn a_look_at_what_is_fed_is_lost() {
    let it = kit(&[2, 2]).effect(Look, 0, A).loss(0, vec![part(1, B)], Standing::Feeds);
    it.clone().leads(row(), row().opened(0), [row().may(0, A)]);
    it.leads(row().may(1, A), row().may(0, A).may(1, A), [row().may(1, A).opened(0)]);
    let all = kit(&[2, 2]).effect(Look, 0, ALL).loss(0, vec![part(1, B)], Standing::Feeds);
    all.leads(row(), row(), [row().opened(0)]);
}

#[test]
fn what_may_fall_by_itself_stands_over() {
    let it = kit(&[2, 2, 2]).effect(Write, 0, A).settles(2, None);
    let by_itself = it.clone().loss(0, vec![part(1, B)], falling());
    by_itself.clone().leads(row(), row().opened(0), [row().may(0, A)]);
    let settled = row().may(2, B).clock(0, 1000);
    by_itself.leads(settled.clone(), settled.clone().may(0, A).sorted(), [settled.clone().opened(0)]);
    let none = Standing::ByItself { falling: vec![], stood_over: vec![] };
    it.loss(0, vec![part(1, B)], none).leads(row(), row().may(0, A), [row().opened(0)]);
}

#[test]
fn what_is_stood_over_in_turn_stands_over() {
    let over = |vars: &[u32]| Standing::ByItself { falling: vec![], stood_over: vars.to_vec() };
    let it = kit(&[2, 2, 2]).effect(Write, 0, A).loss(0, vec![part(1, B)], over(&[2]));
    let fed = it.clone().loss(2, vec![part(1, B)], Standing::Feeds);
    fed.leads(row(), row().opened(0), [row().may(0, A)]);
    let event = it.clone().loss(2, vec![part(1, B)], Standing::Event);
    event.leads(row(), row().may(0, A), [row().opened(0)]);
    // In a ring nobody stands over anybody.
    let ring = it.loss(2, vec![part(1, B)], over(&[0]));
    ring.leads(row(), row().may(0, A), [row().opened(0)]);
}

#[test]
fn time_counts_while_its_condition_holds() {
    let it = kit(&[2, 2]).effect(Write, 1, B).settles(0, Some(vec![part(1, A)]));
    it.leads(row().may(1, A).clock(0, 500), row().may(1, B), [row().may(1, B).clock(0, 500)]);
    let same = kit(&[2, 2]).effect(Write, 1, A).settles(0, Some(vec![part(1, A)]));
    same.leads(row().may(1, A).clock(0, 500), row().may(1, A).clock(0, 500), [row().may(1, A)]);
    // What has settled does not come back.
    let done = kit(&[2, 2]).effect(Write, 1, B).settles(0, Some(vec![part(1, A)]));
    let settled = row().may(0, B).may(1, B).clock(0, 1000);
    done.leads(row().may(0, B).may(1, A).clock(0, 1000), settled, [row().may(0, B).may(1, B)]);
}

#[test]
fn a_look_settles_what_it_leaves() {
    let it = kit(&[3]).effect(Look, 0, 0b101).settles(0, None);
    it.leads(row().may(0, 0b111), row(), [row().may(0, 0b101)]);
    let out = kit(&[3]).effect(Look, 0, 0b110).settles(0, None);
    out.leads(row().clock(0, 500), row().may(0, 0b110).clock(0, 1000), [row().may(0, 0b110).clock(0, 500)]);
}

#[test]
fn what_a_look_shows_is_found_though_it_may_settle() {
    let rule = || vec![part(0, A)];
    let it = kit(&[2]).effect(Look, 0, A).rule(rule());
    it.clone().settles(0, None).leads(row(), row().found(0), [row()]);
    // A rule that holds is found by the note as well; what settles is why the other is needed.
    it.leads(row(), row().may(0, A).found(0), [row().may(0, A)]);
    let find = kit(&[2]).effect(Find, 0, A).rule(rule()).settles(0, None);
    find.leads(row(), row().found(0), [row()]);
    let lost = kit(&[2]).effect(Look, 0, A).rule(rule()).loss(0, vec![], Standing::Feeds);
    lost.leads(row(), row().opened(0), [row().opened(0).found(0)]);
    let shown = kit(&[2, 2]).effect(Look, 0, A).rule(vec![part(0, A), part(1, A)]).settles(0, None);
    shown.clone().leads(row().may(1, A), row().may(1, A).found(0), [row().may(1, A)]);
    shown.leads(row(), row(), [row().found(0)]);
}
