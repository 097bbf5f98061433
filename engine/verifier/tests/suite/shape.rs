//! Data that means nothing is refused, whatever is wrong with it.

use crate::told::{Reason, verify, verify_named};
use form::EffectKind::Write;
use form::{Care, Certificate, Form, Role, Row, Settling, Standing, Takes};

use crate::build::{A, B, Kit, Rows, effect, kit, node, part, row, to, wrong};

fn base() -> Kit {
    let it = kit(&[2, 2]).settles(0, None).rule(vec![part(0, A)]).loss(1, vec![part(0, A)], Standing::Event);
    it.from(row()).to(row())
}

#[track_caller]
fn of_form(change: impl FnOnce(&mut Form)) {
    base().with(change).wrong(|reason| matches!(reason, Reason::Malformed));
}

#[track_caller]
fn of_certificate(change: impl FnOnce(&mut Certificate)) {
    let refusal = base().changed(change).unwrap_err();
    assert!(matches!(refusal.reason, Reason::Malformed), "{refusal}");
}

#[test]
fn a_form_that_means_nothing() {
    base().right();
    of_form(|it| it.version = 9);
    of_form(|it| it.vars[0].values.clear());
    of_form(|it| it.vars[0].values = vec!["x".to_owned(); 65]);
    of_form(|it| it.vars[0].is_hidden = true);
    of_form(|it| (it.vars[0].is_variant, it.vars[0].is_asked) = (true, false));
    of_form(|it| it.vars[0].seen_when = vec![part(9, A)]);
    of_form(|it| it.start = vec![part(0, 0b100)]);
    of_form(|it| it.start = vec![part(0, A), part(0, A)]);
    of_form(|it| it.unseen = vec![part(9, A)]);
    of_form(|it| it.rest = Some(vec![part(9, A)]));
    of_form(|it| it.entry = 99);
    of_form(|it| it.nodes.truncate(1));
    of_form(|it| it.nodes.clear());
    of_form(|it| it.nodes[3].role = Role::Stop);
    of_form(|it| it.nodes[1].outcomes = vec![to(2)]);
    of_form(|it| it.nodes[3].outcomes[0].to = 99);
    of_form(|it| it.nodes[3].outcomes[0].takes = Takes::Item(0));
    of_form(|it| it.nodes[3].outcomes[0].takes = Takes::AllItems);
    of_form(|it| it.nodes[3].outcomes[0].ends = Some(32));
    of_form(|it| it.nodes[3].outcomes[0].effects = vec![effect(Write, 0, 0)]);
    of_form(|it| it.nodes[3].outcomes[0].effects = vec![effect(Write, 9, A)]);
    of_form(|it| it.nodes[3].outcomes[0].guard = form::Guard::Is(vec![part(0, A)]));
    of_form(|it| it.nodes[3].needs = vec![part(0, 0b100)]);
    of_form(|it| it.nodes[3].item = Some(0));
    of_form(|it| (it.nodes[3].item, it.nodes[3].block) = (Some(32), Some(0)));
    of_form(|it| it.nodes.push(node(Role::Chooses, vec![])));
    of_form(|it| it.rules[0].when = vec![part(9, A)]);
    of_form(|it| it.released = vec![form::Rule { name: String::new(), when: vec![part(9, A)] }]);
    of_form(|it| it.settling[0] = Settling { from: 0, ..it.settling[0].clone() });
    of_form(|it| it.settling[0].var = 9);
    of_form(|it| it.settling[0].holds = Some(vec![part(9, A)]));
    of_form(|it| it.lost_when[0].var = 9);
    of_form(|it| it.lost_when[0].when = vec![part(9, A)]);
    of_form(|it| it.lost_when[0].standing = Standing::ByItself { falling: vec![9], stood_over: vec![] });
    of_form(|it| it.lost_when[0].standing = Standing::ByItself { falling: vec![], stood_over: vec![9] });
    of_form(|it| it.promises = vec![form::Promise { part: part(9, A), usual: false }]);
    of_form(|it| {
        (it.vars[0].is_variant, it.nodes[3].outcomes[0].effects) = (true, vec![effect(Write, 0, A)]);
    });
}

