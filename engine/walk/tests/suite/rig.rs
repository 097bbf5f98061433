//! A small rig and procedures for it: one case for each rule of a walk.

use journal::Journal;
use walk::{Begin, DocumentText, Event, FORMAT, Input, LiveWalk, Look, Refusal};

/// Times and values are invented. The charge cannot be looked at: it settles once the supply is left alone.
const RIG: &str = r#"
equipment: rig
title: A rig
revision: 1
release: safety-officer
roles: { technician: Works on it., second-person: Looks on., safety-officer: Allows. }
variants: { tip: [small, large] }
conditions:
  supply: { values: [live, isolated], ask: "Is the supply so?", lapses: 15 min }
  charge:
    values: [present, gone]
    settles: { from: present, to: gone, after: 45 s }
    lost_when: { supply: [live, isolated] }
    lapses: 15 min
  guard: { values: [fitted, removed], ask: "Is the guard so?", normal: fitted, lapses: 30 min }
  bowl: { values: [full, drained], ask: "Has the bowl drained?" }
  motor: { values: [still, running], ask: "Does the motor stand still?" }
  hatch: { values: [shut, open], ask: "Is the hatch shut?" }
  valve: { values: [shut, open], ask: "Is the valve so?", normal: shut }
  tank: { values: [empty, rinse, product], ask: { empty: "Is it empty?", rinse: "Is it clear?", product: "Is it cloudy?" } }
  line: { values: [drained, rinse, product, acid], ask: { drained: "Does it hold air?", rinse: "Is the line clear?" } }
  latch: { values: [shut, open], ask: { shut: "Is the latch down?", open: "Is the latch up?" } }
never:
  bare-run: { when: { motor: running, hatch: open }, hazard: harm, why: Nobody stands at the rollers., released_by: safety-officer }
actions:
  refit: { do: Fit the guard., leaves: { guard: fitted }, restores: true }
  open-valve: { do: Open the valve., leaves: { valve: open }, restores: true }
instruments: { gauge: { unit: V, resolution: 0.1 V, uncertainty: 0.5 V } }
hazards:
  harm: { worst: minor, certainty: could, hazard: Harm, consequence: Harm comes., avoid: Keep off. }
"#;

/// When the walks begin, in milliseconds since 1970.
pub(crate) const START: i64 = 1_795_600_000_000;
pub(crate) const PERSON: &str = "Tomas Reeve";
pub(crate) const SECOND: &str = "Anneke Voss";
pub(crate) const OFFICER: &str = "Gwen Adeyi";

/// Puts an event on record behind the walk's last, as an earlier program did that asked otherwise.
pub(crate) fn put_on_record(journal: &mut Journal, event: &Event, at_ms: i64) {
    let length = journal.chain_len("one").expect("a walk");
    let payload = serde_json::to_string(event).expect("it is written");
    journal.append("one", length, &payload, at_ms).expect("it is recorded");
}

/// A walk of a procedure with these requirements and steps, its variant given and everything before step 1 confirmed.
pub(crate) fn started<'j>(journal: &'j mut Journal, requires: &str, steps: &str) -> LiveWalk<'j> {
    let mut live = begun(journal, requires, steps);
    say(&mut live, &Input::Variant("small".to_owned()), START);
    while live.walk().status() == walk::Status::NotStarted {
        say(&mut live, &Input::Look(Look::Yes), START);
    }
    live
}

/// The same at its very beginning.
pub(crate) fn begun<'j>(journal: &'j mut Journal, requires: &str, steps: &str) -> LiveWalk<'j> {
    let procedure = format!(
        "procedure: main\ntitle: A procedure\nequipment: rig\nrevision: 1\npurpose: Work.\nscope: The rig.\n\
         performers: {{ technician: 1 }}\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
         spares: none\nwear: none\nrequires: {requires}\nsteps:\n{steps}"
    );
    let text = |name: &str, text: &str| DocumentText { name: name.to_owned(), text: text.to_owned() };
    let begin = Begin {
        format: FORMAT,
        procedure: "main".to_owned(),
        revision: 1,
        content: String::new(),
        equipment: "rig".to_owned(),
        serial: "1".to_owned(),
        person: PERSON.to_owned(),
        training: true,
        rehearsal: true,
        certificate: None,
        documents: vec![text("rig.yaml", RIG), text("main.yaml", &procedure)],
    };
    walk::begin(journal, "one", begin, START).expect("the walk begins")
}

/// Something that is taken.
pub(crate) fn say(live: &mut LiveWalk<'_>, input: &Input, now_ms: i64) -> Event {
    live.answer(input, now_ms).unwrap_or_else(|error| panic!("{input:?} at {:?}: {error}", live.prompt()))
}

/// Something that is refused and changes nothing.
pub(crate) fn refused(live: &mut LiveWalk<'_>, input: &Input, now_ms: i64) -> Refusal {
    let before = (live.walk().record().clone(), format!("{:?}", live.walk().stage()), live.walk().position());
    let refusal = match live.answer(input, now_ms) {
        Err(walk::Error::Refused(refusal)) => refusal,
        other => panic!("{input:?} was not refused at {}: {other:?}", before.1),
    };
    let after = (live.walk().record().clone(), format!("{:?}", live.walk().stage()), live.walk().position());
    assert_eq!(after, before, "{input:?} changed the walk");
    refusal
}

pub(crate) fn sign(name: &str) -> Input {
    Input::Sign(name.to_owned())
}

pub(crate) fn resume(person: &str) -> Input {
    Input::Resume { person: person.to_owned() }
}

/// The names of the condition that a gate asks for, with its values.
pub(crate) fn gate(live: &LiveWalk<'_>) -> String {
    let walk::Stage::Gate { due, .. } = live.walk().stage() else { return String::new() };
    let layout = &live.walk().machine().layout;
    format!("{} {}", layout.var(due.var).name, layout.words_of(due.var, due.set).join(" or "))
}
