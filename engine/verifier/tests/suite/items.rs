//! Section 6: items that a view leaves out.

use crate::told::{Reason, Refusal, verify};
use form::EffectKind::{Look, Write};
use form::{Certificate, Guard, Node, Outcome, PlaceSets, Role, Standing, Takes, Wait};

use crate::build::{A, B, Kit, Rows, effect, kit, node, part, row, to, var};

/// Node 3 chooses in block 7 between item 0 (node 4) and item 1 (node 5), and then goes to the stop.
/// Variable 1 is changed in item 1, which the view of variable 0 leaves out.
fn block() -> Kit {
    let item = |item: u8| Outcome { takes: Takes::Item(item), ..to(4 + u32::from(item)) };
    let back = |item: u8| Outcome { ends: Some(item), ..to(3) };
    let it = kit(&[2, 2, 2]).node(3, |node| {
        (node.block, node.role) = (Some(7), Role::Chooses);
        node.outcomes = vec![item(0), item(1), Outcome { takes: Takes::AllItems, ..to(1) }];
    });
    let it = it.node(4, |node| (node.block, node.item, node.outcomes) = (Some(7), Some(0), vec![back(0)]));
    let it = it.with(|form| form.nodes.push(node(Role::Stood, vec![back(1), to(1)])));
    it.node(5, |node| (node.block, node.item) = (Some(7), Some(1)))
        .var(2, |var| var.is_variant = true)
        .in_item(|out| {
            out.effects.push(effect(Write, 1, A));
        })
}

impl Kit {
    /// The first outcome of the node of item 1.
    fn in_item(self, change: impl FnOnce(&mut Outcome)) -> Self {
        self.node(5, |node| change(&mut node.outcomes[0]))
    }

    /// Two views: one of the given variables without item 1, and one of variable 1 without item 0.
    fn split(&self, vars: &[u32]) -> Result<(), Refusal> {
        self.split_with(vars, |_| ())
    }

    fn split_with(&self, vars: &[u32], change: impl FnOnce(&mut Certificate)) -> Result<(), Refusal> {
        let at = |node: u32, items: u32, rank: u32, set: u32| PlaceSets {
            node,
            items,
            again: 0,
            rank,
            sets: vec![form::ClaimedSet(set, 1, None)],
        };
        let view = |vars: &[u32], item: u32, own: u32| {
            let it = self.clone().vars(vars);
            let mut view = it.certificate().views.remove(0);
            let is_known = |value: &&(u32, u64)| vars.contains(&value.0);
            let values = self.from.iter().flat_map(|row| &row.values).filter(is_known).copied();
            view.rows = vec![form::Row { values: values.collect(), ..row() }, row()];
            view.items = vec![(7, item)];
            view.places =
                vec![at(1, 0, 0, 1), at(2, 0, 1, 1), at(3, 0, 3, 0), at(3, item, 1, 0), at(own, 0, 2, 0)];
            view.places[0].sets[0].1 = 0;
            view.places[1].sets[0].1 = 0;
            view
        };
        let mut both = self.certificate();
        both.views = vec![view(vars, 0b01, 4), view(&[1], 0b10, 5)];
        both.views[1].places[2..].iter_mut().for_each(|at| at.sets[0].1 = 0);
        change(&mut both);
        verify(&self.form, &both)
    }

    #[track_caller]
    fn is_split(&self) {
        if let Err(refusal) = self.known().split(&[0, 2]) {
            panic!("{refusal}");
        }
    }

    #[track_caller]
    fn is_not_split(&self) {
        let refusal = self.known().split(&[0, 2]).unwrap_err();
        assert!(refusal.view == Some(0) && matches!(refusal.reason, Reason::LeftOut), "{refusal}");
    }

    fn known(&self) -> Self {
        self.clone().from(row().may(0, A))
    }
}

#[test]
fn an_item_that_concerns_nobody_is_left_out() {
    block().is_split();
    // To be a place of it, the node has to be followed.
    let it = block().known();
    let reason = it.changed(|it| {
        it.views[0].items = vec![(7, 0b01)];
        it.views[0].places[3].node = 5;
    });
    assert!(matches!(reason.unwrap_err().reason, Reason::Malformed));
}

#[test]
fn it_leads_to_its_block_or_to_the_stop() {
    block().node(5, |node| node.outcomes.push(to(5))).is_split();
    block().node(5, |node| node.outcomes.push(to(4))).is_not_split();
    block().node(5, |node| node.outcomes.push(to(2))).is_not_split();
    block().node(4, |node| node.outcomes.push(to(5))).is_not_split();
    block().node(2, |node| node.outcomes.push(to(5))).is_not_split();
    block().with(|form| form.entry = 5).is_not_split();
}