#[test]
fn a_certificate_that_means_nothing() {
    of_certificate(|it| it.version = 9);
    of_certificate(|it| it.views[0].vars = vec![1, 0]);
    of_certificate(|it| it.views[0].vars = vec![0, 1, 9]);
    of_certificate(|it| it.views[0].items = vec![(9, 1)]);
    of_certificate(|it| it.plans = vec![vec![form::PlanStep::Wait(9, 1)]]);
    of_certificate(|it| it.plans = vec![vec![form::PlanStep::Look(9, vec![(A, vec![])])]]);
    let care = |care: Care| of_certificate(|it| it.views[0].care.push(care));
    care(Care { exact: vec![1, 0], ..Care::default() });
    care(Care { opened: vec![9], ..Care::default() });
    care(Care { wrote: vec![0, 0], ..Care::default() });
    care(Care { look_only: vec![1], ..Care::default() });
    let row = |row: Row| of_certificate(|it| it.views[0].rows.push(row));
    row(Row::default().may(0, 0));
    row(Row::default().may(0, 0b100));
    row(Row::default().may(0, A).may(0, B));
    row(Row::default().may(9, A));
    row(Row::default().clock(0, 1001));
    row(Row::default().clock(1, 1));
    row(Row::default().clock(0, 1).clock(0, 1));
    row(Row::default().opened(9));
    row(Row::default().wrote(1).wrote(0));
    row(Row::default().look_only(3));
    row(Row::default().found(1));
    row(Row::default().found(0).found(0));
    of_certificate(|it| it.views[0].places[3].node = 3);
    of_certificate(|it| it.views[0].places[3].node = 99);
    of_certificate(|it| it.views[0].places[3].items = 1);
    of_certificate(|it| it.views[0].places[3].again = 1);
    of_certificate(|it| it.views[0].places[3].sets[0].0 = 99);
    of_certificate(|it| it.views[0].places[3].sets[0].1 = 99);
    of_certificate(|it| it.views[0].places[3].sets[0].2 = Some(0));
}

#[test]
fn a_certificate_names_its_form() {
    let it = base();
    let mut certificate = it.certificate();
    assert_eq!(verify_named(&it.form, &certificate).unwrap_err().reason, Reason::OtherForm);
    certificate.form = form::hash(&it.form).unwrap();
    verify_named(&it.form, &certificate).unwrap();
    verify(&it.form, &certificate).unwrap();
}

#[test]
fn a_refusal_says_where_and_of_what() {
    let it = base().effect(Write, 0, B).node(3, |node| node.name = "here".to_owned());
    let said = it.verify().unwrap_err().to_string();
    for part in ["view 0", "node: 3", "`here`", "node 4", "v0 v01"] {
        assert!(said.contains(part), "{said}");
    }
}

#[test]
fn nothing_left_of_a_variable_is_refused() {
    // No record is so: what gives way may have given way.
    let it = kit(&[2]).settles(0, None).exact().wait(vec![], 1000).from(row().may(0, A)).to(row());
    it.wrong(|reason| matches!(reason, Reason::Empty));
}

#[test]
fn what_gives_way_gives_way_once() {
    let more = |from, to| {
        kit(&[3])
            .settles(0, None)
            .with(move |form| {
                form.settling.push(Settling { var: 0, from, to, after: 1000, holds: None });
            })
            .verify()
    };
    more(0b100, B).unwrap();
    for (from, to) in [(B, A), (B, 0b100), (0b100, A), (0b100, 0b100)] {
        wrong(more(from, to), |reason| matches!(reason, Reason::Malformed));
    }
    let settles = kit(&[2]).settles(0, None).var(0, |var| var.is_variant = true);
    wrong(settles.verify(), |reason| matches!(reason, Reason::Malformed));
    let ends = kit(&[2]).node(0, |node| node.block = Some(7));
    wrong(ends.verify(), |reason| matches!(reason, Reason::Malformed));
}
