//! The hash of a content: what counts and what does not.

use crate::harmless::{edits, library};
use crate::hashes;
use crate::support::demo;
use crate::support::edit::swap;
use document::InputFile;
use std::collections::{BTreeMap, BTreeSet};

#[test]
fn harmless_edits_leave_every_hash_as_it_was() {
    let before = hashes(&library(&BTreeMap::new()));
    let edits = edits();
    assert!(edits.len() >= 40, "{}", edits.len());
    for (file, what, text) in edits {
        let after = hashes(&library(&BTreeMap::from([(file.clone(), text)])));
        assert_eq!(before, after, "{what} in {file}");
    }
}

/// An edit of the equipment and the procedures whose content it changes; `*` for all.
const EQUIPMENT_EDITS: [(&str, &str, &str, &[&str]); 21] = [
    ("its revision alone", "revision: 1", "revision: 2", &[]),
    (
        "whose instructions come first",
        "is an invented machine.",
        "is a machine of our own invention.",
        &["*"],
    ),
    ("a label everybody reads", "label: supply switch", "label: main switch", &["*"]),
    ("a spare of one procedure", "Seal ring of the tip", "Seal ring behind the tip", &["tip-swap"]),
    (
        "a supply of one procedure",
        "Neutralising powder for battery acid",
        "Powder for acid",
        &["battery-replacement"],
    ),
    ("a tool of two procedures", "Ohmmeter with two test leads", "Ohmmeter", &["wand-reassembly"]),
    ("a group of fasteners", "    torque: 1.2 N·m", "    torque: 1.3 N·m", &["wand-reassembly"]),
    (
        "a group of free places",
        "    torque: 2.5 N·m",
        "    torque: 2.4 N·m",
        &["battery-replacement", "pump-head"],
    ),
    ("a group on a circle", "    torque: 4 N·m", "    torque: 5 N·m", &["pump-head"]),
    ("an instrument", "uncertainty: 0.05 ohm", "uncertainty: 0.06 ohm", &["wand-reassembly"]),
    (
        "an instrument that nobody uses",
        "timer: { unit: s, resolution: 1 s, uncertainty: 1 s }",
        "timer: { unit: s, resolution: 1 s, uncertainty: 2 s }",
        &[],
    ),
    (
        "a type of work",
        "at the battery clamp\n    requires: { negative-lead: insulated, positive-lead: insulated, top-cover: open }",
        "at the battery clamp\n    requires: { negative-lead: insulated, top-cover: open }",
        &["battery-replacement"],
    ),
    (
        "a type of work that nobody does",
        "line: [drained, preservative], castors: locked }",
        "castors: locked }",
        &[],
    ),
    (
        "a rule of the battery",
        "when: { negative-lead: bare, positive-lead: bare }",
        "when: { negative-lead: bare, positive-lead: bare, battery: loose }",
        &["battery-replacement"],
    ),
    (
        "a rule that comes into play because evidence ends",
        "when: { positive-lead: connected, battery-check: unverified }",
        "when: { positive-lead: connected, battery-check: unverified, battery: loose }",
        &["battery-replacement"],
    ),
    (
        "a rule that can never come into play",
        "  plug-open-charging:\n    when: { charger: attached, drain-plug: open }",
        "  plug-open-charging:\n    when: { charger: attached, drain-plug: open, supply: live }",
        &[],
    ),
    (
        "an action that nobody takes",
        "do: Latch the trigger back with the tip guard inside the steel bucket.",
        "do: Latch the trigger back.",
        &["first-flush"],
    ),
    (
        "a restoring action, which a plan for stopping may take",
        "do: Press the relief button beside the pump until the gauge reads 0 kPa.",
        "do: Press the relief button beside the pump.",
        &["*"],
    ),
    (
        "how to avoid the hazard of a rule",
        "avoid: Keep hands off tip, wand and tank interior",
        "avoid: Never keep hands off tip, wand and tank interior",
        &["*"],
    ),
    (
        "how to avoid the hazard of a type of work or a rule that only others come near",
        "avoid: Keep everyone off the downhill side.",
        "avoid: Keep off the downhill side.",
        &["*"],
    ),
    (
        "a role",
        "second-person: Is instructed in the task and is",
        "second-person: Knows the task and is",
        &["battery-replacement", "unboxing"],
    ),
];

