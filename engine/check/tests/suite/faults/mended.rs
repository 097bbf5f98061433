//! The mend of each fault, made and proved again: it leaves nothing to be found.

use super::{Fault, lists};
use crate::demo;
use check::{Budget, Mended, check_one, mend};
use document::model::Name;
use document::{InputFile, Reading};
use std::sync::atomic::{AtomicUsize, Ordering};

/// How often the search for one mend may ask whether to go on: a count is the same on every machine.
const ASKS: usize = 1_000;

fn read(files: &[(&str, String)]) -> Reading {
    let file = |(name, text): &(&str, String)| InputFile {
        name: format!("{name}.yaml"),
        bytes: text.clone().into_bytes(),
    };
    document::read(&files.iter().map(file).collect::<Vec<_>>())
}

/// Looks for the mend of every fault, makes those that are found, and gives how many were.
#[expect(clippy::print_stdout, reason = "the table of mends is shown with the test's output")]
fn mended(procedure: &str, faults: &[Fault]) -> usize {
    let (original, name) = (demo::text(procedure), Name::from(procedure));
    let files = |text: String| [("equipment", demo::text("equipment")), (procedure, text)];
    let mut count = 0;
    for Fault { slip, .. } in faults {
        let reading = read(&files(slip.made_in(&original)));
        let asked = AtomicUsize::new(0);
        let go_on = || asked.fetch_add(1, Ordering::Relaxed) < ASKS;
        let budget = Budget { boxes: 100_000, go_on: &go_on };
        let Some(Mended::With(found)) = mend(&reading.library, &name, &[], &budget) else {
            println!("{procedure:20} {:58} -", slip.words());
            continue;
        };
        let after = read(&files(found.text.clone()));
        let whole = Budget { boxes: 100_000, go_on: &|| true };
        let checked = check_one(&after.library, &after.findings, &name, &whole).expect("no fault of ours");
        let left: Vec<_> =
            after.findings.iter().chain(&checked.findings).map(|finding| &finding.message).collect();
        let proof = checked.proof.unwrap_or_else(|| panic!("{}: {left:?}", slip.words()));
        assert!(proof.ended.is_none() && proof.refuted.is_empty(), "{}", slip.words());
        assert!(left.is_empty(), "{}: {left:?}\n{}", slip.words(), found.text);
        println!("{procedure:20} {:58} mended", slip.words());
        count += 1;
    }
    count
}

macro_rules! procedures {
    ($($test:ident $at:literal $least:literal)*) => { $(
        #[test]
        fn $test() {
            let (procedure, faults) = lists::ALL[$at];
            let count = mended(procedure, &faults());
            assert!(count >= $least, "{count} of {}", faults().len());
        }
    )* };
}

procedures! {
    pump_head 2 5
    strainer_clean 3 5
}
