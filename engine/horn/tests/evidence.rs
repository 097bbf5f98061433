//! Evidence that ends, and evidence that nobody can keep (section 2, "End evidence" and "Fleeting").

use form::{Form, Standing};

use crate::support::*;

/// Variable 0 is known; then variable 1, of which nothing is known at first, is written.
fn known(when: &[(u32, u64)], standing: Standing) -> Form {
    let mut it = form(&[2, 2, 2]);
    loss(&mut it, 0, when, standing);
    chain(&mut it, &[&[look(0, ONE)], &[write(1, ONE)]]);
    promise(&mut it, 0, ONE);
    it
}

#[test]
fn evidence_ends_by_a_cause_that_meets() {
    tells(|holds| known(&[(1, if holds { ZERO } else { ONE })], Standing::Event));
}

#[test]
fn evidence_ends_by_a_cause_that_need_not_hold() {
    tells(|holds| {
        let mut it = known(&[(1, ONE), (2, ONE)], Standing::Event);
        it.start = if holds { cube(&[(2, ZERO)]) } else { Vec::new() };
        it
    });
}

#[test]
fn evidence_ends_only_by_a_cause_of_which_something_changed() {
    tells(|holds| known(&[(if holds { 2 } else { 1 }, ONE)], Standing::Event));
}

#[test]
fn what_ends_is_a_change_itself() {
    tells(|holds| {
        let mut it = form(&[2, 2, 2]);
        // Variable 1 ends by variable 2, and variable 0 by variable 1: the entries stand the other way round.
        loss(&mut it, 0, &[(1, if holds { TWO } else { ZERO })], Standing::Event);
        loss(&mut it, 1, &[(2, ONE)], Standing::Event);
        chain(&mut it, &[&[look(0, ONE), look(1, ONE)], &[write(2, ONE)]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn what_ended_may_be_anything_for_the_causes_after_it() {
    tells(|holds| {
        let mut it = form(&[2, 2, 2]);
        // Variable 1 was known to be no cause.
        loss(&mut it, 1, &[(2, if holds { ZERO } else { ONE })], Standing::Event);
        loss(&mut it, 0, &[(1, ZERO), (2, ONE)], Standing::Event);
        chain(&mut it, &[&[look(0, ONE), look(1, ONE)], &[write(2, ONE)]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn what_ended_together_counts_together() {
    tells(|holds| {
        // Variables 0 and 1 end by variable 2 in one round; in the next they are a cause together.
        let mut it = form(&[2, 2, 2, 2]);
        loss(&mut it, 0, &[(2, ONE)], Standing::Event);
        loss(&mut it, 1, &[(2, ONE)], Standing::Event);
        loss(&mut it, 3, &[(0, ZERO), (1, if holds { TWO } else { ZERO })], Standing::Event);
        chain(&mut it, &[&[look(0, ONE), look(1, ONE), look(3, ONE)], &[write(2, ONE)]]);
        promise(&mut it, 3, ONE);
        it
    });
}

#[test]
fn causes_may_go_round() {
    tells(|holds| {
        let mut it = form(&[2, 2, 2]);
        loss(&mut it, 0, &[(1, ZERO | ONE)], Standing::Event);
        loss(&mut it, 1, &[(0, ZERO | ONE)], Standing::Event);
        loss(&mut it, 0, &[(2, ONE)], Standing::Event);
        chain(&mut it, &[&[look(0, ONE), look(1, ONE)], &[write(2, if holds { ZERO } else { ONE })]]);
        promise(&mut it, 1, ONE);
        it
    });
}

#[test]
fn an_act_on_what_it_is_evidence_of_can_end_it_itself() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        it.start = cube(&[(1, ONE)]);
        loss(&mut it, 0, &[(0, ONE), (1, if holds { ZERO } else { ONE })], Standing::Event);
        chain(&mut it, &[&[write(0, ONE)]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn what_ended_is_open() {
    tells(|holds| {
        // Variable 1 ended: the next look at it is a change, by which variable 0 ends.
        let mut it = form(&[2, 2, 2]);
        loss(&mut it, 1, &[(2, if holds { ZERO } else { ONE })], Standing::Event);
        loss(&mut it, 0, &[(1, ONE)], Standing::Event);
        chain(&mut it, &[&[write(2, ONE)], &[look(0, ONE)], &[look(1, ONE)]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn an_event_does_not_stand() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        it.start = cube(&[(1, ONE)]);
        loss(&mut it, 0, &[(1, ONE)], if holds { Standing::Event } else { Standing::Feeds });
        chain(&mut it, &[&[write(0, ONE)]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn what_is_all_open_is_not_fleeting() {
    tells(|holds| {
        // A look that rules nothing out is not lost; what is lost is a change, by which variable 2 ends.
        let mut it = form(&[2, 2, 2]);
        it.start = cube(&[(1, ONE)]);
        loss(&mut it, 0, &[(1, ONE)], Standing::Feeds);
        loss(&mut it, 2, &[(0, ZERO | ONE)], Standing::Event);
        chain(&mut it, &[&[look(2, ONE)], &[look(0, if holds { ZERO | ONE } else { ONE })]]);
        promise(&mut it, 2, ONE);
        it
    });
}

/// Variable 0 ends by itself while something falls in variable 1, or in what variable 2 stands for.
fn falling(entries: Vec<u32>, stood_over: Vec<u32>) -> Form {
    let mut it = form(&[2, 2, 2]);
    settling(&mut it, 1, 100, None);
    loss(&mut it, 0, &[(1, ZERO | ONE)], Standing::ByItself { falling: entries, stood_over });
    chain(&mut it, &[&[look(0, ONE)]]);
    promise(&mut it, 0, ONE);
    it
}

#[test]
fn what_falls_stands_over_it() {
    tells(|holds| {
        let mut it = falling(vec![0], vec![]);
        it.start = if holds { cube(&[(1, ZERO)]) } else { Vec::new() };
        it
    });
}

#[test]
fn nothing_falls_where_no_entry_is_named() {
    tells(|holds| falling(if holds { vec![] } else { vec![0] }, vec![]));
}

#[test]
fn what_falls_stands_over_it_only_where_the_cause_meets() {
    tells(|holds| {
        let mut it = falling(vec![0], vec![]);
        it.lost_when[0].when = cube(&[(2, ONE)]);
        it.start = if holds { cube(&[(2, ZERO)]) } else { Vec::new() };
        it
    });
}

#[test]
fn what_is_stood_over_stands_over_in_turn() {
    tells(|holds| {
        let mut it = falling(vec![], vec![2]);
        loss(&mut it, 2, &[(1, ONE)], if holds { Standing::Event } else { Standing::Feeds });
        it
    });
}

#[test]
fn what_stands_over_itself_alone_does_not_stand() {
    tells(|holds| {
        let mut it = falling(vec![], vec![2]);
        let entries = if holds { vec![] } else { vec![0] };
        loss(&mut it, 2, &[(1, ONE)], Standing::ByItself { falling: entries, stood_over: vec![0, 2] });
        it
    });
}
