//! What the head of a document says.

use crate::rule::{Finding, Pointer, Rule};
use crate::text::Role;
use crate::text::lists::{ACTOR, DETERMINER};
use crate::written::{WrittenEquipment, WrittenProcedure};
use document::model::{LevelOfUse, Worst};

pub(super) const RULES: &[Rule] = &[
    rule!("C01", Advice, "No day is given from which the revision counts", Procedure(no_effective_date)),
    rule!("C02", Advice, "Nobody is named who wrote the procedure", Procedure(no_author)),
    rule!("C03", Advice, "Nothing says what to do in an emergency", Procedure(no_emergency)),
    rule!("C04", Advice, "The emergency text names no help", Procedure(no_help_named)),
    rule!("C05", Advice, "The purpose says no more than the title", Procedure(purpose_says_nothing)),
    rule!("C06", Advice, "The scope has no bounds", Procedure(scope_without_bounds)),
    rule!("C09", Advice, "The title names no task", Procedure(title_not_a_task)),
    rule!(
        "C10",
        Advice,
        "Work that can kill or maim is not used step by step",
        Procedure(level_of_use_too_low)
    ),
    rule!("C17", Advice, "Nothing says whose instructions come first", Equipment(nothing_comes_first)),
];

fn no_effective_date(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    if written.procedure.effective.is_some() {
        return Vec::new();
    }
    let message = "nothing says from which day this revision counts";
    vec![Finding::at_key("/procedure", message).help("add `effective: 2026-11-02`, with its day")]
}

fn no_author(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    if written.procedure.author.is_some() {
        return Vec::new();
    }
    vec![
        Finding::at_key("/procedure", "nothing says who wrote this procedure")
            .help("add `author`, with a name"),
    ]
}

fn no_emergency(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    if written.procedure.emergency.is_some() {
        return Vec::new();
    }
    let message = "nothing says what to do in an emergency";
    vec![Finding::at_key("/procedure", message).help("add `emergency`: what to do first, and whom to call")]
}

fn no_help_named(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let help = [
        "call",
        "tell",
        "help",
        "doctor",
        "ambulance",
        "phone",
        "alarm",
        "medical",
        "notify",
        "ring",
        "inform",
        "report",
    ];
    let mut texts = written.texts.iter().filter(|text| text.role == Role::Emergency);
    let Some(text) = texts.find(|text| !text.words().any(|word| help.contains(&&*word.lower))) else {
        return Vec::new();
    };
    vec![Finding::at_key(&text.at, "the emergency text names no help").help("say whom to call, and where")]
}

fn purpose_says_nothing(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let of = |role| written.texts.iter().find(|text| text.role == role);
    let words = |role| {
        of(role).into_iter().flat_map(|text| text.words()).map(|word| word.lower.clone()).collect::<Vec<_>>()
    };
    let purpose = words(Role::Purpose);
    if purpose.len() >= 3 && purpose != words(Role::Title) {
        return Vec::new();
    }
    vec![
        Finding::at_key("/purpose", "the purpose says no more than the title")
            .help("say what is better afterwards"),
    ]
}

fn scope_without_bounds(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let bounds = ["not", "only", "alone", "without", "except", "no", "neither", "excludes", "other"];
    let mut texts = written.texts.iter().filter(|text| text.role == Role::Scope);
    let Some(text) = texts.find(|text| !text.words().any(|word| bounds.contains(&&*word.lower))) else {
        return Vec::new();
    };
    vec![
        Finding::at_key(&text.at, "the scope does not say what is left out")
            .help("add a sentence: \"Does not cover …\""),
    ]
}

fn title_not_a_task(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let mut titles = written.texts.iter().filter(|text| text.role == Role::Title);
    let first = titles.next().and_then(|text| text.sentences.first()?.words.first());
    let Some(first) = first
        .filter(|word| word.is(DETERMINER | ACTOR) || word.lower.len() > 5 && word.lower.ends_with("ing"))
    else {
        return Vec::new();
    };
    let message = format!("the title begins with `{}`, not with what is done", first.raw);
    vec![Finding::at_key("/title", message).help("begin with the verb: \"Clean the tank strainer\"")]
}

fn level_of_use_too_low(written: &WrittenProcedure<'_>) -> Vec<Finding<Pointer>> {
    let equipment = written.equipment;
    if written.procedure.level_of_use == LevelOfUse::Continuous {
        return Vec::new();
    }
    let hazards = written.steps.iter().flat_map(|one| {
        let work = one.step.common.work.as_ref().and_then(|work| equipment.work.get(work)?.hazard.as_ref());
        one.step.common.warn.iter().chain(work)
    });
    let mut grave = hazards
        .filter(|name| equipment.hazards.get(*name).is_some_and(|hazard| hazard.worst >= Worst::Serious));
    let Some(hazard) = grave.next() else { return Vec::new() };
    let message = format!("hazard `{hazard}` can end in serious injury, but the card need not be in hand");
    vec![Finding::at_key("/level_of_use", message).help("make it `continuous`")]
}

fn nothing_comes_first(written: &WrittenEquipment<'_>) -> Vec<Finding<Pointer>> {
    if written.equipment.defer.is_some() {
        return Vec::new();
    }
    let message = "nothing says that the maker's instructions come first";
    vec![
        Finding::at_key("/equipment", message)
            .help("add `defer`, with what comes first; it stands on every card"),
    ]
}
