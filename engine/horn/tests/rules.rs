//! Rules: broken by acts, brought to light by looks, and what is owed to those found (section 2, 4 and 6 to 8).

use form::{Duty, Effect, Form};

use crate::support::*;

/// One rule, "not both 0 and 1"; these effects with that duty, and then the stop.
fn both(start: &[(u32, u64)], moves: &[(&[Effect], Duty)]) -> Form {
    let mut it = form(&[2, 2, 2]);
    rule(&mut it, &[(0, ONE), (1, ONE)]);
    it.start = cube(start);
    let effects: Vec<&[Effect]> = moves.iter().map(|(effects, _)| *effects).collect();
    chain(&mut it, &effects);
    for (index, (_, duty)) in moves.iter().enumerate() {
        way(&mut it, index).duty = *duty;
    }
    way(&mut it, moves.len() - 1).to = 1;
    it
}

const BROKEN: &[Effect] = &[
    Effect { kind: form::EffectKind::Look, var: 0, set: ONE, offers: None },
    Effect { kind: form::EffectKind::Look, var: 1, set: ONE, offers: None },
];

#[test]
fn an_act_breaks_no_rule() {
    tells(|holds| both(&[(1, ONE)], &[(&[write(0, if holds { ZERO } else { ONE })], Duty::Nothing)]));
}

#[test]
fn an_act_must_not_break_a_rule_perhaps() {
    tells(|holds| {
        let start: &[(u32, u64)] = if holds { &[(1, ZERO)] } else { &[] };
        both(start, &[(&[write(0, ONE)], Duty::Nothing)])
    });
}

#[test]
fn an_act_answers_for_rules_of_what_it_changed_alone() {
    tells(|holds| both(&[], &[(&[write(if holds { 2 } else { 0 }, ONE)], Duty::Nothing)]));
}

#[test]
fn what_ends_by_an_act_is_changed_by_it() {
    tells(|holds| {
        let mut it = both(&[(0, ONE), (1, ZERO)], &[(&[write(2, ONE)], Duty::Nothing)]);
        loss(&mut it, 1, &[(2, if holds { ZERO } else { ONE })], form::Standing::Event);
        it
    });
}

#[test]
fn a_look_breaks_no_rule() {
    tells(|holds| both(&[(1, ONE)], &[(&[if holds { look(0, ONE) } else { write(0, ONE) }], Duty::Nothing)]));
}

#[test]
fn a_rule_is_asked_after_all_effects() {
    tells(|holds| {
        let mut acts = [write(0, ONE), write(0, ZERO)];
        if !holds {
            acts.reverse();
        }
        both(&[(1, ONE)], &[(&acts, Duty::Nothing)])
    });
}

#[test]
fn what_a_look_changed_counts_for_an_act_beside_it() {
    tells(|holds| {
        // The look changes variable 1 only where it is a surprise.
        let start: &[(u32, u64)] = if holds { &[(1, ZERO | ONE)] } else { &[(1, ZERO)] };
        let mut it = both(start, &[(&[look(1, ONE | TWO), write(2, ONE)], Duty::Nothing)]);
        it.vars[1].values.push("2".to_string());
        it
    });
}

#[test]
fn a_rule_found_is_broken_no_second_time() {
    tells(|holds| {
        let look: &[Effect] = if holds { BROKEN } else { &[] };
        both(&[], &[(look, Duty::Nothing), (&[write(0, ONE)], Duty::Nothing)])
    });
}

#[test]
fn what_a_look_shows_to_hold_is_found() {
    tells(|holds| {
        both(&[], &[(if holds { &BROKEN[..1] } else { BROKEN }, Duty::Nothing), (&[], Duty::Absent)])
    });
}

#[test]
fn a_look_at_something_else_finds_nothing() {
    tells(|holds| {
        // Time alone makes variable 0 what the rule speaks of.
        let mut it = both(
            &[],
            &[(&[look(1, ONE)], Duty::Nothing), (&[look(2, ONE)], Duty::Nothing), (&[], Duty::Absent)],
        );
        it.rules[0].when = cube(&[(0, ZERO), (1, ONE)]);
        settling(&mut it, 0, 100, None);
        delay(&mut it, 1, 100);
        if !holds {
            way(&mut it, 1).effects = vec![look(1, ONE)];
        }
        it
    });
}

