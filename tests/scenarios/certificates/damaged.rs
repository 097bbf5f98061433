//! Damaged certificates: none is taken for a right one.

use super::{budget, number};
use crate::support::demo::{PROCEDURES, reading, text};
use form::{Certificate, Form};
use oracle::Random;

fn certificate(procedure: &str) -> (Form, Certificate) {
    let reading = reading(procedure, &text(procedure));
    let machine = machine::compile(&reading.library, &procedure.into()).expect("it compiles");
    let report = check::check(reading, &budget()).expect("no fault of ours");
    (machine.form(), report.certificate(procedure).expect("it is proved"))
}

/// Damages one thing; says what. Nothing where it would change nothing that the certificate says.
fn damaged(form: &Form, certificate: &mut Certificate, random: &mut Random) -> Option<String> {
    let view = &mut certificate.views[0];
    let place = random.below(view.places.len());
    let node = view.places[place].node;
    match random.below(7) {
        0 => {
            view.places.remove(place);
            Some(format!("node {node} dropped"))
        }
        1 => {
            let sets = &mut view.places[place].sets;
            let at = random.below(sets.len());
            sets.remove(at);
            Some(format!("set {at} of node {node} dropped"))
        }
        2 => {
            let other = random.below(view.places.len());
            let (one, two) = (view.places[place].sets.clone(), view.places[other].sets.clone());
            if one == two {
                return None;
            }
            (view.places[place].sets, view.places[other].sets) = (two, one);
            Some(format!("the sets of nodes {node} and {} swapped", view.places[other].node))
        }
        3 => {
            // One value more of what is known exactly.
            let form::ClaimedSet(row, care, _) = view.places[place].sets[0];
            let exact = &view.care[care as usize].exact;
            let row = &mut view.rows[row as usize];
            let at = (0..row.values.len()).find(|&at| exact.contains(&row.values[at].0))?;
            let (var, set) = row.values[at];
            let all = (1u64 << form.vars[var as usize].values.len()) - 1;
            let more = (all & !set) & (all & !set).wrapping_neg();
            row.values[at].1 |= more;
            if row.values[at].1 == all {
                row.values.remove(at);
            }
            Some(format!("a set of node {node} widened"))
        }
        4 => {
            certificate.form.replace_range(0..1, if certificate.form.starts_with('0') { "1" } else { "0" });
            Some("another form's".to_owned())
        }
        5 => {
            certificate.version += 1;
            Some("another version's".to_owned())
        }
        _ => {
            let plan = certificate.plans.iter_mut().find(|plan| !plan.is_empty())?;
            plan.pop();
            Some("the last step of a plan dropped".to_owned())
        }
    }
}

#[test]
fn a_thousand_damaged_certificates_are_refused() {
    let whole: Vec<(Form, Certificate)> = PROCEDURES.into_iter().map(certificate).collect();
    for (form, certificate) in &whole {
        verifier::verify_named(form, certificate).unwrap_or_else(|refusal| panic!("{refusal}"));
    }
    let mut random = Random::new(number("FROM", 1));
    let (mut refused, mut taken) = (0, Vec::new());
    while refused < 1_000 {
        let (form, certificate) = &whole[random.below(whole.len())];
        let mut other = certificate.clone();
        let Some(what) = damaged(form, &mut other, &mut random) else { continue };
        match verifier::verify_named(form, &other) {
            Err(_) => refused += 1,
            Ok(()) => taken.push(format!("{}: {what}", form.procedure)),
        }
        assert!(taken.is_empty(), "{taken:?} beside {refused} refused");
    }
}
