//! Random walks of random procedures that the judge finds no fault in: looks that contradict the record, pauses, kills,
//! handovers, stops, verifications and clocks. A walk is never at a place with a record that the judge did not meet there, no
//! act of it breaks a rule, everything that is asked can be answered, and something always leads on.

use document::Library;
use journal::Journal;
use machine::{AbstractState, Machine, VarId};
use oracle::judge::{Explored, Judged, explore};
use oracle::{Random, library, shown, varied_documents};
use proof::{Leaving, Planner, Universal};
use std::collections::BTreeMap;
use walk::{Because, Begin, DocumentText, Event, FORMAT, Input, LiveWalk, Look, Prompt, Stage, Walk};

/// Events over all walks.
const EVENTS: usize = 100_000;
/// Walks of one procedure.
const WALKS: usize = 12;
/// A walk that has not ended by then is stopped.
const LONGEST: usize = 150;
/// The judge gives procedures with more records up.
const RECORDS: usize = 3_000;

const PEOPLE: [&str; 2] = ["Tomas Reeve", "Ilse Marrow"];

fn begin(documents: &[serde_json::Value]) -> Begin {
    let text = |(at, document): (usize, &serde_json::Value)| DocumentText {
        name: format!("{at}.yaml"),
        text: document.to_string(),
    };
    Begin {
        format: FORMAT,
        procedure: "main".to_owned(),
        revision: 1,
        content: String::new(),
        equipment: "rig".to_owned(),
        serial: "1".to_owned(),
        person: PEOPLE[0].to_owned(),
        training: true,
        rehearsal: true,
        documents: documents.iter().enumerate().map(text).collect(),
    }
}

/// What was met, so that a suite that meets nothing fails.
#[derive(Default)]
struct Met {
    events: usize,
    kinds: BTreeMap<String, usize>,
}

#[test]
#[expect(clippy::print_stdout, reason = "shown with the test's output")]
fn a_walk_is_only_where_the_judge_was_and_always_leads_on() {
    let mut met = Met::default();
    let mut seed = 0;
    while met.events < EVENTS {
        seed += 1;
        let documents = varied_documents(seed);
        let all: Vec<_> = documents.iter().collect();
        let library = library(&all).unwrap_or_else(|error| panic!("seed {seed}: {error}"));
        let judged = Judged::new(&library, "main");
        let Ok(explored) = explore(&judged, RECORDS) else { continue };
        if !explored.faults.is_empty() {
            continue;
        }
        let proved = Proved::new(&judged, &explored);
        let machine = machine::compile(&library, &"main".into()).expect("a machine");
        if proved.holds(&machine, &machine.start()).is_err() {
            *met.kinds.entry("other start".to_owned()).or_default() += 1;
            continue;
        }
        for number in 0..WALKS {
            let mut random = Random::new(seed * 1_000 + number as u64);
            if let Err(error) = one(&documents, &library, &proved, &mut random, &mut met) {
                panic!("seed {seed}, walk {number}: {error}\n{}", shown(&all));
            }
        }
    }
    for (kind, times) in &met.kinds {
        println!("{kind}: {times}");
    }
    let wanted = [
        "surprise",
        "cannot-tell",
        "restored",
        "not-verified",
        "act-begun",
        "resumed",
        "unannounced",
        "stopped",
        "completed",
        "before-done",
        "by-record",
        "lapsed",
        "settled",
        "shut",
        "deviated",
    ];
    for kind in wanted {
        let times = met.kinds.get(kind).copied().unwrap_or_default();
        assert!(times >= 5, "only {times} times: {kind}");
    }
}

/// Every record that the judge met, by the name of its place.
struct Proved<'a> {
    judged: &'a Judged,
    arrivals: BTreeMap<String, Vec<&'a oracle::judge::Record>>,
}

impl<'a> Proved<'a> {
    fn new(judged: &'a Judged, explored: &'a Explored) -> Self {
        let mut arrivals: BTreeMap<String, Vec<_>> = BTreeMap::new();
        for (place, records) in &explored.arrivals {
            let key = judged.key(place);
            // What was left for a stop is no part of the place.
            let key = if key.ends_with("→ stop") { "stop".to_owned() } else { key };
            arrivals.entry(key).or_default().extend(records);
        }
        Self { judged, arrivals }
    }

