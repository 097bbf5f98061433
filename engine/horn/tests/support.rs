//! Forms by hand, and the answer of z3.

use std::path::PathBuf;
use std::process::Command;
use std::sync::atomic::{AtomicU32, Ordering};

use form::{
    Cube, Duty, Effect, EffectKind, FORM_VERSION, Form, Guard, Loss, Node, Outcome, Part, Promise, Role,
    Rule, Settling, Standing, Takes, Var, Wait,
};

/// Sets of values.
pub(crate) const ZERO: u64 = 1;
pub(crate) const ONE: u64 = 2;
pub(crate) const TWO: u64 = 4;

/// The first node of a chain.
pub(crate) const FIRST: u32 = 2;

pub(crate) fn cube(parts: &[(u32, u64)]) -> Cube {
    parts.iter().map(|(var, set)| Part { var: *var, set: *set }).collect()
}

/// A form with variables that have so many values each, and the two ends.
pub(crate) fn form(values: &[usize]) -> Form {
    let var = |(index, count): (usize, &usize)| Var {
        name: format!("v{index}"),
        values: (0..*count).map(|value| value.to_string()).collect(),
        is_variant: false,
        is_hidden: false,
        is_asked: false,
        seen_when: Vec::new(),
        keeps: false,
    };
    Form {
        version: FORM_VERSION,
        procedure: "by hand".to_string(),
        vars: values.iter().enumerate().map(var).collect(),
        start: Vec::new(),
        unseen: Vec::new(),
        entry: FIRST,
        nodes: vec![node(Role::Done, Vec::new()), node(Role::Stop, Vec::new())],
        rules: Vec::new(),
        released: Vec::new(),
        settling: Vec::new(),
        lost_when: Vec::new(),
        promises: Vec::new(),
        restoring: Vec::new(),
        rest: None,
    }
}

pub(crate) fn node(role: Role, outcomes: Vec<Outcome>) -> Node {
    Node { name: String::new(), role, needs: Vec::new(), outcomes, block: None, item: None }
}

pub(crate) fn outcome(to: u32, effects: &[Effect]) -> Outcome {
    Outcome {
        takes: Takes::Always,
        guard: Guard::Always,
        waits: Vec::new(),
        effects: effects.to_vec(),
        duty: Duty::Nothing,
        to,
        ends: None,
    }
}

pub(crate) fn effect(kind: EffectKind, var: u32, set: u64) -> Effect {
    Effect { kind, var, set, offers: None }
}

pub(crate) fn write(var: u32, set: u64) -> Effect {
    effect(EffectKind::Write, var, set)
}

pub(crate) fn look(var: u32, set: u64) -> Effect {
    effect(EffectKind::Look, var, set)
}

pub(crate) fn open(var: u32) -> Effect {
    effect(EffectKind::Open, var, 0)
}

pub(crate) fn lose(var: u32) -> Effect {
    effect(EffectKind::Lose, var, 0)
}

pub(crate) fn find(var: u32, set: u64) -> Effect {
    effect(EffectKind::Find, var, set)
}

pub(crate) fn wait(parts: &[(u32, u64)], millis: u64) -> Wait {
    Wait { cube: cube(parts), millis }
}

/// A person stands at each of these nodes in turn, does so much, and comes to done at last.
pub(crate) fn chain(form: &mut Form, moves: &[&[Effect]]) {
    for effects in moves {
        let next = form.nodes.len() as u32 + 1;
        form.nodes.push(node(Role::Stood, vec![outcome(next, effects)]));
    }
    if let Some(last) = form.nodes.last_mut() {
        last.outcomes[0].to = 0;
    }
}

/// The outcome of a chain's node.
pub(crate) fn way(form: &mut Form, index: usize) -> &mut Outcome {
    &mut form.nodes[FIRST as usize + index].outcomes[0]
}

/// So much time passes at a chain's node.
pub(crate) fn delay(form: &mut Form, index: usize, millis: u64) {
    way(form, index).waits = vec![wait(&[], millis)];
}

/// What must hold at done.
pub(crate) fn promise(form: &mut Form, var: u32, set: u64) {
    form.promises.push(Promise { part: Part { var, set }, usual: false });
}

pub(crate) fn rule(form: &mut Form, parts: &[(u32, u64)]) {
    form.rules.push(Rule { name: format!("r{}", form.rules.len()), when: cube(parts) });
}

pub(crate) fn loss(form: &mut Form, var: u32, parts: &[(u32, u64)], standing: Standing) {
    form.lost_when.push(Loss { var, when: cube(parts), standing });
}

/// The variable's value 1 gives way to 0.
pub(crate) fn settling(form: &mut Form, var: u32, after: u64, holds: Option<&[(u32, u64)]>) {
    form.settling.push(Settling { var, from: ONE, to: ZERO, after, holds: holds.map(cube) });
}

/// What z3 says of the form as a whole.
#[allow(clippy::disallowed_methods, reason = "a solver reads a file, which nobody keeps")]
pub(crate) fn judge(form: &Form) -> &'static str {
    static COUNT: AtomicU32 = AtomicU32::new(0);
    let text = horn::smt2(form);
    let number = COUNT.fetch_add(1, Ordering::Relaxed);
    let file =
        PathBuf::from(env!("CARGO_TARGET_TMPDIR")).join(format!("{}-{number}.smt2", std::process::id()));
    std::fs::write(&file, &text).expect("the clauses are written");
    let run = Command::new("z3").arg("-T:20").arg(&file).output();
    let output = run.expect("z3 has to be installed: Debian package z3");
    let said = String::from_utf8_lossy(&output.stdout).into_owned();
    assert!(!said.contains("(error"), "{said}\n{text}");
    std::fs::remove_file(&file).expect("the clauses are removed");
    let answers: Vec<&str> = said.lines().collect();
    let asked = text.lines().filter(|line| *line == "(check-sat)").count();
    if answers.contains(&"unsat") {
        "unsat"
    } else if answers.len() == asked && answers.iter().all(|answer| *answer == "sat") {
        "sat"
    } else {
        "unknown"
    }
}

/// The sentence is so: with it everything holds, without it something does not.
#[track_caller]
pub(crate) fn tells(mut build: impl FnMut(bool) -> Form) {
    for (holds, answer) in [(true, "sat"), (false, "unsat")] {
        let form = build(holds);
        let said = judge(&form);
        assert_eq!(said, answer, "{}", horn::smt2(&form));
    }
}
