//! Where in the documents a step is that a fault names.

use serde_json::Value;

/// The last step that a key names: `a/b [1] body` names `b`.
pub(super) fn step_of(key: &str) -> &str {
    let path = key.split(' ').next().unwrap_or_default();
    path.rsplit('/').next().unwrap_or_default()
}

/// The list that holds the step of that name, and where in it; whether it is a list in any order.
pub(super) fn list_with<'a>(
    steps: &'a mut Value,
    id: &str,
    any_order: bool,
) -> Option<(&'a mut Vec<Value>, usize, bool)> {
    let list = steps.as_array_mut()?;
    if let Some(at) = list.iter().position(|step| step["id"] == id) {
        return Some((list, at, any_order));
    }
    list.iter_mut().find_map(|step| {
        if step.get("any_order").is_some() {
            return list_with(&mut step["any_order"], id, true);
        }
        match step.get("repeat").is_some() {
            true => list_with(&mut step["repeat"]["steps"], id, false),
            false => None,
        }
    })
}

/// How many steps there are.
pub(super) fn steps_in(steps: &Value) -> usize {
    let inner = |step: &Value| steps_in(&step["any_order"]) + steps_in(&step["repeat"]["steps"]);
    steps.as_array().map_or(0, |list| list.iter().map(|step| 1 + inner(step)).sum())
}

/// Every step.
pub(super) fn each_step(steps: &mut Value, change: &mut impl FnMut(&mut Value)) {
    for step in steps.as_array_mut().into_iter().flatten() {
        change(step);
        if step.get("any_order").is_some() {
            each_step(&mut step["any_order"], change);
        }
        if step.get("repeat").is_some() {
            each_step(&mut step["repeat"]["steps"], change);
        }
    }
}

/// The numbers of the conditions that looks of a list and the steps inside name, each once.
pub(super) fn looked_at(steps: &Value) -> Vec<usize> {
    let mut cubes: Vec<&Value> = Vec::new();
    let mut found = std::collections::BTreeSet::new();
    for step in steps.as_array().into_iter().flatten() {
        let answers = step["answers"].as_object().into_iter().flat_map(|answers| answers.values());
        let shown = answers.map(|answer| &answer["shows"]);
        let others =
            [&step["confirm"], &step["measure"]["shows"], &step["wait"]["until"], &step["repeat"]["until"]];
        cubes.extend(others.into_iter().chain(shown));
        found.extend(looked_at(&step["repeat"]["steps"]));
    }
    let names = cubes.into_iter().filter_map(Value::as_object).flat_map(|cube| cube.keys());
    found.extend(names.filter_map(|name| name[1..].parse::<usize>().ok()));
    found.into_iter().collect()
}
