//! What a step says, and where it leads.

use crate::rule::{Finding, Pointer, Rule};
use crate::written::{StepAt, WrittenProcedure, looks};
use calc::quantity::Duration;
use document::model::{Answer, Figure, Kind, Question};
use document::pointer;

pub(super) const RULES: &[Rule] = &[
    rule!("C07", Advice, "Acts have no expected result", Procedure(no_expected_result)),
    rule!("C08", Warning, "A wait is longer than the whole procedure", Step(wait_longer_than_time)),
    rule!("C11", Warning, "A question has a yes and no no", Step(yes_without_no)),
    rule!("C12", Warning, "A question decides nothing", Step(question_decides_nothing)),
    rule!("C13", Warning, "A gate lets everything through", Step(gate_that_lets_through)),
    rule!("C19", Warning, "A look lets every value pass", Step(look_at_any_value)),
];

fn no_expected_result(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let acts = written.steps.iter().filter(|one| match one.step.kind {
        Kind::Do(_) | Kind::Action(_) | Kind::Fasten(_) => true,
        Kind::Ask(_) | Kind::Confirm(_) | Kind::Measure(_) | Kind::Wait(_) | Kind::Hold(_) => false,
        Kind::AnyOrder(_) | Kind::Repeat(_) | Kind::Perform(_) => false,
    });
    // Each that is accepted is counted for itself; the others are told together.
    let blind: Vec<_> = acts.filter(|one| one.step.common.expect.is_none()).collect();
    let (accepted, told): (Vec<_>, Vec<_>) =
        blind.into_iter().partition(|one| one.step.common.accept.contains_key("C07"));
    let first = told.first().map(|one| (one, told.len()));
    let all = accepted.iter().map(|one| (one, 1)).chain(first);
    all.map(|(one, count)| {
        let key = one.key(one.step.kind.main_key());
        let message = match count {
            1 => format!("step `{}` has no expected result", one.step.common.id),
            _ => format!("step `{}` and {} more have no expected result", one.step.common.id, count - 1),
        };
        Finding::at_key(key, message).help("add `expect`: what is seen, heard or read when the step is done")
    })
    .collect()
}

fn wait_longer_than_time(one: &StepAt<'_>, written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let whole = &written.procedure.time;
    let Kind::Wait(wait) = &one.step.kind else { return Vec::new() };
    let time = wait.time.as_ref().and_then(Figure::plain).map(Duration::from_quantity);
    let (Some(Ok(time)), Ok(most)) = (time, whole.read()) else { return Vec::new() };
    if time.as_millis() <= most.as_millis() {
        return Vec::new();
    }
    let (id, whole) = (&one.step.common.id, whole.text());
    let message = format!("step `{id}` waits longer than the {whole} of the procedure");
    vec![
        Finding::at_key(one.key("wait"), message)
            .help("state the time that the whole work takes under `time`"),
    ]
}

fn yes_without_no(one: &StepAt<'_>, _: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let Kind::Ask(Question { answers, .. }) = &one.step.kind else { return Vec::new() };
    let has = |word: &str| answers.keys().any(|answer| answer.eq_ignore_ascii_case(word));
    let missing = match (has("yes"), has("no")) {
        (true, false) => "no",
        (false, true) => "yes",
        (true, true) | (false, false) => return Vec::new(),
    };
    let message = format!("the question of step `{}` has no answer `{missing}`", one.step.common.id);
    vec![Finding::at_key(one.key("answers"), message).help(format!("say where `{missing}` leads"))]
}

fn question_decides_nothing(one: &StepAt<'_>, _: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let Kind::Ask(Question { answers, .. }) = &one.step.kind else { return Vec::new() };
    let mut targets = answers.values().map(Answer::target);
    let first = targets.next();
    let shows = answers.values().any(|answer| matches!(answer, Answer::Shows(_)));
    if answers.len() < 2 || shows || !targets.all(|target| Some(target) == first) {
        return Vec::new();
    }
    let message = format!("whatever is answered at step `{}`, the same follows", one.step.common.id);
    vec![
        Finding::at_key(one.key("answers"), message)
            .help("lead the answers to different steps, or make it a `note`"),
    ]
}

fn gate_that_lets_through(one: &StepAt<'_>, _: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let follows = one.step.common.then.as_ref().map(|then| &then.0).or(one.next);
    if one.step.common.otherwise.as_ref().is_none_or(|otherwise| Some(&otherwise.0) != follows) {
        return Vec::new();
    }
    let message = format!("step `{}` leads to the same step whether it holds or not", one.step.common.id);
    vec![
        Finding::at_key(one.key("otherwise"), message).help("lead `otherwise` to another step, or to `stop`"),
    ]
}

fn look_at_any_value(one: &StepAt<'_>, written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    // Beside an answer that shows anything there are others.
    if matches!(one.step.kind, Kind::Ask(_)) {
        return Vec::new();
    }
    let mut findings = Vec::new();
    for (key, cube, _) in looks(one.step) {
        for (name, values) in cube {
            let Some(condition) = written.equipment.conditions.get(name) else { continue };
            if condition.values.iter().all(|value| values.0.contains(value)) {
                let message = format!(
                    "step `{}` looks at `{name}`, and every value that it has will do: the look decides nothing",
                    one.step.common.id
                );
                findings.push(
                    Finding::at_key(pointer(&one.key(&key), name), message)
                        .help("name the values with which the work goes on, or take the look out"),
                );
            }
        }
    }
    findings
}
