//! A made-up procedure as the documents a person would write.

use super::model::{Kind, Model, Settles, Step, TIPS, Target, Test, Time, values};
use std::fmt::Write;

/// The equipment, the procedure that may be performed, and the procedure itself.
pub(crate) fn documents(model: &Model) -> [String; 3] {
    [
        equipment(model),
        procedure("inner", &model.inner_requires, &Vec::new(), &model.inner_steps),
        procedure("main", &model.requires, &model.leaves, &model.steps),
    ]
}

fn equipment(model: &Model) -> String {
    let mut text = String::from(
        "equipment: rig\ntitle: A rig\nrevision: 1\nvariants: { tip: [small, large] }\nconditions:\n",
    );
    for (at, condition) in model.conditions.iter().enumerate() {
        let all: Vec<String> = (0..condition.values).map(|value| format!("v{value}")).collect();
        let _ = writeln!(text, "  c{at}:\n    values: [{}]", all.join(", "));
        text.push_str(match condition.hidden {
            true => "    seen_by: nobody\n",
            false if condition.asked == 0 => "    ask: Which is it?\n",
            false => "",
        });
        if !condition.hidden && condition.asked != 0 {
            let questions: Vec<String> =
                values(condition.asked).map(|value| format!("v{value}: Is it this?")).collect();
            let _ = writeln!(text, "    ask: {{ {} }}", questions.join(", "));
        }
        if let Some(Settles { from, to, after, under }) = &condition.settles {
            let under = under.as_ref().map_or_else(String::new, |under| {
                format!(", while: {}", if under.is_empty() { "none".to_owned() } else { cube(under) })
            });
            let _ = writeln!(text, "    settles: {{ from: v{from}, to: v{to}, after: {after} s{under} }}");
        }
        if let Some(normal) = condition.normal {
            let _ = writeln!(text, "    normal: v{normal}");
        }
        match &condition.lost_when[..] {
            [] => {}
            [cause] => {
                let _ = writeln!(text, "    lost_when: {}", cube(cause));
            }
            causes => {
                let causes: Vec<String> = causes.iter().map(cube).collect();
                let _ = writeln!(text, "    lost_when: [{}]", causes.join(", "));
            }
        }
    }
    if !model.rules.is_empty() {
        text.push_str("never:\n");
    }
    for (at, rule) in model.rules.iter().enumerate() {
        let _ = writeln!(text, "  r{at}: {{ when: {}, hazard: harm }}", cube(rule));
    }
    text.push_str("work:\n");
    for (at, requires) in model.work.iter().enumerate() {
        let _ = writeln!(text, "  w{at}: {{ requires: {} }}", cube(requires));
    }
    text.push_str(
        "hazards:\n  harm: { worst: minor, certainty: could, hazard: Harm, consequence: Harm comes., avoid: Keep off. }\n\
         roles: { technician: Works on the rig. }\n\
         instruments: { gauge: { unit: V, resolution: 0.1 V } }\n\
         amounts:\n  purge:\n    method: line-purge\n    bore: 10 mm\n    length: 1 m\n    volumes: 1\n    round_up: 5 s\n    \
         flow: { $tip: { small: 1 L/min, large: 0.35 L/min } }\n",
    );
    text
}

fn procedure(name: &str, requires: &Test, leaves: &Test, steps: &[Step]) -> String {
    let mut text = format!(
        "procedure: {name}\ntitle: A procedure\nequipment: rig\nrevision: 1\npurpose: Work.\nscope: The rig.\n\
         performers: {{ technician: 1 }}\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
         spares: none\nwear: none\nrequires: {}\nleaves: {}\nsteps:\n",
        cube(requires),
        cube(leaves)
    );
    list(&mut text, steps, 2);
    text
}

fn list(text: &mut String, steps: &[Step], indent: usize) {
    for item in steps {
        let _ = writeln!(text, "{:indent$}- id: s{}", "", item.id);
        step(text, item, indent + 2);
    }
}

fn step(text: &mut String, step: &Step, indent: usize) {
    let mut key = |line: String| {
        let _ = writeln!(text, "{:indent$}{line}", "");
    };
    if !step.requires.is_empty() {
        key(format!("requires: {}", cube(&step.requires)));
    }
    if !step.leaves.is_empty() {
        key(format!("leaves: {}", cube(&step.leaves)));
    }
    if !step.disturbs.is_empty() {
        let names: Vec<String> = step.disturbs.iter().map(|at| format!("c{at}")).collect();
        key(format!("disturbs: [{}]", names.join(", ")));
    }
    if let Some(work) = step.work {
        key(format!("work: w{work}"));
    }
    if let Some(only) = step.only {
        key(format!("only: {{ tip: {} }}", TIPS[usize::from(only)]));
    }
    if let Some(then) = step.then {
        key(format!("then: {}", target(then)));
    }
    if step.can_fail() {
        key(format!("otherwise: {}", target(step.otherwise)));
    }
    match &step.kind {
        Kind::Do => key("do: Act.".to_owned()),
        Kind::Hold => key("hold: { released_by: technician, check: Look. }".to_owned()),
        Kind::Confirm(test) => key(format!("confirm: {}", cube(test))),
        Kind::Ask(answers) => {
            key("ask: Which is it?".to_owned());
            key("answers:".to_owned());
            for (at, (shows, to)) in answers.iter().enumerate() {
                let to = target(*to);
                key(match shows.is_empty() {
                    true => format!("  a{at}: {to}"),
                    false => format!("  a{at}: {{ shows: {}, then: {to} }}", cube(shows)),
                });
            }
        }
        Kind::Measure { shows, retests } => key(format!(
            "measure: {{ what: the voltage, instrument: gauge, at_least: 1 V, shows: {}, retests: {retests} }}",
            cube(shows)
        )),
        Kind::WaitFor(Time::Seconds(time)) => key(format!("wait: {{ for: {time} s }}")),
        Kind::WaitFor(Time::Purge) => key("wait: { for: $purge }".to_owned()),
        Kind::WaitUntil { until, time } => {
            let time = time.map_or_else(String::new, |time| format!("for: {time} s, "));
            key(format!("wait: {{ {time}until: {}, limit: 30 s }}", cube(until)));
        }
        Kind::Perform => key("perform: inner".to_owned()),
        Kind::AnyOrder(items) => {
            key("any_order:".to_owned());
            list(text, items, indent + 2);
        }
        Kind::Repeat { steps, until, at_most } => {
            key("repeat:".to_owned());
            key(format!("  until: {}", cube(until)));
            key(format!("  at_most: {at_most}"));
            key("  steps:".to_owned());
            list(text, steps, indent + 4);
        }
    }
}

fn target(target: Target) -> String {
    match target {
        Target::Step(id) => format!("s{id}"),
        Target::Done => "done".to_owned(),
        Target::Stop => "stop".to_owned(),
    }
}

fn cube(test: &Test) -> String {
    let words = |set: u8| values(set).map(|value| format!("v{value}")).collect::<Vec<_>>().join(", ");
    let parts: Vec<String> = test.iter().map(|&(at, set)| format!("c{at}: [{}]", words(set))).collect();
    if parts.is_empty() { "{}".to_owned() } else { format!("{{ {} }}", parts.join(", ")) }
}
