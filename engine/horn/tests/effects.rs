//! Effects (section 2, "Applying an effect" and "Put").

use form::{EffectKind, Standing};

use crate::support::*;

#[test]
fn an_act_makes_it_so() {
    tells(|holds| {
        let mut it = form(&[3]);
        chain(&mut it, &[&[write(0, if holds { ONE } else { ONE | TWO })]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn an_act_that_disturbs_leaves_everything_open() {
    tells(|holds| {
        let mut it = form(&[2]);
        it.start = cube(&[(0, ONE)]);
        chain(&mut it, &[&[if holds { write(0, ONE) } else { open(0) }]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn a_look_keeps_what_was_ruled_out() {
    tells(|holds| {
        let mut it = form(&[3]);
        it.start = if holds { cube(&[(0, ZERO | ONE)]) } else { Vec::new() };
        chain(&mut it, &[&[look(0, ONE | TWO)]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn a_surprise_is_believed() {
    tells(|holds| {
        let mut it = form(&[3]);
        it.start = cube(&[(0, ZERO)]);
        chain(&mut it, &[&[look(0, if holds { ONE } else { ONE | TWO })]]);
        promise(&mut it, 0, ONE);
        it
    });
}

/// Evidence (variable 1) that ends when variable 0 is changed.
fn evidence(first: &[form::Effect], second: &[form::Effect]) -> form::Form {
    let mut it = form(&[2, 2]);
    it.start = cube(&[(0, ONE)]);
    loss(&mut it, 1, &[(0, ZERO | ONE)], Standing::Event);
    chain(&mut it, &[first, &[look(1, ONE)], second]);
    promise(&mut it, 1, ONE);
    it
}

#[test]
fn a_plain_look_changes_nothing() {
    tells(|holds| evidence(&[], &[look(0, if holds { ONE } else { ZERO })]));
}

#[test]
fn a_look_at_what_was_opened_is_a_change() {
    tells(|holds| evidence(&[open(0)][usize::from(holds)..], &[look(0, ONE)]));
}

#[test]
fn an_act_ends_what_was_opened() {
    tells(|holds| {
        let acts = [open(0), write(0, ZERO | ONE)];
        evidence(if holds { &acts } else { &acts[..1] }, &[look(0, ONE)])
    });
}

#[test]
fn a_look_ends_what_was_opened() {
    tells(|holds| {
        let acts = [open(0), look(0, ONE)];
        evidence(if holds { &acts } else { &acts[..1] }, &[look(0, ONE)])
    });
}

#[test]
fn to_lose_is_to_open() {
    tells(|holds| evidence(&[lose(0)][usize::from(holds)..], &[look(0, ONE)]));
}

#[test]
fn to_verify_is_to_open_no_more() {
    tells(|holds| {
        let acts = [open(0), effect(EffectKind::Verify, 0, 0)];
        evidence(if holds { &acts } else { &acts[..1] }, &[look(0, ONE)])
    });
}

#[test]
fn to_verify_changes_nothing() {
    tells(|holds| evidence(&[], &[if holds { effect(EffectKind::Verify, 0, 0) } else { write(0, ONE) }]));
}

#[test]
fn to_verify_tells_nothing() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[if holds { look(0, ONE) } else { effect(EffectKind::Verify, 0, ONE) }]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn to_find_is_a_change() {
    tells(|holds| evidence(&[], &[if holds { look(0, ONE) } else { find(0, ONE) }]));
}

#[test]
fn to_find_does_not_keep_what_was_ruled_out() {
    tells(|holds| {
        let mut it = form(&[3]);
        it.start = cube(&[(0, ZERO | ONE)]);
        let set = ONE | TWO;
        chain(&mut it, &[&[if holds { look(0, set) } else { find(0, set) }]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn what_is_found_is_open_no_more() {
    tells(|holds| {
        let acts = [open(0), find(0, ONE)];
        evidence(if holds { &acts } else { &acts[..1] }, &[look(0, ONE)])
    });
}

#[test]
fn to_lose_a_variable_leaves_everything_open() {
    tells(|holds| {
        let mut it = form(&[2]);
        it.start = cube(&[(0, ONE)]);
        chain(&mut it, &[&[lose(0)][usize::from(holds)..]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn effects_come_one_after_the_other() {
    tells(|holds| {
        let mut it = form(&[2]);
        let mut acts = [write(0, ZERO), write(0, ONE)];
        if !holds {
            acts.reverse();
        }
        chain(&mut it, &[&acts]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn an_act_that_is_fleeting_is_lost_at_once() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        it.start = cube(&[(1, ONE)]);
        loss(&mut it, 0, &[(1, if holds { ZERO } else { ONE })], Standing::Feeds);
        chain(&mut it, &[&[write(0, ONE)]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn a_look_that_is_fleeting_is_lost_at_once() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        it.start = cube(&[(1, ONE)]);
        loss(&mut it, 0, &[(1, if holds { ZERO } else { ONE })], Standing::Feeds);
        chain(&mut it, &[&[look(0, ONE)]]);
        promise(&mut it, 0, ONE);
        it
    });
}
