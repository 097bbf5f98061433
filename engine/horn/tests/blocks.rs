//! Blocks whose items may be done in any order (section 2, 3 and 5).

use form::{Effect, Form, Outcome, Role, Takes};

use crate::support::*;

/// A block of two items: node 2 chooses, node 3 is item 0, node 4 is item 1, node 5 comes after it.
fn block(values: &[usize], first: &[Effect], second: &[Effect]) -> Form {
    let mut it = form(values);
    let takes = |takes, to| Outcome { takes, ..outcome(to, &[]) };
    let ways = vec![takes(Takes::Item(0), 3), takes(Takes::Item(1), 4), takes(Takes::AllItems, 5)];
    it.nodes.push(node(Role::Chooses, ways));
    for (item, effects) in [(0, first), (1, second)] {
        it.nodes.push(node(Role::Stood, vec![Outcome { ends: Some(item), ..outcome(2, effects) }]));
        it.nodes[3 + item as usize].item = Some(item);
    }
    it.nodes.push(node(Role::Stood, vec![outcome(0, &[])]));
    for inside in &mut it.nodes[2..5] {
        inside.block = Some(0);
    }
    it
}

fn offering(effect: Effect, item: u8) -> Effect {
    Effect { offers: Some(item), ..effect }
}

#[test]
fn a_block_is_left_when_every_item_is_done() {
    tells(|holds| {
        let mut it = block(&[2, 2], &[write(0, ONE)], &[write(1, ONE)]);
        promise(&mut it, 0, ONE);
        promise(&mut it, 1, ONE);
        if !holds {
            // What the node has no outcome for is not waited for.
            it.nodes[2].outcomes.remove(1);
        }
        it
    });
}

#[test]
fn items_come_in_any_order() {
    tells(|holds| {
        let mut it = block(&[2, 2], &[write(0, ONE)], &[write(1, ONE)]);
        it.start = cube(&[(0, ZERO)]);
        it.nodes[4].needs = cube(&[(0, if holds { ZERO | ONE } else { ZERO })]);
        it
    });
}

#[test]
fn an_item_done_is_not_chosen_again() {
    tells(|holds| {
        let mut it = block(&[2], &[write(0, ONE)], &[]);
        it.start = cube(&[(0, ZERO)]);
        it.nodes[3].needs = cube(&[(0, ZERO)]);
        if !holds {
            it.nodes[3].outcomes[0].ends = None;
        }
        it
    });
}

#[test]
fn items_are_kept_inside_the_block() {
    tells(|holds| {
        let mut it = block(&[2], &[write(0, ONE)], &[]);
        it.start = cube(&[(0, ZERO)]);
        it.nodes[3].needs = cube(&[(0, ZERO)]);
        it.nodes[2].outcomes.push(outcome(6, &[]));
        it.nodes.push(node(Role::Stood, vec![outcome(2, &[])]));
        it.nodes[6].block = holds.then_some(0);
        it
    });
}

#[test]
fn items_are_not_kept_from_block_to_block() {
    tells(|holds| {
        let mut it = block(&[2], &[write(0, ONE)], &[]);
        it.start = cube(&[(0, ZERO)]);
        it.nodes[3].needs = cube(&[(0, ZERO)]);
        it.nodes[2].outcomes.push(outcome(6, &[]));
        it.nodes.push(node(Role::Stood, vec![outcome(2, &[])]));
        it.nodes[6].block = Some(u32::from(!holds));
        it
    });
}

/// Item 1 finds out that what item 0 did is not so.
fn contradicted(effect: Effect) -> Form {
    let mut it = block(&[2], &[write(0, ONE)], &[effect]);
    it.start = cube(&[(0, ONE)]);
    promise(&mut it, 0, ONE);
    it
}

#[test]
fn an_item_is_offered_again_where_the_record_is_contradicted() {
    // Item 0 may come after item 1: it is then done once, and undoes what was seen.
    tells(|holds| contradicted(if holds { offering(look(0, ZERO), 0) } else { look(0, ZERO) }));
}

#[test]
fn an_item_is_not_offered_again_where_nothing_is_contradicted() {
    tells(|holds| {
        let mut it = block(&[2, 2], &[write(1, ONE)], &[offering(look(0, ZERO), 0)]);
        it.start = if holds { cube(&[(1, ZERO)]) } else { cube(&[(0, ONE), (1, ZERO)]) };
        it.nodes[3].needs = cube(&[(1, ZERO)]);
        it
    });
}

#[test]
fn what_an_act_contradicts_is_offered_again_too() {
    tells(|holds| contradicted(if holds { offering(write(0, ZERO), 0) } else { write(0, ZERO) }));
}

#[test]
fn an_item_is_offered_again_once() {
    tells(|holds| {
        let mut it = contradicted(offering(look(0, ZERO), 0));
        if !holds {
            // The item that looks may be left and taken as often as one likes.
            it.nodes[4].outcomes.push(outcome(2, &[offering(look(0, ZERO), 0)]));
        }
        it
    });
}

#[test]
fn an_item_not_done_before_is_not_offered_again() {
    tells(|holds| {
        // Its own end contradicts the record: were it offered again it would be done twice.
        let look = offering(look(0, ZERO), 0);
        let (first, second) =
            if holds { (vec![look, write(1, ONE)], vec![]) } else { (vec![write(1, ONE)], vec![look]) };
        let mut it = block(&[2, 2], &first, &second);
        it.start = cube(&[(0, ONE), (1, ZERO)]);
        it.nodes[3].needs = cube(&[(1, ZERO)]);
        it
    });
}

#[test]
fn nothing_is_offered_again_outside_of_the_block() {
    tells(|holds| {
        let mut it = block(&[2, 2], &[write(1, ONE)], &[]);
        it.start = cube(&[(0, ONE), (1, ZERO)]);
        it.nodes[3].needs = cube(&[(1, ZERO)]);
        // Node 5 looks and goes back; what is in the block does so with the items done.
        it.nodes[5].block = (!holds).then_some(0);
        it.nodes[5].outcomes.push(Outcome { ends: Some(0), ..outcome(2, &[offering(look(0, ZERO), 0)]) });
        it
    });
}

#[test]
fn effects_see_what_effects_before_them_made() {
    tells(|holds| {
        let mut it = block(&[2, 2], &[write(1, ONE)], &[write(0, ZERO), offering(look(0, ZERO), 0)]);
        if !holds {
            it.nodes[4].outcomes[0].effects.swap(0, 1);
        }
        it.start = cube(&[(0, ONE), (1, ZERO)]);
        it.nodes[3].needs = cube(&[(1, ZERO)]);
        it
    });
}