#[test]
fn edits_of_the_equipment_change_the_hashes_of_those_who_use_the_part() {
    let before = hashes(&library(&BTreeMap::new()));
    let equipment = demo::text("equipment");
    for (what, from, to, changed) in EQUIPMENT_EDITS {
        let text = swap(&equipment, from, to);
        let after = hashes(&library(&BTreeMap::from([("equipment".to_owned(), text)])));
        let found: BTreeSet<&str> = before
            .iter()
            .filter(|(name, hash)| after[*name] != **hash)
            .map(|(name, _)| name.as_str())
            .collect();
        let expected: BTreeSet<&str> =
            if changed == ["*"] { demo::PROCEDURES.into() } else { changed.iter().copied().collect() };
        assert_eq!(found, expected, "{what}");
    }
}

const WARDED: &str = "\
equipment: chest
title: Chest
revision: 1
roles: { technician: Does the work. }
conditions:
  seal: { values: [whole, broken, unknown], ask: { whole: Is the seal whole? }, lost_when: { lid: open } }
  lid: { values: [open, shut], lost_when: { wind: strong } }
  wind: { values: [strong, weak] }
  lamp: { values: [lit, dark] }
";

const LOOK: &str = "\
procedure: look
title: Look at the seal
equipment: chest
revision: 1
purpose: The seal is known to be whole.
scope: The seal.
performers: { technician: 1 }
time: 1 min
level_of_use: continuous
tools: none
supplies: none
spares: none
wear: none
steps:
  - { id: see, confirm: { seal: whole }, otherwise: stop }
";

/// What ends evidence counts, and what ends the evidence of that, although no step names either.
#[test]
fn what_ends_evidence_is_part_of_the_content() {
    let hash = |equipment: &str| {
        let file = |text: &str| InputFile { name: "a.yaml".to_owned(), bytes: text.as_bytes().to_vec() };
        let reading = document::read(&[file(equipment), file(LOOK)]);
        assert_eq!(reading.findings, Vec::new(), "{equipment}");
        reading.library.content_hash("look").expect("a hash")
    };
    let before = hash(WARDED);
    for (from, to, counts) in [
        ("lost_when: { lid: open }", "lost_when: { lid: shut }", true),
        (", lost_when: { lid: open }", "", true),
        ("lid: { values: [open, shut],", "lid: { label: cover, values: [open, shut],", true),
        ("lost_when: { wind: strong }", "lost_when: { wind: weak }", true),
        ("wind: { values: [strong, weak] }", "wind: { label: draught, values: [strong, weak] }", true),
        ("lamp: { values: [lit, dark] }", "lamp: { label: light, values: [lit, dark] }", false),
    ] {
        assert_eq!(hash(&swap(WARDED, from, to)) != before, counts, "{to}");
    }
}

const PLAIN: &str = "\
equipment: chest
title: Chest
revision: 1
roles: { technician: Does the work., foreman: Answers for it. }
hazards: { knock: { worst: minor, certainty: could, hazard: Lid, consequence: It falls., avoid: Hold it. } }
conditions:
  seal: { values: [whole, broken] }
  lid: { values: [open, shut], normal: shut }
  wind: { values: [strong, weak] }
  warmth: { values: [hot, cold], settles: { from: hot, to: cold, after: 10 min }, lost_when: { lid: open } }
never: { open-in-wind: { when: { lid: open, wind: strong }, hazard: knock } }
work: { lifting: { requires: { wind: weak } } }
actions: { prop: { do: Prop the lid., leaves: { seal: broken, lid: open } } }
";

