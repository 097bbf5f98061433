//! Guards, and waits that differ by variant (section 2, 1 and 2).

use form::{Form, Guard};

use crate::support::*;

/// A hidden residue (variable 1) that is gone after 100 milliseconds, and a variant (variable 0). The residue comes with the first move.
fn residue() -> Form {
    let mut it = form(&[2, 2]);
    it.vars[0].is_variant = true;
    it.vars[1].is_hidden = true;
    settling(&mut it, 1, 100, None);
    chain(&mut it, &[&[write(1, ONE)], &[], &[]]);
    promise(&mut it, 1, ZERO);
    it
}

#[test]
fn a_guard_cuts_the_variant() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[]]);
        promise(&mut it, 0, ZERO);
        way(&mut it, 0).guard = if holds { Guard::Is(cube(&[(0, ZERO)])) } else { Guard::Always };
        it
    });
}

#[test]
fn a_guard_lets_nothing_through_that_is_not_inside() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        chain(&mut it, &[&[], &[]]);
        promise(&mut it, 1, ZERO);
        way(&mut it, 0).guard = Guard::Is(cube(&[(0, ZERO)]));
        way(&mut it, 1).guard = Guard::Is(cube(&[(0, if holds { ONE } else { ZERO })]));
        it
    });
}

#[test]
fn outside_a_cube_is_the_first_part_false_or_the_second() {
    tells(|holds| {
        let mut it = form(&[2, 2]);
        chain(&mut it, &[&[], &[]]);
        promise(&mut it, 1, ONE);
        way(&mut it, 0).guard = Guard::IsNot(cube(&[(0, ZERO), (1, ZERO)]));
        way(&mut it, 1).guard = Guard::Is(cube(&[(0, if holds { ZERO } else { ONE })]));
        it
    });
}

#[test]
fn nothing_is_outside_of_the_empty_cube() {
    tells(|holds| {
        let mut it = form(&[2]);
        chain(&mut it, &[&[]]);
        promise(&mut it, 0, ZERO);
        way(&mut it, 0).guard = if holds { Guard::IsNot(Vec::new()) } else { Guard::Is(Vec::new()) };
        it
    });
}

#[test]
fn time_passes() {
    tells(|holds| {
        let mut it = residue();
        delay(&mut it, 1, if holds { 100 } else { 99 });
        it
    });
}

#[test]
fn time_adds_up() {
    tells(|holds| {
        let mut it = residue();
        delay(&mut it, 1, 50);
        delay(&mut it, 2, if holds { 50 } else { 49 });
        it
    });
}

#[test]
fn time_passes_before_the_effects() {
    tells(|holds| {
        let mut it = residue();
        delay(&mut it, 0, 100);
        delay(&mut it, 1, if holds { 100 } else { 1 });
        it
    });
}

#[test]
fn a_wait_is_for_what_is_inside_its_cube() {
    tells(|holds| {
        let mut it = residue();
        way(&mut it, 1).waits = vec![wait(&[(0, ZERO)], 100)];
        way(&mut it, 2).guard = Guard::Is(cube(&[(0, if holds { ZERO } else { ONE })]));
        it
    });
}

#[test]
fn what_is_outside_goes_on_to_the_next_wait() {
    tells(|holds| {
        let mut it = residue();
        let second = if holds { wait(&[(0, ONE)], 100) } else { wait(&[(0, ZERO)], 100) };
        way(&mut it, 1).waits = vec![wait(&[(0, ZERO)], 100), second];
        it
    });
}

#[test]
fn what_is_inside_does_not_go_on_to_the_next_wait() {
    tells(|holds| {
        let mut it = residue();
        let (first, second) = if holds { (100, 10) } else { (10, 100) };
        way(&mut it, 1).waits = vec![wait(&[], first), wait(&[], second)];
        it
    });
}

#[test]
fn a_wait_cuts_the_variant() {
    tells(|holds| {
        let mut it = residue();
        // Who did not wait in the first place waits in the second.
        way(&mut it, 1).waits = vec![wait(&[(0, ZERO)], 100)];
        way(&mut it, 2).waits = vec![wait(&[(0, if holds { ONE } else { ZERO })], 100)];
        it
    });
}