    /// Whether the judge met the record of a walk at its place.
    fn holds(&self, machine: &Machine, state: &AbstractState) -> Result<(), String> {
        let key = machine.key(state.place.node);
        let known = self.arrivals.get(&key).map_or(&[][..], Vec::as_slice);
        // What `leaves` names is promised whether an act wrote it or not.
        let is_usual = |var: VarId| {
            machine.promises.iter().any(|promise| {
                promise.conjunct.var == var && promise.source == machine::PromiseSource::Normal
            })
        };
        let is_same = |record: &&&oracle::judge::Record| {
            self.judged.vars.iter().enumerate().all(|(at, var)| {
                let id = machine.layout.find(&var.name).expect("a variable");
                let (mine, theirs) = (state.bits.field(&machine.layout, id), record.field[at]);
                let settling = machine.settling.iter().position(|settling| settling.var == id);
                let rest = |bits: u64| bits >> at & 1 == 1;
                if var.variant {
                    return mine & !theirs == 0;
                }
                mine == theirs
                    && settling.is_none_or(|of| state.clocks[of] == record.clock[at])
                    && machine.is_opened(state, id) == rest(record.opened)
                    && settling.is_none_or(|of| machine.is_look_only(state, of) == rest(record.look_only))
                    && (!is_usual(id) || machine.wrote(state, id) == rest(record.wrote))
            }) && (0..machine.rules.len())
                .all(|rule| machine.is_found(state, rule) == (record.found >> rule & 1 == 1))
        };
        if known.iter().any(|record| is_same(&record)) {
            return Ok(());
        }
        let fields: Vec<String> = self
            .judged
            .vars
            .iter()
            .map(|var| {
                let id = machine.layout.find(&var.name).expect("a variable");
                let words = machine.layout.words_of(id, state.bits.field(&machine.layout, id)).join("|");
                let open = if machine.is_opened(state, id) { "!" } else { "" };
                let wrote = if machine.wrote(state, id) { "w" } else { "" };
                format!("{}={words}{open}{wrote}", var.name)
            })
            .collect();
        Err(format!(
            "at `{key}` the judge never met {fields:?} {:?} found {:?}; it met {known:?}",
            state.clocks,
            machine.found(state)
        ))
    }
}

fn one(
    documents: &[serde_json::Value],
    library: &Library,
    proved: &Proved<'_>,
    random: &mut Random,
    met: &mut Met,
) -> Result<(), String> {
    let mut journal = Journal::in_memory().map_err(|error| error.to_string())?;
    let mut now = 1_795_600_000_000;
    let mut story: Vec<String> = Vec::new();
    let mut live =
        walk::begin(&mut journal, "one", begin(documents), now).map_err(|error| error.to_string())?;
    let _ = library;
    for step in 0..LONGEST {
        looked_over(&live, proved).map_err(|error| format!("{error}\n{}", story.join("\n")))?;
        if let Stage::Ended(_) = live.walk().stage() {
            break;
        }
        now += 1_000 + 1_000 * random.below(3) as i64;
        let mut input = if step + 1 == LONGEST {
            Input::Stop("enough".to_owned())
        } else {
            said(&live, random, &mut now)
        };
        if random.percent(2) && !live.walk().status().is_ended() {
            drop(live);
            live = walk::resume(&mut journal, "one").map_err(|error| error.to_string())?;
            input = Input::Resume { person: random.pick(&PEOPLE).to_string() };
            *met.kinds.entry("unannounced".to_owned()).or_default() += 1;
        }
        let before = format!("{:?}", live.walk().stage());
        let event = live
            .answer(&input, now)
            .map_err(|error| format!("{input:?} at {before}: {error}\n{}", story.join("\n")))?;
        story.push(format!("{now} {event:?} at {before}"));
        count(&event, live.walk(), met);
        no_act_broke_a_rule(&event, live.walk()).map_err(|error| format!("{error}\n{}", story.join("\n")))?;
    }
    looked_over(&live, proved).map_err(|error| format!("{error}\n{}", story.join("\n")))?;
    let (record, stage) = (live.walk().record().clone(), format!("{:?}", live.walk().stage()));
    let folded = walk::fold(&journal, "one").map_err(|error| error.to_string())?;
    if *folded.record() != record || format!("{:?}", folded.stage()) != stage {
        return Err(format!("the fold of its records is another walk\n{}", story.join("\n")));
    }
    Ok(())
}

