//! Hazards, their controls and their warnings.

use crate::rule::{Finding, Pointer, Rule};
use crate::text::lists::{CONDITION, STANDING, VERB, harm};
use crate::text::{Owner, Role, Sentence, Text};
use crate::written::{WrittenEquipment, WrittenProcedure};
use document::model::{Certainty, Equipment, Hazard, Name, Step, Worst, WritingScheme};
use document::pointer;
use std::collections::{BTreeMap, BTreeSet};

pub(super) const RULES: &[Rule] = &[
    rule!("H01", Advice, "The avoidance of a hazard holds an act", Equipment(act_in_avoidance)),
    rule!("H02", Advice, "The consequence of a hazard names no harm", Equipment(consequence_without_harm)),
    rule!(
        "H03",
        Warning,
        "The consequence is less or more certain than stated",
        Equipment(certainty_differs)
    ),
    rule!(
        "H04",
        Warning,
        "The consequence and the worst injury contradict each other",
        Equipment(death_differs)
    ),
    rule!("H05", Warning, "A hazard to things speaks of injury", Equipment(damage_that_injures)),
    rule!("H06", Advice, "A hazard is declared and nothing names it", Equipment(hazard_unused)),
    rule!("H07", Advice, "A hazard has no control", Equipment(no_control)),
    rule!("H08", Advice, "The same hazard is warned of too often", Procedure(warned_too_often)),
];

fn act_in_avoidance(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let plain = written.equipment.writing == WritingScheme::Doe;
    let texts = written.texts.iter().filter(|text| text.role == Role::Avoid);
    let acts = texts.filter_map(|text| {
        let begins = |sentence: &Sentence<'_>| {
            let first = sentence.words.first().filter(|word| plain && word.is(CONDITION));
            let act = sentence.after_condition().first().filter(|word| word.is(VERB) && !word.is(STANDING));
            first.or(act).map(|word| word.raw.to_owned())
        };
        Some((text, text.sentences.iter().find_map(begins)?))
    });
    acts.map(|(text, word)| {
        Finding::at_key(&text.at, format!("{} begins with `{word}`: no standing directive", text.subject()))
            .help("make a step or a precondition of the act; say here what to keep doing")
    })
    .collect()
}

fn consequence_without_harm(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let texts = written.texts.iter().filter(|text| text.role == Role::Consequence);
    let mild = texts.filter(|text| !text.words().any(|word| harm(&word.lower)));
    mild.map(|text| {
        Finding::at_key(&text.at, format!("{} names no harm", text.subject()))
            .help("say what happens to whom")
    })
    .collect()
}

fn certainty_differs(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let texts = written.texts.iter().filter(|text| text.role == Role::Consequence);
    let differing = texts.filter_map(|text| {
        let certainty = hazard_of(written, text)?.certainty;
        let other = |word: &str| match certainty {
            Certainty::Will => matches!(word, "can" | "could" | "may" | "might"),
            Certainty::Could => word == "will",
        };
        Some((text, text.words().find(|word| other(&word.lower))?))
    });
    differing
        .map(|(text, word)| {
            Finding::at_key(
                &text.at,
                format!("{} says `{}`, against its `certainty`", text.subject(), word.raw),
            )
            .help("change the word, or `certainty`")
        })
        .collect()
}

fn death_differs(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let texts = written.texts.iter().filter(|text| text.role == Role::Consequence);
    let differing = texts.filter(|text| {
        let deadly = ["kill", "death", "fatal", "die", "lethal"];
        let speaks =
            text.words().any(|word| deadly.iter().any(|beginning| word.lower.starts_with(beginning)));
        hazard_of(written, text).is_some_and(|hazard| speaks != (hazard.worst == Worst::Death))
    });
    differing
        .map(|text| {
            Finding::at_key(
                &text.at,
                format!("{} and its `worst` contradict each other about death", text.subject()),
            )
            .help("change the words, or `worst`")
        })
        .collect()
}

fn damage_that_injures(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let texts = written.texts.iter().filter(|text| text.role == Role::Consequence);
    let injuring = texts.filter(|text| {
        let body = [
            "injur", "skin", "eye", "hand", "finger", "person", "people", "foot", "feet", "hurt", "blind",
            "burn",
        ];
        let speaks = text.words().any(|word| body.iter().any(|beginning| word.lower.starts_with(beginning)));
        speaks && hazard_of(written, text).is_some_and(|hazard| hazard.worst == Worst::Damage)
    });
    injuring
        .map(|text| {
            Finding::at_key(&text.at, format!("{} speaks of people, but `worst` is damage", text.subject()))
                .help("state the worst injury under `worst`")
        })
        .collect()
}

fn hazard_unused(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let equipment = written.equipment;
    let mut used: BTreeSet<&Name> = controlled(equipment).collect();
    if equipment.hazards.keys().any(|name| !used.contains(name)) {
        used.extend(warned(written));
    }
    let unused = equipment.hazards.keys().filter(|name| !used.contains(name));
    unused
        .map(|name| {
            Finding::at_key(pointer("/hazards", name), format!("nothing names the hazard `{name}`"))
                .help("name it at a rule, a type of work or a step, or take it out")
        })
        .collect()
}

fn no_control(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    let equipment = written.equipment;
    let controlled: BTreeSet<&Name> = controlled(equipment).collect();
    let open: BTreeSet<&Name> = equipment.hazards.keys().filter(|name| !controlled.contains(name)).collect();
    if open.is_empty() {
        return Vec::new();
    }
    let warned: BTreeSet<&Name> = warned(written).into_iter().collect();
    let bare = open.into_iter().filter(|name| warned.contains(name));
    bare.map(|name| {
        Finding::at_key(pointer("/hazards", name), format!("steps warn of `{name}`, and nothing controls it"))
            .help("state a rule under `never`, or a type of work with what it `requires` or what to `wear`")
    })
    .collect()
}

fn warned_too_often(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let mut times = BTreeMap::new();
    let mut findings = Vec::new();
    for one in &written.steps {
        for name in &one.step.common.warn {
            let count = times.entry(name).or_insert(0);
            *count += 1;
            if *count == 4 {
                let message = format!("step `{}` is the fourth that warns of `{name}`", one.step.common.id);
                findings.push(
                    Finding::at_key(one.key("warn"), message)
                        .help("warn before the first, and again after a long way"),
                );
            }
        }
    }
    findings
}

/// The hazard whose text this is.
fn hazard_of<'a>(written: &WrittenEquipment<'a>, text: &Text<'_>) -> Option<&'a Hazard> {
    let Owner::Hazard(name) = text.owner else { return None };
    written.equipment.hazards.get(name)
}

/// Hazards that a rule or a type of work has to do with.
fn controlled(equipment: &Equipment) -> impl Iterator<Item = &Name> {
    let rules = equipment.never.values().map(|rule| &rule.hazard);
    rules.chain(equipment.work.values().filter_map(|work| work.hazard.as_ref()))
}

/// Hazards that the steps of all procedures on this equipment warn of.
fn warned<'a>(written: &WrittenEquipment<'a>) -> Vec<&'a Name> {
    fn add<'a>(steps: &'a [Step], warned: &mut Vec<&'a Name>) {
        for step in steps {
            warned.extend(&step.common.warn);
            if let Some((_, inner)) = step.inner() {
                add(inner, warned);
            }
        }
    }
    let mut warned = Vec::new();
    let procedures = written.library.procedures.values().map(|one| &one.model);
    for procedure in procedures.filter(|one| one.equipment == written.equipment.equipment) {
        add(&procedure.steps, &mut warned);
    }
    warned
}
