//! What it costs a walk to carry a certificate: the same records taken up with it and without.

use super::documents::{compiled, equipment, procedure};
use super::parted::charged;
use super::rows::{ratio, row, table, time, timed};
use super::sequence::straight;
use journal::Journal;
use proof::Budget;
use std::cell::RefCell;
use walk::{Begin, Certificate, CompiledCache, Input, LiveWalk, Look, Prompt, ToBegin};

const NOW: i64 = 1_795_600_000_000;

pub(crate) fn run() {
    table(
        "A walk with its certificate",
        &["", "records", "taken up without", "with", "with / without", "more for each record"],
    );
    for steps in [500, 5_000] {
        one(&format!("{steps} straight steps"), &[equipment(10), procedure("main", &straight(steps, 10))]);
    }
    one("8 lines charged and waited for in any order", &charged(8));
}

fn one(what: &str, texts: &[String]) {
    let (files, machine) = compiled(texts);
    let library = document::read(&files).library;
    let begin = Begin::training(&library, "main", "1".to_owned(), "Tomas Reeve".to_owned());
    let begin = begin.expect("a procedure");
    let claims =
        proof::claims(&machine, &Budget { boxes: 2_000_000, go_on: &|| true }).expect("it is proved");
    let form = machine.form();
    let hash = form::hash(&form).expect("a hash");
    let certificate = Certificate {
        form: hash,
        content: begin.content.clone(),
        ..Certificate::of(&form, claims.plans, claims.views)
    };
    let [with, without] = [Some(certificate), None].map(|certificate| {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut cache = CompiledCache::default();
        let wanted = ToBegin { begin: begin.clone(), certificate };
        let mut live = walk::begin_among(&mut journal, "one", wanted, None, NOW, &mut cache).expect("begun");
        walked(&mut live);
        assert!(!live.walk().is_never_proved(), "{what}");
        // Kept, so that what both go by is compiled and checked once.
        let (kept, records) = {
            let kept = live.keep();
            (kept.walk().clone(), kept.records())
        };
        let stores = RefCell::new((journal, cache));
        let (taken, _) = timed(|| {
            let (journal, cache) = &mut *stores.borrow_mut();
            walk::resume_among(journal, "one", cache).expect("it reads").keep().records()
        });
        drop(kept);
        (taken, records)
    });
    let more = with.0.saturating_sub(without.0) / u32::try_from(with.1).expect("few records");
    row(&[
        what.to_owned(),
        with.1.to_string(),
        time(without.0),
        time(with.0),
        ratio(with.0, without.0),
        time(more),
    ]);
}

/// Answers as a willing technician would, to the end.
fn walked(live: &mut LiveWalk<'_>) {
    let mut now = NOW;
    loop {
        let input = match live.prompt() {
            Prompt::Look(_) => Input::Look(Look::Yes),
            Prompt::Act => Input::Done,
            Prompt::Item(items) => Input::Item(items[0].clone()),
            Prompt::Wait(timer) => {
                now += i64::try_from(timer.millis).expect("a short wait");
                Input::TimerOver
            }
            Prompt::Variant { values, .. } => Input::Variant(values[0].clone()),
            Prompt::Ended(_) => return,
            other => panic!("{other:?} is not asked here"),
        };
        live.answer(&input, now).expect("it is taken");
    }
}
