//! Findings whose words are put together from the documents.

use super::sample::{EQUIPMENT, sample};
use crate::registry::explain;
use crate::{Budget, check};
use document::{Diagnostic, InputFile};

/// What an explanation is about, found in its bad sample.
fn bad(code: &str) -> Vec<Diagnostic> {
    let sample = sample(explain(code).expect("the code is explained"), "Bad");
    let budget = Budget { boxes: 10_000, go_on: &|| true };
    let report = check(document::read(&sample.files), &budget).expect("no fault of our own");
    report.findings().into_iter().filter(|finding| finding.code == code).collect()
}

/// The finding of a code in a procedure with these steps, on the equipment of the samples.
fn only(code: &str, steps: &str) -> Diagnostic {
    only_on(EQUIPMENT[0].1.to_owned(), code, steps)
}

/// The same on other equipment.
fn only_on(equipment: String, code: &str, steps: &str) -> Diagnostic {
    let head = "procedure: trial\ntitle: Try it\nequipment: oskerry-22\nrevision: 1\npurpose: Keep the flow up.\n\
                scope: The sprayers.\nperformers: { technician: 1 }\ntime: 10 min\nlevel_of_use: continuous\ntools: none\n\
                supplies: none\nspares: none\nwear: none\nsteps:";
    let file = |name: &str, text: String| InputFile { name: name.to_owned(), bytes: text.into_bytes() };
    let files = [file("equipment.yaml", equipment), file("trial.yaml", format!("{head}{steps}"))];
    let budget = Budget { boxes: 10_000, go_on: &|| true };
    let report = check(document::read(&files), &budget).expect("no fault of our own");
    let mut findings = report.findings();
    findings.retain(|finding| finding.code == code);
    assert_eq!(findings.len(), 1, "{findings:?}");
    findings.remove(0)
}

#[test]
fn an_answer_that_is_missing_is_named() {
    let help = bad("P06")[0].help.clone().expect("there is help");
    assert!(help.contains("`shows` tank product,"), "{help}");
}

#[test]
fn a_rule_is_explained_in_its_authors_words() {
    for code in ["P02", "P03"] {
        let notes = &bad(code)[0].notes;
        assert!(notes.iter().any(|(_, remark)| remark == "Bare terminals are under the cover."), "{notes:?}");
    }
}

#[test]
fn a_variant_that_never_ends_is_named() {
    let message = &bad("G06")[0].message;
    assert!(message.starts_with("with hose 12 m, `strainer-clean` never comes to `done`"), "{message}");
}

#[test]
fn a_run_to_an_unanswered_question_ends_with_what_no_answer_fits() {
    let story = &bad("P06")[0].trace;
    assert_eq!(
        story[..],
        ["start: tank is empty, rinse or product", "1 `look`: no answer fits where tank is product"]
    );
}

#[test]
fn what_may_already_have_settled_is_said_of_an_unanswered_question() {
    let steps = "
  - id: look
    requires: { hv: present }
    ask: Is the high voltage lamp lit?
    answers: { bright: { shows: { hv: present }, then: done }, dim: { shows: { hv: present }, then: stop } }
";
    let story = &only("P06", steps).trace;
    let end = "1 `look`: no answer fits where high voltage is dissipated";
    assert_eq!(story[..], ["start: high voltage is dissipated or present", end]);
}

#[test]
fn a_run_to_an_interruption_ends_with_what_nobody_can_tell() {
    let story = &bad("P10")[0].trace;
    let end = "2 `wipe`: work is interrupted here; supply was isolated, and then nobody can tell whether it still is";
    assert_eq!(story[..], ["start: supply is isolated or live", "1 `isolate`: supply becomes isolated", end]);
}

