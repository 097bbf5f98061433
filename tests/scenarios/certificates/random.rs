//! The second program agrees with whatever is proved of random procedures; `FROM` and `SEEDS` say which.
//!
//! `check` claims small procedures as a whole, so that views are asked for here.

use super::{budget, number};
use check::{Fault, Second, check_one};
use form::Certificate;
use proof::{Claims, claims_as_whole, claims_by_views};

#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn the_second_program_agrees_on_random_procedures() {
    let (from, seeds) = (number("FROM", 0), number("SEEDS", 3_000));
    let (mut agrees, mut too_large, mut wrong) = (0, 0, Vec::new());
    for seed in from..from + seeds {
        let documents = oracle::varied_documents(seed);
        let all: Vec<_> = documents.iter().collect();
        let library = oracle::library(&all).expect("documents that the reader takes");
        match check_one(&library, &[], &"main".into(), &budget()) {
            Ok(checked) => match checked.second {
                Second::Agrees => agrees += 1,
                Second::TooLarge => too_large += 1,
                Second::NotAsked => {}
            },
            Err(fault @ Fault::Disagreement(..)) => wrong.push(format!("seed {seed}: {fault}")),
            Err(fault) => panic!("seed {seed}: {fault}"),
        }
    }
    println!("{agrees} agree, {too_large} too large, {} do not", wrong.len());
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert!(agrees * 10 > seeds && too_large * 100 < agrees, "{agrees} of {seeds}, {too_large} too large");
}

#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn where_the_second_program_refuses_views_it_agrees_with_the_whole() {
    let (from, seeds) = (number("FROM", 12_500), number("SEEDS", 500));
    // Among these is one of which the views say too little.
    let (mut several, mut refused) = (0, Vec::new());
    for seed in from..from + seeds {
        let documents = oracle::varied_documents(seed);
        let all: Vec<_> = documents.iter().collect();
        let library = oracle::library(&all).expect("documents that the reader takes");
        let checked = check_one(&library, &[], &"main".into(), &budget()).expect("no fault of ours");
        if checked.second != Second::Agrees {
            continue;
        }
        let machine = checked.machine.expect("what was proved was compiled");
        let form = machine.form();
        let agrees = |Claims { plans, views }| verifier::verify(&form, &Certificate::of(&form, plans, views));
        let Ok(claims) = claims_by_views(&machine, &budget()) else { continue };
        several += u64::from(claims.views.len() > 1);
        if agrees(claims).is_err() {
            refused.push(seed);
            let whole = claims_as_whole(&machine, &budget()).expect("of a small procedure");
            assert_eq!(agrees(whole), Ok(()), "seed {seed}");
        }
    }
    println!("{several} by several views, refused: {refused:?}");
    assert!(several * 10 > seeds, "{several} of {seeds}");
    assert!(refused.len() as u64 * 20 < several, "{} of {several}", refused.len());
}
