//! What settles (section 2, "Put", "Settle", "Pass", "Only looks count").

use form::{Form, Standing};

use crate::support::*;

#[test]
fn what_gives_way_may_have_given_way() {
    tells(|holds| {
        let mut it = form(&[2]);
        if !holds {
            settling(&mut it, 0, 100, None);
        }
        chain(&mut it, &[&[write(0, ONE)]]);
        promise(&mut it, 0, ONE);
        it
    });
}

#[test]
fn what_has_given_way_stays() {
    tells(|holds| {
        let mut it = form(&[2]);
        settling(&mut it, 0, 100, None);
        chain(&mut it, &[&[write(0, if holds { ZERO } else { ONE })]]);
        promise(&mut it, 0, ZERO);
        it
    });
}

#[test]
fn a_look_does_not_hold_it() {
    tells(|holds| {
        let mut it = form(&[2]);
        if !holds {
            settling(&mut it, 0, 100, None);
        }
        chain(&mut it, &[&[look(0, ONE)]]);
        promise(&mut it, 0, ONE);
        it
    });
}

/// Variable 0 comes to 1 and settles in 100 milliseconds; these are the moves after that, with the time before each.
fn run(it: &mut Form, moves: &[(u64, &[form::Effect])]) {
    it.vars[0].is_hidden = true;
    let effects: Vec<&[form::Effect]> = moves.iter().map(|(_, effects)| *effects).collect();
    let mut all: Vec<&[form::Effect]> = vec![&[]];
    let begin = [write(0, ONE)];
    all[0] = &begin;
    all.extend(effects);
    chain(it, &all);
    for (index, (millis, _)) in moves.iter().enumerate().filter(|(_, (millis, _))| *millis > 0) {
        delay(it, index + 1, *millis);
    }
    promise(it, 0, ZERO);
}

#[test]
fn an_act_begins_the_clock_anew() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        settling(&mut it, 0, 100, None);
        run(&mut it, &[(60, &[write(if holds { 1 } else { 0 }, ONE)]), (60, &[])]);
        it
    });
}

#[test]
fn a_look_does_not_begin_the_clock_anew() {
    tells(|holds| {
        let mut it = form(&[2]);
        settling(&mut it, 0, 100, None);
        run(&mut it, &[(60, &[if holds { look(0, ONE) } else { find(0, ONE) }]), (60, &[])]);
        it
    });
}

#[test]
fn what_ends_begins_its_clock_anew() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        settling(&mut it, 0, 100, None);
        loss(&mut it, 0, &[(1, if holds { ZERO } else { ONE })], Standing::Event);
        run(&mut it, &[(60, &[write(1, ONE)]), (60, &[])]);
        it
    });
}

#[test]
fn time_counts_where_the_cube_holds() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        settling(&mut it, 0, 100, Some(&[(1, ONE)]));
        it.start = cube(&[(1, if holds { ONE } else { ZERO })]);
        run(&mut it, &[(100, &[])]);
        it
    });
}

#[test]
fn time_does_not_count_where_the_cube_may_hold() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        settling(&mut it, 0, 100, Some(&[(1, ONE)]));
        it.start = if holds { cube(&[(1, ONE)]) } else { Vec::new() };
        run(&mut it, &[(100, &[])]);
        it
    });
}

#[test]
fn the_clock_goes_back_where_the_cube_does_not_hold() {
    tells(|holds| {
        let mut it = form(&[3, 3]);
        settling(&mut it, 0, 100, Some(&[(1, ONE)]));
        it.start = cube(&[(1, ONE)]);
        it.vars[1].name = "what it takes".to_string();
        run(&mut it, &[(60, &[write(1, if holds { ONE } else { TWO })]), (0, &[write(1, ONE)]), (60, &[])]);
        it.start.push(form::Part { var: 0, set: ZERO | ONE });
        it
    });
}

#[test]
fn what_has_settled_does_not_come_back_with_the_cube() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        settling(&mut it, 0, 100, Some(&[(1, ONE)]));
        it.start = cube(&[(1, ONE)]);
        run(&mut it, &[(if holds { 100 } else { 60 }, &[write(1, ZERO)]), (0, &[write(1, ONE)]), (60, &[])]);
        it
    });
}

#[test]
fn the_cube_is_judged_by_the_record_before() {
    tells(|holds| {
        // What the cube speaks of holds by this wait alone.
        let mut it = form(&[2, 2]);
        settling(&mut it, 1, 100, None);
        settling(&mut it, 0, 100, Some(&[(1, ZERO)]));
        run(&mut it, &[(100, &[]), (if holds { 100 } else { 99 }, &[])]);
        it
    });
}

