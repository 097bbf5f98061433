//! Certificates: what they take to write and to check beside the proof, and how large they are.

use super::documents::{compiled, equipment, procedure};
use super::parted::{charged, turned, various};
use super::rows::{ratio, row, table, time, timed};
use super::sequence::straight;
use super::unknown::group;
use form::Certificate;
use proof::{Budget, Unclaimed};

/// Sets of states for each.
const BOXES: usize = 2_000_000;

pub(crate) fn run() {
    table(
        "Certificates",
        &[
            "",
            "proved",
            "written",
            "checked by the second program",
            "checked / proved",
            "views",
            "sets",
            "bytes",
        ],
    );
    for steps in [500, 5_000, 96_000] {
        one(&format!("{steps} straight steps"), &[equipment(10), procedure("main", &straight(steps, 10))]);
    }
    for items in [8, 16] {
        one(&format!("{items} items in any order"), &[equipment(items), procedure("main", &group(items))]);
    }
    for lines in [8, 16] {
        one(&format!("{lines} lines charged and waited for in any order"), &charged(lines));
    }
    for valves in [16, 40] {
        one(&format!("{valves} valves in any state over 200 steps"), &turned(valves));
    }
    one("12 variants that each leave a condition", &various(12));
}

fn one(what: &str, texts: &[String]) {
    let (_, machine) = compiled(texts);
    let budget = Budget { boxes: BOXES, go_on: &|| true };
    let (proved, proof) = timed(|| proof::prove(&machine, &budget).expect("every counterexample replays"));
    assert!(proof.refuted.is_empty() && proof.ended.is_none(), "{what} is proved");
    let (written, claims) = timed(|| proof::claims(&machine, &budget));
    let claims = match claims {
        Ok(claims) => claims,
        Err(Unclaimed::TooLarge) => {
            let rest = ["too large", "–", "–", "–", "–", "–"].map(str::to_owned);
            row(&[vec![what.to_owned(), time(proved)], rest.to_vec()].concat());
            return;
        }
        Err(Unclaimed::Interrupted { .. }) => panic!("{what} can be taken up again"),
    };
    let views = claims.views.len();
    let sets: usize = claims.views.iter().flat_map(|view| &view.places).map(|place| place.sets.len()).sum();
    let form = machine.form();
    let certificate = Certificate::of(&form, claims.plans, claims.views);
    let (checked, result) = timed(|| verifier::verify(&form, &certificate));
    let bytes = serde_json::to_vec(&certificate).expect("JSON").len();
    row(&[
        what.to_owned(),
        time(proved),
        time(written),
        result.map_or_else(|refusal| format!("REFUSED: {refusal}"), |()| time(checked)),
        ratio(checked, proved),
        views.to_string(),
        sets.to_string(),
        bytes.to_string(),
    ]);
}
