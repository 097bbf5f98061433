//! The second program agrees with whatever is proved of random procedures; `FROM` and `SEEDS` say which.

use super::{budget, number};
use check::{Fault, Second, check_one};

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