/// Variable 0 was seen to have settled, and then seen not to.
fn surprised(is_hidden: bool, looks: &[form::Effect]) -> Form {
    let mut it = form(&[2]);
    settling(&mut it, 0, 100, None);
    it.start = cube(&[(0, ZERO)]);
    it.vars[0].is_hidden = is_hidden;
    chain(&mut it, &[looks, &[]]);
    delay(&mut it, 1, 100);
    promise(&mut it, 0, ZERO);
    it
}

#[test]
fn after_a_surprise_only_looks_count() {
    tells(|holds| surprised(false, &[if holds { write(0, ONE) } else { look(0, ONE) }]));
}

#[test]
fn after_a_contradiction_only_looks_count() {
    tells(|holds| surprised(false, &[if holds { write(0, ONE) } else { find(0, ONE) }]));
}

#[test]
fn what_nobody_sees_goes_on_by_time() {
    tells(|holds| surprised(holds, &[find(0, ONE)]));
}

#[test]
fn what_is_no_surprise_goes_on_by_time() {
    tells(|holds| {
        let mut it = surprised(false, &[look(0, ONE)]);
        it.start = if holds { Vec::new() } else { cube(&[(0, ZERO)]) };
        it
    });
}

#[test]
fn where_only_looks_count_a_look_tells() {
    tells(|holds| {
        let mut it = surprised(false, &[look(0, ONE)]);
        way(&mut it, 1).effects = if holds { vec![look(0, ZERO)] } else { Vec::new() };
        it
    });
}

#[test]
fn only_looks_count_of_the_first_entry() {
    tells(|holds| {
        let mut it = surprised(false, &[look(0, ONE)]);
        // A second entry of the same value goes on by time, if it is one.
        settling(&mut it, 0, if holds { 100 } else { 101 }, None);
        it
    });
}

/// Variable 0 settles while variable 1 feeds it, if it may.
fn fed(standing: Standing, second: u64) -> Form {
    let mut it = form(&[2, 2]);
    settling(&mut it, 0, 100, None);
    settling(&mut it, 1, second, None);
    loss(&mut it, 0, &[(1, ONE)], standing);
    run(&mut it, &[(40, &[]), (60, &[])]);
    it
}

#[test]
fn what_settles_and_is_stood_over_is_lost() {
    tells(|holds| fed(if holds { Standing::Event } else { Standing::Feeds }, 200));
}

#[test]
fn whether_it_is_stood_over_is_judged_by_the_record_before() {
    tells(|holds| fed(Standing::Feeds, if holds { 40 } else { 100 }));
}

#[test]
fn what_was_settled_before_is_not_lost_again() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        settling(&mut it, 0, 100, None);
        loss(&mut it, 0, &[(1, ONE)], if holds { Standing::Event } else { Standing::Feeds });
        it.start = cube(&[(1, ZERO)]);
        run(&mut it, &[(100, &[write(1, ONE)]), (100, &[])]);
        it
    });
}

#[test]
fn hours_in_milliseconds_are_no_matter() {
    tells(|holds| {
        let mut it = form(&[2]);
        settling(&mut it, 0, 14_400_000, None);
        let minutes: &[form::Effect] = &[];
        let waits: Vec<(u64, &[form::Effect])> = (0..16).map(|_| (900_000, minutes)).collect();
        run(&mut it, &waits);
        if !holds {
            delay(&mut it, 7, 899_999);
        }
        it
    });
}

#[test]
fn a_clock_of_many_steps_is_a_number() {
    tells(|holds| {
        // One may wait for a minute, or for seven seconds, as often as one likes.
        let mut it = form(&[2]);
        settling(&mut it, 0, 3_600_000, None);
        run(&mut it, &[(0, &[]), (3_599_000, &[])]);
        for millis in [60_000, 7_000] {
            let mut again = outcome(3, &[]);
            again.waits = vec![wait(&[], millis)];
            it.nodes[3].outcomes.push(again);
        }
        if holds {
            delay(&mut it, 1, 1_000);
        }
        assert!(horn::smt2(&it).contains("(clock_0 Int)"));
        it
    });
}

#[test]
fn what_may_have_given_way_is_a_cause_at_once() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        if !holds {
            settling(&mut it, 0, 100, None);
        }
        loss(&mut it, 1, &[(0, ZERO)], Standing::Event);
        chain(&mut it, &[&[look(1, ONE)], &[write(0, ONE)]]);
        promise(&mut it, 1, ONE);
        it
    });
}

#[test]
fn the_clock_of_what_is_not_there_is_at_its_end() {
    tells(|holds| {
        // Value 0 comes back only as what takes the place of value 1: if its own entry was settled before that, its time is over.
        let mut it = form(&[3]);
        settling(&mut it, 0, 1000, None);
        it.settling.push(form::Settling { var: 0, from: ZERO, to: TWO, after: 100, holds: None });
        if holds {
            it.settling.swap(0, 1);
        }
        chain(&mut it, &[&[look(0, ONE)], &[]]);
        delay(&mut it, 1, 1);
        promise(&mut it, 0, ONE | TWO);
        it
    });
}