/// Of what nobody sees a wait ends one value: what is told is what keeps it from being known again there.
#[test]
fn why_a_wait_brings_nothing_back_is_told_by_the_record() {
    let two = "values: [dissipated, present]\n    label: high voltage\n    settles: { from: present, to: dissipated, after: 45 s }";
    let steps = "
  - { id: off, do: Turn it off., leaves: { supply: isolated }, expect: The lamp is dark. }
  - { id: bleed, do: Bleed it., leaves: { hv: dissipated }, expect: It clicks. }
  - { id: wipe, do: Wipe it., requires: { hv: dissipated }, expect: It is dry. }
";
    let third = "values: [dissipated, present, stored]\n    label: high voltage\n    \
                 settles: { from: present, to: dissipated, after: 45 s, while: none }";
    let with = |hv: &str| {
        assert!(EQUIPMENT[0].1.contains(two));
        EQUIPMENT[0].1.replace(two, hv)
    };
    let told = only_on(with(third), "P10", steps);
    assert!(
        told.message.ends_with("a wait only ends present: somebody may have brought about another value"),
        "{told:?}"
    );
    assert!(
        told.help.as_deref().is_some_and(|help| help.starts_with("say `keeps: true` under `hv`")),
        "{told:?}"
    );
    // Under what nobody can look at it is the wait itself that is not sure.
    let unseen = third.replace("while: none", "while: { fan: running }");
    let fan = format!("{unseen}\n  fan: {{ values: [running, still] }}").replace(", stored]", "]");
    let told = only_on(with(&fan), "P10", steps);
    assert!(
        told.message.contains("it is waited for only with fan running, which is not sure there"),
        "{told:?}"
    );
}

/// A surprise reads as what a person sees against what the record says.
#[test]
fn a_look_that_says_otherwise_is_told_as_what_is_seen() {
    let story = &bad("P16")[0].trace;
    assert_eq!(
        story[..],
        [
            "start: supply is isolated or live; cover is tight, loose or open",
            "1 `isolate`: supply becomes isolated",
            "2 `open-cover`: cover becomes open",
            "3 `look`: not confirmed: supply is live, though by the record it was isolated",
            "5 `call`: a look there has shown that the rule `open-while-live` is broken (supply live and cover loose or \
             open), and this does not end it",
        ]
    );
    let help = bad("P16")[0].help.clone().expect("there is help");
    assert_eq!(help, "lead from the look to a step with the action `isolate`");
}

/// Where only what it is instead goes wrong, the run says what was seen.
#[test]
fn what_somebody_says_that_it_is_instead_is_told() {
    let asked = "ask: What is in the tank?";
    let by_value = "ask: { empty: Is it empty?, rinse: Is it rinse?, product: Is it product? }";
    let rule = "never:\n  product-while-live: { when: { supply: live, tank: product }, hazard: shock }\n";
    let equipment = EQUIPMENT[0].1.replace(asked, by_value).replace("never:\n", rule);
    let steps = "
  - { id: switch, confirm: { supply: live }, otherwise: stop }
  - { id: look, confirm: { tank: empty }, otherwise: call }
  - { id: call, do: Call for help. }
";
    let story = &only_on(equipment, "P16", steps).trace;
    assert_eq!(story[story.len() - 2], "2 `look`: not confirmed: tank is seen to be product", "{story:?}");
}

/// An act of the equipment stands in a plan as on the card: with the figure, or with its name where machines differ.
#[test]
fn a_plan_gives_the_figures_of_its_acts() {
    let line = "    do: Hold the trigger back until the gauge reads 0 kPa.\n";
    let amounts = "amounts:\n  rest: { method: line-purge, bore: 6 mm, length: 4 m, flow: 0.5 L/min, volumes: 3 }\n  \
                   flush: { method: line-purge, bore: 6 mm, length: $hose, flow: 0.5 L/min, volumes: 3 }\n";
    let act = "    do: Hold the trigger back for {{ rest }}, then for {{ flush }}.\n";
    let text = EQUIPMENT[0].1.replace(line, act) + amounts;
    let steps = "procedure: trial\nsteps:\n  - id: wipe\n    do: Wipe the screen by hand.\n";
    let whole = super::sample::whole(include_str!("../../explained/shared/procedure.yaml"), steps);
    let files = [("equipment.yaml", text), ("trial.yaml", whole)]
        .map(|(name, text)| InputFile { name: name.to_owned(), bytes: text.into_bytes() });
    let reading = document::read(&files);
    assert_eq!(reading.findings, []);
    let machine = machine::compile(&reading.library, &"trial".into()).expect("it compiles");
    let relieve = machine.restoring.iter().position(|action| &*action.name == "relieve").expect("the action");
    let equipment = &reading.library.equipment["oskerry-22"].model;
    let words = crate::plan_step_words(&machine, Some(equipment), &proof::PlanStep::Act(relieve));
    // Three times pi/4 x (6 mm)^2 x 4 m at 0.5 L/min: 40.7 s, rounded up to a second by default (README, amounts).
    assert!(
        words.starts_with("Hold the trigger back for 4")
            && words.ends_with("then for the flush of this machine."),
        "{words}"
    );
    assert!(!words.contains("{{"), "{words}");
}