fn count(event: &Event, walk: &Walk, met: &mut Met) {
    met.events += 1;
    let mut kinds = Vec::new();
    match event {
        Event::Seen { answer, because, recorded, .. } => {
            kinds.extend((!recorded.is_empty()).then_some("surprise"));
            kinds.extend((*answer == Look::CannotTell).then_some("cannot-tell"));
            kinds.extend(match because {
                Because::BeforeDone => Some("before-done"),
                Because::ByRecord => Some("by-record"),
                Because::Lapsed => Some("lapsed"),
                Because::TakenUp => Some("taken-up"),
                Because::BeforeStart | Because::Deviated | Because::Step => None,
            });
        }
        Event::Restored { .. } => kinds.push("restored"),
        Event::NotVerified { .. } => kinds.push("not-verified"),
        Event::ActBegun { .. } => kinds.push("act-begun"),
        Event::Resumed { .. } => kinds.push("resumed"),
        Event::Stopped { .. } => kinds.push("stopped"),
        Event::Deviated { .. } => kinds.push("deviated"),
        _ => {}
    }
    match walk.stage() {
        Stage::Settle { .. } => kinds.push("settled"),
        Stage::Shut { .. } => kinds.push("shut"),
        Stage::Ended(walk::Ending::Completed) => kinds.push("completed"),
        _ => {}
    }
    for kind in kinds {
        *met.kinds.entry(kind.to_owned()).or_default() += 1;
    }
}

/// No rule surely holds after an act that was not found broken before.
fn no_act_broke_a_rule(event: &Event, walk: &Walk) -> Result<(), String> {
    if !matches!(event, Event::Done { .. }) {
        return Ok(());
    }
    let (machine, state) = (walk.machine(), walk.record());
    let broken =
        machine.rules.iter().enumerate().find(|(at, rule)| {
            !machine.is_found(state, *at) && rule.when.holds(&machine.layout, &state.bits)
        });
    broken.map_or(Ok(()), |(_, rule)| Err(format!("an act broke `{}`", rule.name)))
}

/// Where a walk stands it is proved, can be answered, and can be left.
fn looked_over(live: &LiveWalk<'_>, proved: &Proved<'_>) -> Result<(), String> {
    let walk = live.walk();
    let machine = walk.machine();
    match walk.stage() {
        Stage::Gate { due, because, .. } => {
            let sight = machine.sight(due.var);
            let is_answerable = because == Because::ByRecord
                || sight.is_asked && sight.when.holds(&machine.layout, &walk.record().bits);
            if !is_answerable {
                return Err(format!("nobody can answer for `{}`", machine.layout.var(due.var).name));
            }
        }
        Stage::Locked(why) if !walk.is_gated() => return Err(format!("locked: {why}")),
        Stage::Ended(walk::Ending::Stopped) => {
            if let Some(mut planner) = Planner::new(machine) {
                let way = planner.leave_any(&walk.possible());
                let has_way =
                    matches!(way, Leaving::Plan { .. }) || matches!(planner.universal(), Universal::Plan(_));
                if !has_way {
                    return Err("there is no way to leave the machine".to_owned());
                }
            }
        }
        Stage::Verification
        | Stage::Act
        | Stage::Hold
        | Stage::Measure { .. }
        | Stage::Ask
        | Stage::Item
        | Stage::Wait { .. }
        | Stage::Look(_)
        | Stage::Ended(_) => return proved.holds(machine, walk.record()),
        Stage::Locked(_)
        | Stage::Paused
        | Stage::Earlier(_)
        | Stage::Variant(_)
        | Stage::Label(_)
        | Stage::Shut { .. }
        | Stage::Settle { .. }
        | Stage::BegunDoubted
        | Stage::TicksDoubted
        | Stage::Fasten(_) => {}
    }
    Ok(())
}

