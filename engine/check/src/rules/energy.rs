//! Elements of controlling hazardous energy.

use crate::isolation::Isolation;
use crate::rule::{Finding, Pointer, Rule};
use crate::written::{StepAt, WrittenEquipment};
use calc::quantity::Quantity;
use document::model::{Cube, Equipment, Name, Values, While, either};
use document::pointer;

pub(super) const RULES: &[Rule] = &[
    rule!("E01", Warning, "An energy source has no magnitude", Equipment(no_magnitude)),
    rule!("E02", Warning, "Nobody is told before energy is isolated", Isolation(nobody_told_before)),
    rule!("E03", Warning, "Energy is isolated and not locked", Isolation(not_locked)),
    rule!("E04", Warning, "Stored energy is not let out", Isolation(stored_energy_stays)),
    rule!("E05", Warning, "The isolation is not verified", Isolation(isolation_not_verified)),
    rule!(
        "E06",
        Warning,
        "The area is not inspected before the lock comes off",
        Isolation(area_not_inspected)
    ),
    rule!("E07", Warning, "Nobody is told before energy comes back", Isolation(nobody_told_after)),
    rule!(
        "E08",
        Warning,
        "A lock is taken off by another role than put it on",
        Isolation(lock_removed_by_other)
    ),
    rule!(
        "E09",
        Warning,
        "The time of a condition counts also while its cause holds",
        Equipment(counts_whatever_its_cause_does)
    ),
    rule!(
        "E10",
        Warning,
        "Stored energy and its condition contradict each other",
        Equipment(stored_energy_differs)
    ),
];

fn no_magnitude(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let figure = |text: &str| {
        let words: Vec<&str> =
            text.split_whitespace().map(|word| word.trim_matches([',', '.', ';', '(', ')'])).collect();
        words.windows(2).any(|pair| Quantity::parse(&pair.join(" ")).is_ok())
    };
    let sources = written.equipment.energy.iter();
    let bare = sources.filter(|(_, energy)| !figure(&energy.source));
    bare.map(|(name, _)| {
        let at = pointer("/energy", name) + "/source";
        Finding::at_key(at, format!("`{name}` has no magnitude"))
            .help("write how much it is, with its unit: \"Mains, 400 V\"")
    })
    .collect()
}

fn nobody_told_before(isolation: &Isolation<'_, '_>) -> Vec<Finding<Pointer>> {
    let step = isolation.isolated;
    if !isolation.is_reached_without(step, &|step| isolation.tells(step)) {
        return Vec::new();
    }
    let message = format!("nobody is told before `{}` is isolated", isolation.name);
    vec![
        Finding::at_key(step.key("id"), message)
            .help("add a step: \"Tell everyone at the machine that it stops.\""),
    ]
}

fn not_locked(isolation: &Isolation<'_, '_>) -> Vec<Finding<Pointer>> {
    if isolation.energy.locked.is_empty() {
        return Vec::new();
    }
    let open = isolation.works_without(vec![isolation.isolated], &|step| isolation.locks(step, true));
    let message = || format!("`{}` is isolated, but no step locks it", isolation.name);
    open.map(|step| {
        Finding::at_key(step.key("id"), message())
            .help("add the step that puts the lock or tag on, with what it `leaves`")
    })
    .into_iter()
    .collect()
}

fn stored_energy_stays(isolation: &Isolation<'_, '_>) -> Vec<Finding<Pointer>> {
    let step = isolation.isolated;
    let stays = |(name, values): (&_, &_)| {
        let let_out = |step: &_| isolation.makes(step, name, values) || isolation.looks(step, name, values);
        isolation.works_without(vec![step], &let_out).is_some()
    };
    if !isolation.energy.stored.iter().any(stays) {
        return Vec::new();
    }
    let message = format!("what `{}` leaves stored is not let out", isolation.name);
    vec![Finding::at_key(step.key("id"), message).help("add a step that leaves it so, or confirms it")]
}

fn isolation_not_verified(isolation: &Isolation<'_, '_>) -> Vec<Finding<Pointer>> {
    let locked = !isolation.energy.locked.is_empty();
    let from = if locked { isolation.locked() } else { vec![isolation.isolated] };
    let open = |(name, values): (&_, &_)| {
        isolation.works_without(from.clone(), &|step: &_| isolation.looks(step, name, values))
    };
    let message = || format!("work begins, and nothing verifies that `{}` is isolated", isolation.name);
    let open = isolation.energy.isolated.iter().find_map(open);
    open.map(|step| Finding::at_key(step.key("id"), message()).help("add a `confirm` of it after the lock"))
        .into_iter()
        .collect()
}

fn area_not_inspected(isolation: &Isolation<'_, '_>) -> Vec<Finding<Pointer>> {
    let message = format!("the lock of `{}` comes off, and nobody has inspected the area", isolation.name);
    let open = isolation.unlocked(&|step| isolation.inspects(step)).into_iter();
    open.map(|(_, off)| {
        Finding::at_key(off.key("id"), &message)
            .help("ask before it: are tools gone, parts whole, people away?")
    })
    .collect()
}

