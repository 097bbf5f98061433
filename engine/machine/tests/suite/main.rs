//! The machine: what a procedure compiles to, how a state moves, and both against the judge.

mod compiled;
mod errors;
mod judged;
mod moves;
mod offered;
mod replay;
mod structure;
mod taking_up;

use machine::{AbstractState, Conjunct, Cube, Duty, Effect, Guard, Machine, Next, Outcome};
use oracle::{equipment, library, procedure};
use serde_json::{Value, json};

/// The machine of `main`, on this equipment and among these procedures.
fn compiled_on(rig: &Value, procedures: &[Value]) -> Machine {
    let documents: Vec<&Value> = [rig].into_iter().chain(procedures).collect();
    let library = library(&documents).expect("no findings");
    machine::compile(&library, &"main".into()).expect("it compiles")
}

/// The machine of one procedure.
fn compiled(conditions: Value, requires: Value, steps: Value) -> Machine {
    compiled_on(&equipment(conditions, json!({})), &[procedure("main", requires, json!({}), steps)])
}

/// A condition of two values.
fn two() -> Value {
    json!({ "values": ["v0", "v1"] })
}

/// High voltage: present falls to gone within 10 s.
fn voltage() -> Value {
    json!({ "values": ["gone", "present"], "settles": { "from": "present", "to": "gone", "after": "10 s" } })
}

/// A membership in words: `a=v0|v1`.
fn membership(machine: &Machine, conjunct: Conjunct) -> String {
    let values = machine.layout.words_of(conjunct.var, conjunct.set).join("|");
    format!("{}={values}", machine.layout.var(conjunct.var).name)
}

fn conjunction(machine: &Machine, cube: &Cube) -> String {
    let all = cube.0.iter().map(|&conjunct| membership(machine, conjunct));
    all.collect::<Vec<_>>().join(" ")
}

/// What may be true in a state, condition by condition, and the clocks.
fn shown(machine: &Machine, state: &AbstractState) -> String {
    let all = machine.layout.ids().map(|var| {
        let set = state.bits.field(&machine.layout, var);
        membership(machine, Conjunct { var, set })
    });
    let known: Vec<String> = all.filter(|one| !one.starts_with("tip=")).collect();
    let place = machine.node(state.place.node);
    let items = if state.place.items == 0 { String::new() } else { format!("+{:b}", state.place.items) };
    let again =
        if state.place.again == 0 { String::new() } else { format!(" again {:b}", state.place.again) };
    let clocks = if state.clocks.is_empty() { String::new() } else { format!(" {:?}", state.clocks) };
    let opened = machine.layout.ids().filter(|&var| machine.is_opened(state, var));
    let opened = opened.map(|var| format!(" opened {}", machine.layout.var(var).name));
    let found = machine.found(state).into_iter().map(|rule| format!(" found {}", machine.rules[rule].name));
    let marks: String = opened.chain(found).collect();
    format!("{}{items}{again}: {}{clocks}{marks}", place.path, known.join(" "))
}

/// An effect in words: a write, a look, a finding, what is lost.
fn effect(machine: &Machine, effect: Effect) -> String {
    let name = |var| &machine.layout.var(var).name;
    match effect {
        Effect::Write(set) => format!("then {}", membership(machine, set)),
        Effect::Open(var) => format!("then any {}", name(var)),
        Effect::Look(seen) => format!("sees {}", membership(machine, seen)),
        Effect::Find(found) => format!("finds {}", membership(machine, found)),
        Effect::Lose(var) => format!("loses {}", name(var)),
        Effect::Verify(var) => format!("verifies {}", name(var)),
    }
}

/// An outcome in one line: `Pass, if tip=small, after 10000, sees a=v0, to 3 act`.
fn outcome(machine: &Machine, outcome: &Outcome) -> String {
    let mut words = vec![format!("{:?}", outcome.choice)];
    match &outcome.guard {
        Guard::Always => {}
        Guard::Is(cube) => words.push(format!("if {}", conjunction(machine, cube))),
        Guard::IsNot(cube) => words.push(format!("if not {}", conjunction(machine, cube))),
    }
    words.extend(outcome.waits.iter().map(|(cube, millis)| match cube.0.is_empty() {
        true => format!("after {millis}"),
        false => format!("after {millis} if {}", conjunction(machine, cube)),
    }));
    words.extend(outcome.effects.iter().map(|&one| effect(machine, one)));
    match outcome.duty {
        Duty::Nothing => {}
        duty @ (Duty::May | Duty::Mend | Duty::Absent) => words.push(format!("{duty:?}").to_lowercase()),
    }
    if let Some(item) = outcome.to.item {
        words.push(format!("finishes {item}"));
    }
    words.push(format!("to {}", name(machine, outcome.to.node)));
    words.join(", ")
}

/// A node by the path of its step and its number.
fn name(machine: &Machine, id: machine::NodeId) -> String {
    format!("{} {}", id.0, machine.node(id).path)
}

/// Where an outcome of a state leads, in words.
fn next(machine: &Machine, state: &AbstractState, outcome: usize) -> Vec<String> {
    machine.step(state, outcome).iter().map(|next| shown(machine, &next.state)).collect()
}

/// The names of the variables that a step wrote.
fn changed<'m>(machine: &'m Machine, next: &Next) -> Vec<&'m str> {
    next.changed.iter().map(|&var| &*machine.layout.var(var).name.0).collect()
}
