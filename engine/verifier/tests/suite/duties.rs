//! Section 4, without stopping and taking up again.

use crate::told::Reason;
use form::EffectKind::{Find, Look};
use form::{Guard, PlaceSets, Role, Takes};

use crate::build::{A, B, Kit, Rows, effect, kit, part, row, to};

fn need(reason: &Reason) -> bool {
    matches!(reason, Reason::Need)
}

#[test]
fn needs_hold_on_arrival() {
    let it = kit(&[3]).from(row().may(0, A)).to(row().may(0, A));
    it.clone().node(4, |node| node.needs = vec![part(0, A)]).right();
    it.clone().node(4, |node| node.needs = vec![part(0, 0b101), part(0, 0b011)]).right();
    it.clone().node(4, |node| node.needs = vec![part(0, A), part(0, B)]).wrong(need);
    let wide = kit(&[3]).from(row().may(0, 0b011)).to(row().may(0, 0b011));
    wide.clone().node(4, |node| node.needs = vec![part(0, A)]).wrong(need);
    wide.care(|care| care.exact.clear()).node(4, |node| node.needs = vec![part(0, A)]).wrong(need);
}

/// Node 3 asks about variables 0 and 1; each answer is a pair of sets.
fn asks(known: form::Row, answers: &[(u64, u64)]) -> Kit {
    let kit = kit(&[2, 2]).node(3, |node| {
        node.role = Role::Asks;
        node.outcomes = answers.iter().map(|_| to(4)).collect();
        for (outcome, (first, second)) in node.outcomes.iter_mut().zip(answers) {
            outcome.takes = Takes::Answer;
            outcome.effects = vec![effect(Look, 0, *first), effect(Look, 1, *second)];
        }
    });
    kit.from(known).to(row()).care(|care| care.exact.clear())
}

#[test]
fn some_answer_fits() {
    let (all, no) = (A | B, |reason: &Reason| *reason == Reason::Question);
    asks(row(), &[(A, all), (B, A), (B, B)]).right();
    asks(row(), &[(A, A), (A, B), (B, all)]).right();
    asks(row(), &[(A, all), (B, A)]).wrong(no);
    asks(row(), &[(A, A), (B, B)]).wrong(no);
    asks(row().may(0, A), &[(A, all)]).right();
    asks(row().may(0, B).may(1, A), &[(A, all), (B, A)]).right();
    let guarded = asks(row(), &[(A, all), (B, all)]).var(1, |var| var.is_variant = true);
    guarded.clone().node(3, |node| node.outcomes[0].guard = Guard::Is(vec![part(1, A)])).wrong(no);
    let both = guarded.node(3, |node| {
        node.outcomes.push(node.outcomes[0].clone());
        node.outcomes[0].guard = Guard::Is(vec![part(1, A)]);
        node.outcomes[2].guard = Guard::IsNot(vec![part(1, A)]);
    });
    both.right();
    // Where some answer looks at nothing, or nobody asks, nothing is owed.
    asks(row(), &[(A, all), (B, A)]).node(3, |node| node.outcomes[1].effects[0].kind = Find).wrong(no);
    asks(row(), &[(A, all), (B, A)]).node(3, |node| node.outcomes[1].effects.clear()).right();
    asks(row(), &[(A, all)])
        .node(3, |node| node.outcomes[0].takes = Takes::Always)
        .node(3, |node| node.role = Role::Stood)
        .right();
    asks(row(), &[(A, all)]).node(3, |node| node.role = Role::Stood).right();
}

/// Node 4 is left for done, where `it` is claimed.
fn done(kit: &Kit, it: form::Row) -> Result<(), Reason> {
    let kit = kit.clone().node(4, |node| node.outcomes[0].to = 0).from(it.clone()).to(it.clone());
    let result = kit.changed(|certificate| {
        let row = certificate.views[0].rows.iter().position(|row| *row == it).unwrap();
        let sets = vec![form::ClaimedSet(u32::try_from(row).unwrap(), 1, None)];
        let place = PlaceSets { node: 0, items: 0, again: 0, rank: 0, sets };
        certificate.views[0].places.insert(0, place);
    });
    result.map_err(|refusal| refusal.reason)
}

#[test]
fn promises_hold_at_done() {
    let it = kit(&[2]).promise(part(0, A), false);
    done(&it, row().may(0, A)).unwrap();
    assert!(matches!(done(&it, row()), Err(Reason::Need)));
    let usual = kit(&[2]).promise(part(0, A), true);
    done(&usual, row().may(0, B)).unwrap();
    done(&usual, row().may(0, A).wrote(0)).unwrap();
    assert!(matches!(done(&usual, row().may(0, B).wrote(0)), Err(Reason::Need)));
    // Whether it was written is not said.
    let either = usual.care(|care| care.wrote.clear());
    assert!(matches!(done(&either, row().may(0, B)), Err(Reason::Need)));
}

#[test]
fn no_rule_is_found_at_done() {
    let it = kit(&[2]).rule(vec![part(0, A)]);
    done(&it, row().may(0, A)).unwrap();
    assert!(matches!(done(&it, row().may(0, A).found(0)), Err(Reason::Found)));
    it.from(row().found(0)).to(row().found(0)).right();
}

#[test]
fn every_place_leads_nearer_to_an_end() {
    let it = kit(&[2]).from(row()).to(row());
    it.right();
    it.placed(1, |at| at.rank = 1).unwrap_err();
    for (node, rank, reason) in [(3, 1, Reason::NoWayOn), (4, 0, Reason::NoWayOn), (3, 0, Reason::NoWayOn)] {
        assert_eq!(it.placed(node, |at| at.rank = rank).unwrap_err().reason, reason);
    }
    let more = it.changed(|it| it.views[0].places.iter_mut().for_each(|at| at.rank += 1));
    assert_eq!(more.unwrap_err().reason, Reason::NoWayOn);
    let waits = it.clone().node(4, |node| node.outcomes[0].to = 4);
    waits.wrong(|reason| *reason == Reason::NoWayOn);
    it.node(4, |node| node.outcomes.insert(0, to(4))).right();
}

#[test]
fn that_some_record_leads_on_has_to_be_sure() {
    // A look that may contradict the record leads elsewhere in some records: all that it leads to has to be nearer.
    let it = kit(&[2]).node(3, |node| (node.block, node.role) = (Some(7), Role::Chooses));
    let it = it.node(4, |node| (node.block, node.item) = (Some(7), Some(0)));
    let it = it.effect(Look, 0, A).offers(0).care(|care| care.exact.clear());
    let check = |again: u32| {
        let it = it.clone().from(row()).to(row());
        it.changed(|it| {
            let places = &mut it.views[0].places;
            (places[2].items, places[3].items) = (1, 1);
            let mut other = places[3].clone();
            (other.items, other.again, other.rank) = (0, 1, again);
            places.insert(3, other);
        })
    };
    check(1).unwrap();
    assert_eq!(check(5).unwrap_err().reason, Reason::NoWayOn);
    let care = it.clone().care(|care| care.exact.push(0)).from(row().may(0, B)).to(row().may(0, A));
    let back = care.changed(|it| {
        let places = &mut it.views[0].places;
        places[2].items = 1;
        (places[3].again, places[3].rank) = (1, 5);
    });
    assert_eq!(back.unwrap_err().reason, Reason::NoWayOn);
}
