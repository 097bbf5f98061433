//! The start, needs and what must hold at done (sections 3 and 4).

use form::{Part, Promise, Standing};

use crate::support::*;

#[test]
fn needs_hold_on_arrival() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[write(0, ONE)], &[]]);
        it.nodes[3].needs = cube(&[(0, if holds { ONE } else { ZERO })]);
        it
    });
}

#[test]
fn needs_hold_at_the_entry() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[]]);
        it.nodes[2].needs = cube(&[(0, ONE)]);
        it.start = cube(&[(0, if holds { ONE } else { ZERO })]);
        it
    });
}

#[test]
fn needs_may_name_a_variable_twice() {
    tells(|holds| {
        let mut it = form(&[3]);
        chain(&mut it, &[&[]]);
        it.nodes[2].needs = cube(&[(0, ONE | ZERO), (0, if holds { ONE } else { ZERO })]);
        it.start = cube(&[(0, ONE)]);
        it
    });
}

#[test]
fn needs_of_a_place_to_which_no_move_leads_are_nobodys() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[], &[]]);
        it.nodes[3].needs = cube(&[(0, ONE)]);
        way(&mut it, 0).to = if holds { 0 } else { 3 };
        it
    });
}

#[test]
fn moves_go_round() {
    tells(|holds| {
        let mut it = form(&[3]);
        it.start = cube(&[(0, ZERO)]);
        chain(&mut it, &[&[], &[write(0, ONE)]]);
        it.nodes[3].outcomes.push(outcome(2, &[write(0, if holds { ONE } else { TWO })]));
        it.nodes[2].needs = cube(&[(0, ZERO | ONE)]);
        it
    });
}

#[test]
fn a_promise_holds_at_done() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[write(0, if holds { ONE } else { ZERO })]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn a_promise_is_not_owed_at_the_stop() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[]]);
        promise(&mut it, 0, ONE);
        way(&mut it, 0).to = u32::from(holds);
        it
    });
}

#[test]
fn a_usual_promise_is_owed_where_an_act_wrote() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[if holds { look(0, ZERO) } else { write(0, ZERO) }]]);
        it.promises = vec![Promise { part: Part { var: 0, set: ONE }, usual: true }];
        it
    });
}

#[test]
fn what_an_act_ends_is_written_too() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        chain(&mut it, &[&[write(1, ZERO)]]);
        it.promises = vec![Promise { part: Part { var: 0, set: ONE }, usual: true }];
        loss(&mut it, 0, &[(1, if holds { ONE } else { ZERO })], Standing::Event);
        it
    });
}

#[test]
fn to_open_is_to_write() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[if holds { lose(0) } else { open(0) }]]);
        it.promises = vec![Promise { part: Part { var: 0, set: ONE }, usual: true }];
        it
    });
}

#[test]
fn no_rule_is_found_at_done() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[look(0, if holds { ZERO } else { ONE })]]);
        rule(&mut it, &[(0, ONE)]);
        it
    });
}

#[test]
fn no_rule_holds_at_the_start() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        chain(&mut it, &[&[]]);
        rule(&mut it, &[(0, ONE), (1, ONE)]);
        // One that may be broken is not one that is.
        it.start = if holds { cube(&[(0, ONE)]) } else { cube(&[(0, ONE), (1, ONE)]) };
        it
    });
}

#[test]
fn the_start_is_settled_before_rules_are_asked() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[]]);
        rule(&mut it, &[(0, ONE)]);
        it.start = cube(&[(0, ONE)]);
        if holds {
            settling(&mut it, 0, 100, None);
        }
        it
    });
}

#[test]
fn no_time_has_passed_at_the_start() {
    tells(|holds| {
        let mut it = form(&[2]);
        settling(&mut it, 0, 100, None);
        chain(&mut it, &[&[]]);
        promise(&mut it, 0, ZERO);
        delay(&mut it, 0, if holds { 100 } else { 99 });
        it
    });
}

#[test]
fn what_is_fleeting_at_the_start_is_lost() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        chain(&mut it, &[&[]]);
        promise(&mut it, 0, ONE);
        it.start = cube(&[(0, ONE), (1, ONE)]);
        loss(&mut it, 0, &[(1, if holds { ZERO } else { ONE })], Standing::Feeds);
        it
    });
}

#[test]
fn what_ends_by_that_is_lost_too() {
    tells(|holds| {
        let mut it = form(&[2, 2, 2]);
        chain(&mut it, &[&[]]);
        promise(&mut it, 2, ONE);
        it.start = cube(&[(0, ONE), (1, ONE), (2, ONE)]);
        loss(&mut it, 0, &[(1, ONE)], Standing::Feeds);
        loss(&mut it, 2, &[(if holds { 1 } else { 0 }, ZERO)], Standing::Event);
        it
    });
}

#[test]
fn a_rule_is_asked_before_what_is_fleeting_is_lost() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        chain(&mut it, &[&[]]);
        it.start = if holds { cube(&[(1, ONE)]) } else { cube(&[(0, ONE), (1, ONE)]) };
        rule(&mut it, &[(0, ONE)]);
        loss(&mut it, 0, &[(1, ONE)], Standing::Feeds);
        it
    });
}

#[test]
fn what_nobody_can_see_is_so_at_the_start() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[]]);
        it.unseen = cube(&[(0, ONE)]);
        it.start = if holds { cube(&[(0, ONE)]) } else { Vec::new() };
        it
    });
}

#[test]
fn what_was_lost_at_the_start_is_not_so() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        chain(&mut it, &[&[]]);
        it.unseen = cube(&[(0, ONE)]);
        it.start = cube(&[(0, ONE)]);
        loss(&mut it, 0, &[(1, ONE)], if holds { Standing::Event } else { Standing::Feeds });
        it
    });
}
