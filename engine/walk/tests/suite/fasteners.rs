//! Fasteners one by one: each tick is a record, out of order is refused, interruptions keep what is ticked.

use super::driver::{Driver, PERSON, SECOND, start};
use journal::Journal;
use proof::{Leaving, Planner};
use walk::{Error, Event, Input, LiveWalk, Look, Prompt, Status, Tick};

/// Goes on to the fasteners of a step, and ticks so many of them.
fn among(live: &mut LiveWalk<'_>, driver: &mut Driver, step: &str, ticked: u32) -> Tick {
    for _ in 0..500 {
        if let Prompt::Fasten(tick) = live.prompt()
            && live.walk().node().path == step
            && tick.done == ticked
        {
            return tick;
        }
        let input = driver.input(live).expect("the step is reached");
        driver.now_ms += 1_000;
        live.answer(&input, driver.now_ms).expect("taken");
    }
    panic!("`{step}` with {ticked} ticks is not reached");
}

fn resume(live: &mut LiveWalk<'_>, person: &str, now_ms: i64) {
    live.answer(&Input::Resume { person: person.to_owned() }, now_ms).expect("resumed");
}

/// The question about the ticks, which comes first.
fn to_the_ticks(live: &LiveWalk<'_>) -> String {
    match live.prompt() {
        Prompt::AsLeft { question, .. } if question.contains("ticked") => question,
        other => panic!("the ticks are not asked about: {other:?}"),
    }
}

/// Answers yes to everything that is looked at again, and waits.
fn taken_up(live: &mut LiveWalk<'_>, driver: &mut Driver) {
    while live.walk().is_gated() {
        let input = driver.input(live).expect("a question");
        live.answer(&input, driver.now_ms).expect("taken");
    }
}

fn ticks(journal: &Journal, walk: &str) -> Vec<(String, u32, u32)> {
    let events = walk::events(journal, walk).expect("records");
    let ticks = events.into_iter().filter_map(|(_, event)| match event {
        Event::Fastened { step, pass, fastener } => Some((step, pass, fastener)),
        _ => None,
    });
    ticks.collect()
}

fn of_step(ticks: &[(String, u32, u32)], step: &str) -> Vec<(u32, u32)> {
    ticks.iter().filter(|(at, ..)| at == step).map(|&(_, pass, fastener)| (pass, fastener)).collect()
}

#[test]
fn each_fastener_of_each_pass_is_a_record_in_order() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "wand-reassembly", &driver);
    driver.finish(&mut live);
    let all = ticks(&journal, "wand-reassembly");
    // Seven in line, centre outwards (derived), loosened in the reverse order (engine service text, read).
    let order = [4, 3, 5, 2, 6, 1, 7];
    assert_eq!(of_step(&all, "seat"), order.map(|fastener| (1, fastener)));
    assert_eq!(of_step(&all, "tighten"), order.map(|fastener| (1, fastener)));
    assert_eq!(of_step(&all, "loosen"), [7, 1, 6, 2, 5, 3, 4].map(|fastener| (1, fastener)));

    let mut journal = Journal::in_memory().expect("a journal");
    let mut live = start(&mut journal, "battery-replacement", &driver);
    driver.finish(&mut live);
    let all = ticks(&journal, "battery-replacement");
    // Four crosswise (ASME PCC-1 table 3, 2nd hand: round the ring 1 3 2 4), in two stages, then round in turn.
    let across = [1, 4, 2, 3];
    let mut wanted: Vec<(u32, u32)> = [1, 2].iter().flat_map(|&pass| across.map(|at| (pass, at))).collect();
    wanted.extend([1, 2, 4, 3].map(|fastener| (3, fastener)));
    assert_eq!(of_step(&all, "clamp-tighten"), wanted);
}

#[test]
fn ticks_move_nothing_and_the_step_is_done_only_after_the_last() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "wand-reassembly", &driver);
    among(&mut live, &mut driver, "loosen", 0);
    let before = live.walk().record().clone();
    while let Prompt::Fasten(tick) = live.prompt() {
        match live.answer(&Input::Done, driver.now_ms) {
            Err(Error::Refused(refusal)) => assert!(refusal.reason.contains("still open"), "{refusal}"),
            other => panic!("{other:?}"),
        }
        live.answer(&Input::Fastener(tick.next().expect("one")), driver.now_ms).expect("taken");
        assert_eq!(*live.walk().record(), before, "a tick changed what is believed");
    }
    assert!(matches!(live.prompt(), Prompt::Act));
    live.answer(&Input::Done, driver.now_ms).expect("taken");
    assert_ne!(*live.walk().record(), before);
}

#[test]
fn out_of_order_is_refused_with_the_reason() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "wand-reassembly", &driver);
    among(&mut live, &mut driver, "tighten", 2);
    for (fastener, reason) in [
        (2, "Fastener 2 is out of order: its turn is 4 and turn 3 is due"),
        (4, "Fastener 4 is done already in this pass"),
        (8, "There is no fastener 8: they are numbered from 1 to 7"),
    ] {
        match live.answer(&Input::Fastener(fastener), driver.now_ms) {
            Err(Error::Refused(refusal)) => {
                assert_eq!((refusal.reason.as_str(), refusal.opens.as_str()), (reason, "Fastener 5 is next"));
            }
            other => panic!("{other:?}"),
        }
    }
}