#[test]
fn what_a_look_changed_is_noted_too() {
    tells(|holds| {
        // To find variable 0 ends variable 1; that it may now be anything is against a rule that speaks of variable 2 as well, which came
        // to be so by time alone.
        let mut it = both(&[(1, ZERO)], &[(&[find(0, ONE)], Duty::Nothing), (&[], Duty::Absent)]);
        it.rules[0].when = cube(&[(1, ZERO | ONE), (2, ONE)]);
        it.settling.push(form::Settling { var: 2, from: ZERO, to: ONE, after: 100, holds: None });
        delay(&mut it, 0, 100);
        loss(&mut it, 1, &[(0, if holds { ZERO } else { ONE })], form::Standing::Event);
        it
    });
}

#[test]
fn the_outcome_with_nothing_found_needs_nothing_found() {
    tells(|holds| {
        let duty = if holds { Duty::Nothing } else { Duty::Absent };
        both(&[], &[(BROKEN, Duty::Nothing), (&[], duty)])
    });
}

#[test]
fn nothing_found_is_asked_before_the_effects() {
    tells(|holds| {
        let (first, second): (&[Effect], &[Effect]) = if holds { (&[], BROKEN) } else { (BROKEN, &[]) };
        both(&[], &[(first, Duty::Nothing), (second, Duty::Absent)])
    });
}

#[test]
fn a_look_ends_what_does_not_meet() {
    tells(|holds| {
        let seen = look(0, if holds { ZERO } else { ONE });
        both(&[], &[(BROKEN, Duty::Nothing), (&[seen], Duty::Nothing), (&[], Duty::Absent)])
    });
}

#[test]
fn an_act_ends_what_was_found_where_it_may() {
    tells(|holds| {
        let duty = if holds { Duty::May } else { Duty::Nothing };
        both(&[], &[(BROKEN, Duty::Nothing), (&[write(0, ZERO)], duty), (&[], Duty::Absent)])
    });
}

#[test]
fn an_act_that_may_end_it_need_not() {
    tells(|holds| {
        let duty = if holds { Duty::May } else { Duty::Mend };
        both(&[], &[(BROKEN, Duty::Nothing), (&[write(2, ZERO)], duty)])
    });
}

#[test]
fn an_act_that_owes_it_ends_it() {
    tells(|holds| {
        let act = [write(0, if holds { ZERO } else { ONE })];
        both(&[], &[(BROKEN, Duty::Nothing), (&act, Duty::Mend)])
    });
}

#[test]
fn what_is_mended_is_found_no_more() {
    tells(|holds| {
        let duty = if holds { Duty::Mend } else { Duty::Nothing };
        both(&[], &[(BROKEN, Duty::Nothing), (&[write(0, ZERO)], duty), (&[], Duty::Absent)])
    });
}

#[test]
fn nothing_is_owed_where_nothing_is_found() {
    tells(|holds| {
        let look: &[Effect] = if holds { &[] } else { BROKEN };
        both(&[], &[(look, Duty::Nothing), (&[write(2, ZERO)], Duty::Mend)])
    });
}

#[test]
fn one_ended_is_enough() {
    tells(|holds| {
        let mut it = both(&[], &[(BROKEN, Duty::Nothing), (&[write(0, ZERO)], Duty::Mend)]);
        rule(&mut it, &[(1, ONE), (2, ONE)]);
        way(&mut it, 0).effects.push(look(2, ONE));
        if !holds {
            way(&mut it, 1).effects = vec![write(0, ONE), write(2, ONE)];
        }
        it
    });
}

#[test]
fn what_settles_is_found_as_it_was_shown() {
    tells(|holds| {
        // Seen to be 1, from when on it may be 0 as well: a rule against 1 does not hold by the record.
        let mut it = form(&[2, 2]);
        rule(&mut it, &[(0, ONE)]);
        chain(&mut it, &[&[look(0, if holds { ZERO } else { ONE })], &[]]);
        settling(&mut it, 0, 100, None);
        way(&mut it, 1).duty = Duty::Absent;
        way(&mut it, 1).to = 1;
        it
    });
}

#[test]
fn what_settles_is_shown_by_what_was_found_out_too() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        rule(&mut it, &[(0, ONE)]);
        chain(&mut it, &[&[if holds { lose(0) } else { find(0, ONE) }], &[]]);
        settling(&mut it, 0, 100, None);
        way(&mut it, 1).duty = Duty::Absent;
        way(&mut it, 1).to = 1;
        it
    });
}