#[test]
fn one_node_chooses() {
    let more =
        |role| block().with(|form| form.nodes.push(Node { block: Some(7), ..node(role, vec![to(1)]) }));
    more(Role::Passing).is_not_split();
    more(Role::Chooses).is_not_split();
}

#[test]
fn what_is_stopped_there_is_claimed_at_the_stop() {
    // From item 1 alone a record comes to the stop in which variable 0 has its first value.
    let it = block().with(|form| form.start = vec![part(0, B)]);
    let it = it.node(3, |node| node.outcomes[2].to = 0).known();
    let check = |it: &Kit| {
        it.split_with(&[0, 2], |both| {
            let view = &mut both.views[0];
            view.rows.push(row().may(0, B));
            let known = PlaceSets { node: 0, ..view.places[2].clone() };
            view.places.insert(0, PlaceSets { rank: 0, ..known });
            (view.places[1].sets[0].0, view.places[2].sets[0].0) = (2, 2);
            let view = &mut both.views[1];
            let known = PlaceSets { node: 0, rank: 0, ..view.places[2].clone() };
            view.places.insert(0, known);
        })
    };
    assert!(matches!(check(&it).unwrap_err().reason, Reason::NotClaimed));
    check(&it.node(5, |node| node.outcomes.truncate(1))).unwrap();
}

#[test]
fn no_effect_names_what_the_view_speaks_of() {
    block().in_item(|out| out.effects.push(effect(Look, 1, B))).is_split();
    block().in_item(|out| out.effects.push(effect(Look, 0, A))).is_not_split();
    block().node(3, |node| node.outcomes[1].effects.push(effect(Write, 0, A))).is_not_split();
    block().node(3, |node| node.outcomes[1].effects.push(effect(Write, 1, A))).is_split();
}

#[test]
fn no_effect_ends_what_the_view_speaks_of() {
    block().loss(1, vec![part(1, A)], Standing::Event).is_split();
    block().loss(0, vec![part(1, B)], Standing::Event).is_not_split();
    // Nor by way of something else.
    let chain = block().with(|form| form.vars.push(var("v3", 2))).loss(0, vec![part(3, B)], Standing::Event);
    chain.clone().is_split();
    chain.loss(3, vec![part(1, B)], Standing::Event).is_not_split();
}

#[test]
fn no_item_followed_is_offered_or_ended() {
    block().in_item(|out| out.effects[0].offers = Some(1)).is_split();
    block().in_item(|out| out.effects[0].offers = Some(0)).is_not_split();
    block().in_item(|out| out.ends = Some(0)).is_not_split();
}

#[test]
fn no_time_passes_for_what_settles() {
    let wait = |out: &mut Outcome| out.waits.push(Wait { cube: vec![], millis: 5 });
    block().in_item(wait).is_split();
    let settles = |it: Kit, var| {
        it.with(|form| form.settling.push(form::Settling { var, from: B, to: A, after: 9, holds: None }))
            .exact()
    };
    settles(block(), 1).in_item(wait).is_split();
    settles(block(), 0).in_item(|out| out.waits.clear()).known().split(&[0, 2]).unwrap_err();
    let it = settles(block(), 0).in_item(wait).known().split(&[0, 2]);
    assert!(matches!(it.unwrap_err().reason, Reason::LeftOut));
}

#[test]
fn no_variant_of_the_view_is_told_apart_there() {
    let guard = |set| Guard::Is(vec![part(2, set)]);
    block().in_item(|out| out.guard = guard(A)).is_not_split();
    block().in_item(|out| out.guard = Guard::IsNot(vec![part(2, A)])).is_not_split();
    block().in_item(|out| out.waits.push(Wait { cube: vec![part(2, A)], millis: 5 })).is_not_split();
    block().in_item(|out| out.guard = guard(A)).known().split(&[0]).unwrap();
}

#[test]
fn nothing_is_found_in_the_block() {
    let found = |at: usize| {
        let it = block().rule(vec![part(0, A)]).known();
        let mut certificate = it.certificate();
        let view = &mut certificate.views[0];
        view.items = vec![(7, 0b01)];
        view.rows[usize::try_from(view.places[at].sets[0].0).unwrap()].found = vec![0];
        view.vars = vec![0, 2];
        view.care[1] = form::Care::default();
        let mut other = it.clone().vars(&[1]).certificate().views.remove(0);
        other.rows.iter_mut().for_each(|row| row.values.clear());
        certificate.views.push(other);
        verify(&it.form, &certificate).unwrap_err().reason
    };
    assert!(matches!(found(2), Reason::LeftOut));
    assert!(!matches!(found(1), Reason::LeftOut));
}

#[test]
fn somebody_follows_every_item() {
    let it = block().known();
    let reason = it.changed(|it| {
        it.views[0].items = vec![(7, 0b01)];
        it.views[0].places.truncate(2);
    });
    assert!(matches!(reason.unwrap_err().reason, Reason::NotCovered));
}