#[test]
fn ticks_outlast_a_kill_between_them() {
    let mut driver = Driver::new();
    for ticked in 1..7 {
        let mut journal = Journal::in_memory().expect("a journal");
        let mut live = start(&mut journal, "wand-reassembly", &driver);
        let before = among(&mut live, &mut driver, "tighten", ticked);
        drop(live);
        let mut live = walk::resume(&mut journal, "wand-reassembly").expect("it is there");
        resume(&mut live, PERSON, driver.now_ms + 1_000);
        let asked = to_the_ticks(&live);
        let listed: Vec<String> = before.ticked().iter().map(u32::to_string).collect();
        assert!(asked.contains(&format!("ticked: {}.", listed.join(", "))), "{asked}");
        for input in [Input::Done, Input::Fastener(before.next().expect("one"))] {
            let answer = live.answer(&input, driver.now_ms);
            assert!(matches!(answer, Err(Error::Refused(_))), "{input:?}: {answer:?}");
        }
        live.answer(&Input::Look(Look::Yes), driver.now_ms).expect("taken");
        taken_up(&mut live, &mut driver);
        let Prompt::Fasten(after) = live.prompt() else { panic!("{:?}", live.prompt()) };
        assert_eq!(after, before);
        driver.finish(&mut live);
        assert_eq!(live.walk().status(), Status::Completed);
        let done = of_step(&ticks(&journal, "wand-reassembly"), "tighten");
        assert_eq!(done, [4, 3, 5, 2, 6, 1, 7].map(|fastener| (1, fastener)), "none twice, none left out");
    }
}

#[test]
fn doubtful_ticks_are_begun_anew_and_stay_on_record() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "wand-reassembly", &driver);
    among(&mut live, &mut driver, "tighten", 3);
    live.answer(&Input::Pause, driver.now_ms).expect("paused");
    resume(&mut live, SECOND, driver.now_ms + 1_000);
    to_the_ticks(&live);
    live.answer(&Input::Look(Look::No), driver.now_ms).expect("taken");
    taken_up(&mut live, &mut driver);
    let tick = among(&mut live, &mut driver, "tighten", 0);
    assert_eq!(tick.next(), Some(4));
    let mut second = Driver { now_ms: driver.now_ms, ..Driver::new() };
    while live.walk().node().path == "tighten" {
        let input = second.input(&live).expect("a question");
        live.answer(&input, second.now_ms).expect("taken");
    }
    let done = of_step(&ticks(&journal, "wand-reassembly"), "tighten");
    assert_eq!(done.iter().map(|(_, at)| *at).collect::<Vec<_>>(), [4, 3, 5, 4, 3, 5, 2, 6, 1, 7]);
}

#[test]
fn a_short_pause_among_the_fasteners_asks_for_them_too() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "wand-reassembly", &driver);
    let before = among(&mut live, &mut driver, "tighten", 3);
    live.answer(&Input::Pause, driver.now_ms).expect("paused");
    resume(&mut live, PERSON, driver.now_ms + 60_000);
    to_the_ticks(&live);
    live.answer(&Input::Look(Look::Yes), driver.now_ms).expect("taken");
    taken_up(&mut live, &mut driver);
    let Prompt::Fasten(after) = live.prompt() else { panic!("{:?}", live.prompt()) };
    assert_eq!(after, before);
}

/// Half loosened is neither: work stopped there is left as from before the step and as from after it.
#[test]
fn stopped_among_the_fasteners_both_before_and_after_are_thought_of() {
    let mut journal = Journal::in_memory().expect("a journal");
    let mut driver = Driver::new();
    let mut live = start(&mut journal, "wand-reassembly", &driver);
    among(&mut live, &mut driver, "loosen", 0);
    among(&mut live, &mut driver, "loosen", 2);
    let machine = live.walk().machine().clone();
    let cover = machine.layout.find("wand-cover").expect("a condition");
    let seen: Vec<Vec<&str>> = live
        .walk()
        .possible()
        .iter()
        .map(|state| machine.layout.words_of(cover, state.bits.field(&machine.layout, cover)))
        .collect();
    assert!(seen.contains(&vec!["tight"]) && seen.contains(&vec!["loose"]), "{seen:?}");
    let mut planner = Planner::new(&machine).expect("a state to leave in");
    for state in live.walk().possible() {
        let way = planner.leave(&state);
        assert!(!matches!(way, Leaving::Stuck(_) | Leaving::Unknown), "{way:?}");
    }
    live.answer(&Input::Stop("the driver slips".to_owned()), driver.now_ms).expect("stopped");
    assert_eq!(live.walk().possible().len(), seen.len(), "the ticks still count once work is stopped");
}