fn look(random: &mut Random) -> Input {
    Input::Look(match random.below(10) {
        0..=6 => Look::Yes,
        7..=8 => Look::No,
        _ => Look::CannotTell,
    })
}

/// Something that is asked for here.
fn said(live: &LiveWalk<'_>, random: &mut Random, now: &mut i64) -> Input {
    let walk = live.walk();
    if random.percent(3) && !matches!(walk.stage(), Stage::Paused | Stage::Ended(_)) {
        return Input::Pause;
    }
    if random.percent(1) {
        return Input::Stop("rain".to_owned());
    }
    if random.percent(10) && walk.may_deviate() {
        return Input::Deviate {
            reason: "by hand".to_owned(),
            person: "Gwen Adeyi".to_owned(),
            role: "safety-officer".to_owned(),
        };
    }
    match live.prompt() {
        Prompt::Variant { values, .. } => Input::Variant(random.pick(&values).clone()),
        Prompt::Look(question) if question.because != Because::Step => {
            // Mostly as recorded, so that walks get somewhere.
            if random.percent(85) { Input::Look(Look::Yes) } else { look(random) }
        }
        // There is no no where every value is asked for.
        Prompt::Look(_) => match live.walk().stage() {
            Stage::Look(tick) if tick.asked.set == walk.machine().layout.all(tick.asked.var) => {
                Input::Look(Look::Yes)
            }
            _ => look(random),
        },
        Prompt::AsLeft(_) => Input::Look(*random.pick(&[Look::Yes, Look::No])),
        Prompt::Shut { offers, may_look, .. } => match random.below(4) {
            0..=1 if !offers.is_empty() => Input::Restored(random.pick(&offers).action.clone()),
            0..=2 if may_look => look(random),
            _ => Input::Stop("the gate is shut".to_owned()),
        },
        Prompt::Settle { timer, .. } => {
            *now += i64::try_from(timer.millis).expect("a short wait");
            Input::TimerOver
        }
        Prompt::Act => Input::Done,
        Prompt::Fasten(tick) => Input::Fastener(tick.next().expect("one is open")),
        Prompt::Sign { check: None, .. } if random.percent(25) => Input::Deny("Anneke Voss".to_owned()),
        Prompt::Sign { .. } => Input::Sign("Anneke Voss".to_owned()),
        Prompt::Reading(reading) if reading.may_not_tell && random.percent(10) => Input::CannotTell,
        Prompt::Reading(reading) => {
            let value = if random.percent(60) { "1" } else { "1000" };
            Input::Reading(format!("{value} {}", reading.unit))
        }
        Prompt::Answer { may_not_tell: true, .. } if random.percent(10) => Input::CannotTell,
        Prompt::Answer { answers, .. } => Input::Answer(random.pick(&answers).clone()),
        Prompt::Item(items) => Input::Item(random.pick(&items).clone()),
        Prompt::Wait(timer) if walk.timer_has_run() => {
            let Stage::Wait { until: Some(tick), .. } = walk.stage() else { return Input::Look(Look::Yes) };
            let is_any = tick.asked.set == walk.machine().layout.all(tick.asked.var);
            match timer.limit {
                _ if is_any => Input::Look(*random.pick(&[Look::Yes, Look::CannotTell])),
                Some(_) if tick.failed => look(random),
                Some(limit) if random.percent(30) => {
                    *now += i64::try_from(limit).expect("a short wait");
                    Input::LimitReached
                }
                Some(_) => Input::Look(*random.pick(&[Look::Yes, Look::Yes, Look::CannotTell])),
                None => look(random),
            }
        }
        Prompt::Wait(timer) => {
            *now += i64::try_from(timer.millis).expect("a short wait");
            Input::TimerOver
        }
        Prompt::Locked(_) | Prompt::Earlier => Input::Stop("nothing else is left".to_owned()),
        Prompt::Paused => {
            *now += 60_000 * random.below(30) as i64;
            Input::Resume { person: random.pick(&PEOPLE).to_string() }
        }
        Prompt::Ended(_) => Input::Note("over".to_owned()),
    }
}
