//! The clauses as text.

use form::Role;

use crate::support::*;

#[test]
fn the_same_form_gives_the_same_bytes() {
    let mut it = form(&[2, 3]);
    chain(&mut it, &[&[write(0, ONE)], &[look(1, ONE | ZERO)], &[]]);
    promise(&mut it, 0, ONE);
    promise(&mut it, 1, ONE);
    assert_eq!(horn::smt2(&it), horn::smt2(&it));
}

#[test]
fn a_form_of_which_nothing_is_asked_is_answered() {
    let mut it = form(&[]);
    it.nodes.push(node(Role::Stood, vec![outcome(0, &[])]));
    assert_eq!(judge(&it), "sat");
}

#[test]
fn a_name_cannot_become_a_clause() {
    let mut it = form(&[2]);
    chain(&mut it, &[&[write(0, ONE)]]);
    promise(&mut it, 0, ONE);
    it.vars[0].name = "a\n(assert false)\r(assert false)\u{2028}(assert false)".to_string();
    assert_eq!(judge(&it), "sat");
}