/// What decides who sees a condition, what its time hangs on and who does the work is part of the content, and so is the
/// order in which an act makes conditions so.
#[test]
fn who_sees_what_and_in_which_order_things_come_about_is_part_of_the_content() {
    let steps = "steps:\n  - { id: lift, do: Lift the lid., work: lifting, leaves: { lid: open, seal: broken } }\n  \
                 - { id: prop, action: prop }\n  - { id: feel, do: Feel it., requires: { warmth: cold } }\n  \
                 - { id: shut, do: Shut the lid., leaves: { lid: shut } }\n";
    let (head, _) = LOOK.split_once("steps:").expect("steps");
    let procedure = format!("{head}leaves: {{ lid: shut, seal: broken }}\n{steps}");
    let hash = |equipment: &str, procedure: &str| {
        let file = |text: &str| InputFile { name: "a.yaml".to_owned(), bytes: text.as_bytes().to_vec() };
        let reading = document::read(&[file(equipment), file(procedure)]);
        assert_eq!(reading.findings, Vec::new(), "{equipment}{procedure}");
        reading.library.content_hash("look").expect("a hash")
    };
    let before = hash(PLAIN, &procedure);
    for (from, to, counts) in [
        ("seal: { values: [whole, broken] }", "seal: { values: [whole, broken], seen_by: look }", true),
        (
            "seal: { values: [whole, broken] }",
            "seal: { values: [whole, broken], seen_when: { lid: open } }",
            true,
        ),
        ("seal: { values: [whole, broken] }", "seal: { values: [whole, broken], keeps: true }", true),
        ("seal: { values: [whole, broken] }", "seal: { values: [whole, broken], keeps: false }", false),
        ("after: 10 min }", "after: 10 min, while: none }", true),
        ("after: 10 min }", "after: 10 min, while: { lid: open } }", true),
        ("lost_when: { lid: open }", "lost_when: [{ lid: open }, { lid: shut }]", true),
        ("lost_when: { lid: open }", "lost_when: [{ lid: [open] }]", false),
        ("hazard: knock }", "hazard: knock, released_by: foreman }", true),
        ("requires: { wind: weak }", "requires: { wind: weak }, by: foreman", true),
        ("requires: { wind: weak }", "requires: { wind: weak }, people: 2", true),
        ("requires: { wind: weak }", "requires: { wind: weak }, verified_by: foreman", true),
        ("leaves: { seal: broken, lid: open }", "leaves: { lid: open, seal: broken }", true),
        ("leaves: { seal: broken, lid: open }", "leaves: { seal: [broken], lid: [open] }", false),
    ] {
        assert_eq!(hash(&swap(PLAIN, from, to), &procedure) != before, counts, "{to}");
    }
    for (from, to, counts) in [
        ("leaves: { lid: open, seal: broken } }", "leaves: { seal: broken, lid: open } }", true),
        ("leaves: { lid: shut, seal: broken }\n", "leaves: { seal: broken, lid: shut }\n", false),
    ] {
        assert_eq!(hash(PLAIN, &swap(&procedure, from, to)) != before, counts, "{to}");
    }
}

/// Parts that are named by these keys alone are part of the content as well.
#[test]
fn what_a_condition_hangs_on_and_who_does_the_work_are_used() {
    let procedure = swap(LOOK, "- { id: see,", "- { id: lift, do: Lift it., work: lifting }\n  - { id: see,");
    let equipment = "\
equipment: chest
title: Chest
revision: 1
roles: { technician: Does the work., porter: Lifts., foreman: Looks again. }
conditions:
  seal: { values: [whole, broken], ask: Is it?, seen_when: { lid: open },
    settles: { from: broken, to: whole, after: 1 s, while: { wind: weak } } }
  lid: { values: [open, shut] }
  wind: { values: [strong, weak] }
  lamp: { values: [lit, dark] }
work: { lifting: { by: porter, people: 2, verified_by: foreman } }
";
    let hash = |equipment: &str| {
        let file = |text: &str| InputFile { name: "a.yaml".to_owned(), bytes: text.as_bytes().to_vec() };
        let reading = document::read(&[file(equipment), file(&procedure)]);
        assert_eq!(reading.findings, Vec::new(), "{equipment}");
        reading.library.content_hash("look").expect("a hash")
    };
    let before = hash(equipment);
    for (from, to, counts) in [
        ("lid: { values", "lid: { label: cover, values", true),
        ("wind: { values", "wind: { label: draught, values", true),
        ("lamp: { values", "lamp: { label: light, values", false),
        ("porter: Lifts.", "porter: Carries.", true),
        ("foreman: Looks again.", "foreman: Verifies.", true),
    ] {
        assert_eq!(hash(&swap(equipment, from, to)) != before, counts, "{to}");
    }
}