fn nobody_told_after(isolation: &Isolation<'_, '_>) -> Vec<Finding<Pointer>> {
    let message = format!("nobody is told before `{}` comes back", isolation.name);
    let open = isolation.revived(&|step| isolation.tells(step)).into_iter();
    open.map(|step| {
        Finding::at_key(step.key("id"), &message)
            .help("add a step: \"Tell everyone at the machine that it starts.\"")
    })
    .collect()
}

fn lock_removed_by_other(isolation: &Isolation<'_, '_>) -> Vec<Finding<Pointer>> {
    let first = isolation.written.procedure.performers.keys().next();
    let by = |one: &StepAt<'_>| one.step.common.by.as_ref().or(first).cloned();
    let message = format!("the lock of `{}` is taken off by another role than put it on", isolation.name);
    let open = isolation.unlocked(&|_| false).into_iter().filter(|(on, off)| by(on) != by(off));
    open.map(|(_, off)| Finding::at_key(off.key("id"), &message).help("let the same role do both steps"))
        .collect()
}

fn counts_whatever_its_cause_does(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let mut findings = Vec::new();
    for (name, condition) in &written.equipment.conditions {
        let Some(settles) = condition.settles.as_ref().filter(|_| !condition.lost_when.is_empty()) else {
            continue;
        };
        let at = pointer("/conditions", name) + "/settles";
        let Some(holds) = &settles.holds else {
            let message = format!(
                "`{name}` comes back when its cause does (`lost_when`), but its time counts whatever the cause does meanwhile"
            );
            findings.push(Finding::at_key(at, message).help(
                "add `while:` with what has to hold for the time to count, or `while: none` where the cause is over at once",
            ));
            continue;
        };
        let Some(holds) = holds.cube() else { continue };
        let may_hold = condition.lost_when.iter().filter(|cause| {
            !is_event(written.equipment, cause) && !cause.iter().any(|part| rules_out(holds, part))
        });
        let words: Vec<String> = may_hold.map(|cause| cause_words(written.equipment, cause)).collect();
        if !words.is_empty() {
            let message = format!(
                "`{name}` comes back with {}, but its time counts under `while` also where that is so",
                either(&words)
            );
            findings.push(
                Finding::at_key(at + "/while", message)
                    .help("name under `while` also what is so once that cause is over"),
            );
        }
    }
    findings
}

/// Whether a cause is that something is moved, to whatever value: nothing sustains that.
fn is_event(equipment: &Equipment, cause: &Cube) -> bool {
    cause.iter().any(|(name, values)| {
        let condition = equipment.conditions.get(name);
        condition.is_some_and(|condition| condition.values.iter().all(|value| values.0.contains(value)))
    })
}

/// Whether one part of a cause cannot be so while the other map holds.
fn rules_out(holds: &Cube, (name, values): (&Name, &Values)) -> bool {
    holds.get(name).is_some_and(|held| !held.0.iter().any(|value| values.0.contains(value)))
}

fn cause_words(equipment: &Equipment, cause: &Cube) -> String {
    let part = |(name, values): (&Name, &Values)| format!("{} {}", equipment.label(name), either(&values.0));
    cause.iter().map(part).collect::<Vec<_>>().join(" and ")
}

fn stored_energy_differs(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let mut findings = Vec::new();
    for (source, energy) in &written.equipment.energy {
        for (name, values) in &energy.stored {
            let Some(condition) = written.equipment.conditions.get(name) else { continue };
            let Some(settles) = &condition.settles else { continue };
            let at = pointer("/conditions", name);
            if !values.0.contains(&settles.to) || values.0.contains(&settles.from) {
                let message = format!(
                    "`{source}` has gone when `{name}` is {}, but `{name}` settles from {} to {}",
                    either(&values.0),
                    settles.from,
                    settles.to
                );
                findings.push(
                    Finding::at_key(pointer(&(pointer("/energy", source) + "/stored"), name), message)
                        .help("name the value to which the condition settles"),
                );
                continue;
            }
            // Where no `while` is written, E09 tells it.
            let within = |cube: &Cube| {
                energy.isolated.iter().any(|(part, isolated)| {
                    cube.get(part)
                        .is_some_and(|values| values.0.iter().all(|value| isolated.0.contains(value)))
                })
            };
            if settles.holds.as_ref().and_then(While::cube).is_some_and(|holds| !within(holds)) {
                let message = format!(
                    "the time of `{name}` counts under `while` also where `{source}` is not isolated, and its energy cannot go then"
                );
                findings.push(
                    Finding::at_key(at.clone() + "/settles", message)
                        .help("name under `while` what isolates the source, as under `energy`"),
                );
                continue;
            }
            let comes_back = condition.lost_when.iter().any(|cause| {
                cause.iter().any(|(part, values)| {
                    let isolated = energy.isolated.get(part);
                    isolated.is_some_and(|isolated| values.0.iter().any(|value| !isolated.0.contains(value)))
                })
            });
            if !comes_back {
                let message = format!(
                    "`{name}` is stored energy of `{source}`, but `lost_when` does not say that it comes back with it"
                );
                findings.push(
                    Finding::at_key(at, message)
                        .help("name under `lost_when` what is so when the source is on again"),
                );
            }
        }
    }
    findings
}
