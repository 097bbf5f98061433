//! Asking about one record at a place.

use form::Record;
use form::{Role, Standing};
use verifier::Claims;

use crate::build::{A, B, Kit, Rows, kit, node, part, row, to};

fn record() -> Record {
    Record {
        may: vec![A | B, A | B],
        clocks: vec![0],
        opened: vec![false; 2],
        wrote: vec![false; 2],
        look_only: vec![false],
        found: vec![false],
    }
}

fn claims(kit: &Kit) -> Claims {
    Claims::new(&kit.form, &kit.certificate()).unwrap()
}

fn setup() -> Kit {
    kit(&[2, 2]).settles(0, None).rule(vec![part(0, A)]).loss(1, vec![part(0, A)], Standing::Event)
}

#[test]
fn a_record_lies_in_one_set() {
    let exact = claims(&setup().from(row().clock(0, 500)).from(row().may(1, A).opened(0)).to(row()));
    let it = Record { clocks: vec![500], ..record() };
    assert!(exact.holds(3, 0, 0, &it));
    let changes: [fn(&mut Record); 8] = [
        |it| it.may[1] = A,
        |it| it.clocks[0] = 501,
        |it| it.clocks[0] = 499,
        |it| it.opened[0] = true,
        |it| it.wrote[1] = true,
        |it| it.look_only[0] = true,
        |it| it.found[0] = true,
        |it| it.may.truncate(1),
    ];
    for (i, change) in changes.iter().enumerate() {
        let mut other = it.clone();
        change(&mut other);
        assert!(!exact.holds(3, 0, 0, &other), "{i}");
    }
    let loose = claims(&setup().from(row().clock(0, 500)).care(|care| *care = form::Care::default()));
    for (i, change) in changes.iter().enumerate() {
        let mut other = it.clone();
        change(&mut other);
        assert_eq!(loose.holds(3, 0, 0, &other), ![2, 6, 7].contains(&i), "{i}");
    }
    assert!(!loose.holds(3, 0, 0, &Record { may: vec![0, A], ..it.clone() }));
    assert!(!exact.holds(3, 1, 0, &it) && !exact.holds(3, 0, 1, &it));
    assert!(!exact.holds(2, 0, 0, &Record { found: vec![true], ..it.clone() }));
    assert!(!exact.holds(99, 0, 0, &it) && !exact.holds(0, 0, 0, &it));
}

#[test]
fn a_record_lies_in_every_view() {
    let kit = setup().from(row().may(0, A).may(1, A)).to(row());
    let mut certificate = kit.certificate();
    certificate.views.push(kit.clone().vars(&[1]).certificate().views.remove(0));
    for row in &mut certificate.views[1].rows {
        row.values = vec![(1, B)];
    }
    let both = Claims::new(&kit.form, &certificate).unwrap();
    let one = claims(&kit);
    let it = Record { may: vec![A, A], ..record() };
    assert!(one.holds(3, 0, 0, &it) && !both.holds(3, 0, 0, &it));
}

#[test]
fn a_record_in_an_item_left_out_lies_at_the_choosing_node() {
    let it = setup().from(row()).to(row()).with(|form| form.nodes.push(node(Role::Passing, vec![to(3)])));
    let it = it.node(3, |node| (node.block, node.role) = (Some(7), Role::Chooses));
    let it = it.node(4, |node| (node.block, node.item) = (Some(7), Some(0)));
    let it = it.node(5, |node| (node.block, node.item) = (Some(7), Some(1)));
    let mut certificate = it.certificate();
    let view = &mut certificate.views[0];
    view.items = vec![(7, 0b01)];
    view.places[3].items = 0b01;
    let claims = Claims::new(&it.form, &certificate).unwrap();
    assert!(claims.holds(3, 0b10, 0b10, &record()) && claims.holds(5, 0b10, 0, &record()));
    assert!(claims.holds(4, 0b11, 0, &record()) && !claims.holds(4, 0b10, 0, &record()));
    assert!(!claims.holds(5, 0b01, 0, &record()));
}

#[test]
fn what_is_not_well_formed_claims_nothing() {
    let it = setup().from(row().may(9, A));
    assert!(Claims::new(&it.form, &it.certificate()).is_err());
}
