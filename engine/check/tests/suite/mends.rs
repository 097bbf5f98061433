//! Mends: proved before they are shown, and nothing that was there is lost.

use crate::demo;
use crate::edit::{block, rewritten, swapped, without};
use check::{Mend, Mended};
use document::model::Name;
use document::{InputFile, Library};

const BUDGET: check::Budget<'static> = check::Budget { boxes: 100_000, go_on: &|| true };

/// The demo equipment with one procedure of it, changed.
fn with(procedure: &str, change: impl Fn(&str) -> String) -> Vec<InputFile> {
    let mut files = demo::files();
    files.retain(|file| file.name == "equipment.yaml" || file.name == format!("{procedure}.yaml"));
    let file = files.iter_mut().find(|file| file.name == format!("{procedure}.yaml")).expect("the procedure");
    let text = String::from_utf8(file.bytes.clone()).expect("UTF-8");
    let changed = change(&text);
    assert_ne!(changed, text, "the fault was not put in");
    file.bytes = changed.into_bytes();
    files
}

/// The mend of a procedure, with nothing mended before.
fn mend(library: &Library, procedure: &str) -> Option<Mend> {
    match check::mend(library, &Name::from(procedure), &[], &BUDGET)? {
        Mended::With(mend) => Some(mend),
        Mended::Already => panic!("`{procedure}` has nothing to mend"),
    }
}

/// Whether all lines of `part` stand in `whole` in their order.
fn keeps_every_line(part: &str, whole: &str) -> bool {
    let mut lines = whole.lines();
    part.lines().all(|line| lines.any(|other| other == line))
}

fn errors(files: &[InputFile], procedure: &str) -> usize {
    let reading = document::read(files);
    let report = check::check(reading, &BUDGET).expect("no fault of our own");
    report.errors_of(procedure).len()
}

#[test]
fn steps_taken_out_are_put_back_and_the_whole_is_proved() {
    for (procedure, step) in [
        ("tip-swap", "isolate"),
        ("tip-swap", "decay"),
        ("strainer-clean", "decay"),
        ("strainer-clean", "shut-valve"),
        ("tip-swap", "gloves"),
        ("strainer-clean", "gloves"),
        ("battery-replacement", "decay"),
    ] {
        let files = with(procedure, |text| without(text, step));
        assert!(errors(&files, procedure) > 0, "{procedure} without `{step}` has no fault");
        let reading = document::read(&files);
        let mend = mend(&reading.library, procedure);
        let mend = mend.unwrap_or_else(|| panic!("{procedure} without `{step}` is not mended"));
        let before = &reading.library.sources[mend.source.0 as usize].text;
        assert!(
            keeps_every_line(before, &mend.text),
            "{procedure} without `{step}`: a line is lost\n{}",
            mend.text
        );
        assert!(mend.text.lines().count() <= before.lines().count() + 4, "more than two steps were put in");
        let mut mended = files.clone();
        let own = mended.iter_mut().find(|file| file.name == format!("{procedure}.yaml"));
        own.expect("the procedure").bytes = mend.text.clone().into_bytes();
        assert_eq!(
            errors(&mended, procedure),
            0,
            "{procedure} without `{step}` is not proved after the mend"
        );
    }
}

/// Each action needs what the one before it leaves, so that no shorter insertion mends anything.
const CHAIN: [(&str, &str); 2] = [
    (
        "equipment.yaml",
        "equipment: press\ntitle: A press\nrevision: 1\nconditions:\n  guard: { values: [shut, open], ask: Is it shut? }\n  \
         pin: { values: [in, out], ask: Is it in? }\n  lever: { values: [up, down], ask: Is it up? }\nactions:\n  \
         open-guard: { do: Open the guard., leaves: { guard: open } }\n  \
         pull-pin: { do: Pull the pin., requires: { guard: open }, leaves: { pin: out } }\n  \
         lower-lever: { do: Lower the lever., requires: { pin: out }, leaves: { lever: down } }\n\
         roles: { technician: Works. }\n",
    ),
    (
        "work.yaml",
        "procedure: work\ntitle: Work\nequipment: press\nrevision: 1\npurpose: Work.\nscope: The press.\n\
         performers: { technician: 1 }\ntime: 5 min\nlevel_of_use: continuous\ntools: none\nsupplies: none\n\
         spares: none\nwear: none\nrequires: { guard: shut, pin: in, lever: up }\nsteps:\n  \
         - id: take-out # by hand\n    do: Take the part out.\n    requires: { lever: down }\n",
    ),
];

#[test]
fn three_steps_are_put_in_where_fewer_do_not_do() {
    let files = CHAIN.map(|(name, text)| InputFile { name: name.to_owned(), bytes: text.into() });
    assert_eq!(errors(&files, "work"), 1);
    let reading = document::read(&files);
    let mend = mend(&reading.library, "work").expect("a mend");
    let put_in: Vec<&str> =
        mend.text.lines().filter_map(|line| line.trim().strip_prefix("action: ")).collect();
    assert_eq!(put_in, ["open-guard", "pull-pin", "lower-lever"]);
    assert!(keeps_every_line(CHAIN[1].1, &mend.text));
}

/// The press of the chain with a rule, and a look that can say no.
fn press(steps: &str) -> Vec<InputFile> {
    let rule = "never:\n  open-down: { when: { guard: open, lever: down }, hazard: nip }\nhazards:\n  \
                nip: { worst: serious, certainty: could, hazard: Bare rollers., consequence: They can crush a hand., \
                avoid: Keep hands away. }\nactions:\n  raise-lever: { do: Raise the lever., leaves: { lever: up }, restores: true }\n";
    let equipment = CHAIN[0].1.replace("actions:\n", rule);
    let (head, _) = CHAIN[1].1.split_once("requires:").expect("the head");
    let file = |name: &str, text: String| InputFile { name: name.to_owned(), bytes: text.into_bytes() };
    vec![file("equipment.yaml", equipment), file("work.yaml", format!("{head}{steps}"))]
}

fn mended(files: &[InputFile]) -> String {
    assert!(errors(files, "work") > 0);
    let reading = document::read(files);
    let mend = mend(&reading.library, "work").expect("a mend");
    let mut after = files.to_vec();
    after[1].bytes = mend.text.clone().into_bytes();
    assert_eq!(errors(&after, "work"), 0);
    mend.text
}

/// What a look shows to be broken is ended first: the way of "no" leads to what is put in.
#[test]
fn the_way_of_no_leads_to_the_act_that_ends_what_was_found() {
    let text = mended(&press(
        "requires: { guard: shut, lever: up }\nleaves: { guard: open }\nsteps:\n  \
         - { id: open, do: Open the guard., leaves: { guard: open } }\n  \
         - id: look\n    confirm: { lever: up }\n    otherwise: call\n    then: done\n  \
         - id: call\n    do: Call the supervisor.\n    then: stop\n",
    ));
    assert!(text.contains("    otherwise: raise-lever\n"), "{text}");
    assert!(
        text.contains(
            "  - id: raise-lever\n    action: raise-lever\n    expect: \"Lever: up.\"\n  - id: call\n"
        ),
        "{text}"
    );
}

/// What no act of the equipment makes so is looked at.
#[test]
fn where_no_act_makes_it_so_it_is_looked_at() {
    let text = mended(&press(
        "requires: { lever: up }\nsteps:\n  - id: reach\n    do: Reach into the press.\n    requires: { guard: shut }\n",
    ));
    assert!(text.contains("    confirm: { guard: shut }\n    otherwise: stop\n  - id: reach\n"), "{text}");
}

/// The lines that a mend takes out, and those that it puts in.
fn difference(before: &str, after: &str) -> (Vec<String>, Vec<String>) {
    let missing = |from: &str, there: &str| {
        let mut there: Vec<&str> = there.lines().map(str::trim).collect();
        let mut missing = Vec::new();
        for line in from.lines().map(str::trim) {
            if let Some(at) = there.iter().position(|other| *other == line) {
                there.remove(at);
            } else {
                missing.push(line.to_owned());
            }
        }
        missing
    };
    (missing(before, after), missing(after, before))
}

/// The text of a bundled procedure with a fault, and the same mended; no error and no warning is left.
fn faulty_and_mended(procedure: &str, change: impl Fn(&str) -> String) -> (String, String) {
    let files = with(procedure, change);
    let reading = document::read(&files);
    let mend = mend(&reading.library, procedure).unwrap_or_else(|| panic!("`{procedure}` is not mended"));
    let before = reading.library.sources[mend.source.0 as usize].text.clone();
    let mut after = files;
    let own = after.iter_mut().find(|file| file.name == format!("{procedure}.yaml"));
    own.expect("the procedure").bytes = mend.text.clone().into_bytes();
    let report = check::check(document::read(&after), &BUDGET).expect("no fault of our own");
    let left: Vec<_> = report.findings_of(procedure).into_iter().map(|one| one.message).collect();
    assert_eq!(left, Vec::<String>::new(), "{}", mend.text);
    (before, mend.text)
}

/// Where a step stands among the others.
fn line_of(text: &str, step: &str) -> usize {
    block(text, step).start
}

#[test]
fn a_step_that_comes_too_late_or_too_early_is_moved() {
    // The gloves are put on after the plug was taken out; the wait is over before the supply is off.
    let later = |text: &str| {
        let lines: Vec<&str> = text.lines().collect();
        let gloves = lines[block(text, "gloves")].join("\n") + "\n";
        without(text, "gloves").replacen("  - id: drain\n", &format!("{gloves}  - id: drain\n"), 1)
    };
    let (before, after) = faulty_and_mended("strainer-clean", later);
    assert_eq!(difference(&before, &after), (Vec::new(), Vec::new()), "{after}");
    assert!(line_of(&after, "gloves") < line_of(&after, "open-plug"), "{after}");
    let (before, after) = faulty_and_mended("tip-swap", |text| swapped(text, "isolate", "decay"));
    assert_eq!(difference(&before, &after), (Vec::new(), Vec::new()), "{after}");
    assert!(line_of(&after, "isolate") < line_of(&after, "decay"), "{after}");
}

#[test]
fn a_wait_that_is_too_short_is_made_longer() {
    let (before, after) =
        faulty_and_mended("strainer-clean", |text| rewritten(text, "decay", "for: 45 s", "for: 30 s"));
    assert_eq!(after, before.replace("for: 30 s, why: The high", "for: 45 s, why: The high"));
}

#[test]
fn a_failed_look_that_leads_on_is_led_elsewhere() {
    let (before, after) = faulty_and_mended("strainer-clean", |text| {
        rewritten(text, "confirm-isolated", "otherwise: stop", "otherwise: confirm-no-pressure")
    });
    let led = "    otherwise: confirm-no-pressure\n";
    assert_eq!(after, before.replacen(led, "    otherwise: stop\n", 1));
}

#[test]
fn an_answer_that_leads_past_a_step_leads_to_it() {
    let (before, after) =
        faulty_and_mended("strainer-clean", |text| rewritten(text, "look", "yes: refit", "yes: close-bowl"));
    assert_eq!(difference(&before, &after).1, ["answers: { yes: refit, no: replace }"], "{after}");
}

/// Without a way of no nothing can be proved at all: it leads where the next look leads, or to the stop.
#[test]
fn a_look_without_a_way_of_no_is_given_one() {
    let (before, after) = faulty_and_mended("strainer-clean", |text| {
        rewritten(text, "confirm-no-pressure", "\n    otherwise: stop", "")
    });
    let (gone, new) = difference(&before, &after);
    assert_eq!((gone, new), (Vec::new(), vec!["otherwise: stop".to_owned()]));
}

/// A bare way back becomes a repeat, with the steps in it as they were, and the step for when the rounds are used up.
#[test]
fn a_bare_way_back_becomes_a_repeat() {
    let back = |text: &str| rewritten(text, "leak-check", "otherwise: shut-again", "otherwise: close-plug");
    let files = with("strainer-clean", back);
    let report = check::check(document::read(&files), &BUDGET).expect("no fault of our own");
    let findings = report.findings();
    let told = findings.iter().find(|finding| finding.code == "G04").expect("it is told");
    let help = told.help.as_deref().expect("help");
    let parts = [
        "In the place of steps `close-plug` to `leak-check`:\n  - id: leak-check\n    repeat:\n",
        "      until: { leak-check: dry }\n      at_most: 3\n      steps:\n        - id: close-plug\n",
        "          action: open-valve\n",
        "\n    otherwise: shut-again",
    ];
    for part in parts {
        assert!(help.contains(part), "{part:?} is not in\n{help}");
    }
    let (before, after) = faulty_and_mended("strainer-clean", back);
    let (gone, _) = difference(&before, &after);
    assert!(
        gone.iter().all(|line| line.starts_with("confirm:") || line.starts_with("otherwise:")),
        "{gone:?}"
    );
    assert!(after.contains("    repeat:\n      until: { leak-check: dry }\n"), "{after}");
}

/// A round of looks that none of the steps before it can change is waited for.
#[test]
fn a_look_that_leads_back_to_itself_is_told_to_wait() {
    let itself = |text: &str| {
        rewritten(text, "confirm-no-pressure", "otherwise: stop", "otherwise: confirm-no-pressure")
    };
    let report =
        check::check(document::read(&with("strainer-clean", itself)), &BUDGET).expect("no fault of our own");
    let findings = report.findings();
    let told = findings.iter().find(|finding| finding.code == "G04").expect("it is told");
    let help = told.help.as_deref().expect("help");
    assert!(help.contains("`wait: { until: { pressure: relieved }, limit: 2 min }`"), "{help}");
}

/// What is wrong in a performed procedure is mended there, once; whoever performs it is then proved as it is.
#[test]
fn what_is_performed_is_mended_in_itself() {
    let head = CHAIN[1].1.split_once("requires:").expect("the head").0;
    let head = |name: &str| head.replace("procedure: work", &format!("procedure: {name}"));
    let inner = format!(
        "{}requires: {{ guard: shut, pin: in }}\nleaves: {{ pin: out }}\nsteps:\n  - id: take-out\n    do: Take the part out.\n    \
         requires: {{ pin: out }}\n",
        head("inner")
    );
    let outer = format!(
        "{}requires: {{ guard: shut, pin: in }}\nsteps:\n  - id: other\n    perform: inner\n",
        head("outer")
    );
    let file = |name: &str, text: &str| InputFile { name: name.to_owned(), bytes: text.into() };
    let files =
        [CHAIN[0], ("inner.yaml", &inner), ("outer.yaml", &outer)].map(|(name, text)| file(name, text));
    let reading = document::read(&files);
    let library = reading.library.clone();
    let report = check::check(reading, &BUDGET).expect("no fault of our own");
    let told: Vec<_> = report.findings().into_iter().filter(|one| one.code == "P01").collect();
    assert_eq!(told.len(), 1, "told once, where it is: {told:?}");
    let own = mend(&library, "inner").expect("a mend");
    assert!(own.text.contains("action: pull-pin"), "{}", own.text);
    let made = [own];
    assert_eq!(check::mend(&library, &Name::from("outer"), &made, &BUDGET), Some(Mended::Already));
    // Where the inner one is right, whoever performs it sees to what it requires.
    let needs = inner.replace("requires: { guard: shut, pin: in }", "requires: { pin: out }");
    let files =
        [CHAIN[0], ("inner.yaml", &needs), ("outer.yaml", &outer)].map(|(name, text)| file(name, text));
    let own = mend(&document::read(&files).library, "outer").expect("a mend");
    assert!(
        own.text.contains("    action: pull-pin\n    expect: \"Pin: out.\"\n  - id: other\n"),
        "{}",
        own.text
    );
}

#[test]
fn where_no_change_helps_it_says_so() {
    // Nobody can look at the lever, and no act moves it.
    let equipment = CHAIN[0].1.replace(", ask: Is it up?", "");
    let act = "  lower-lever: { do: Lower the lever., requires: { pin: out }, leaves: { lever: down } }\n";
    let files = [("equipment.yaml", equipment.replace(act, "")), ("work.yaml", CHAIN[1].1.to_owned())];
    let files = files.map(|(name, text)| InputFile { name: name.to_owned(), bytes: text.into() });
    let reading = document::read(&files);
    assert!(reading.findings.is_empty(), "{:?}", reading.findings);
    assert_eq!(mend(&reading.library, "work"), None);
}

/// A hazard's words tell whoever works what to mind; whoever writes has to hear what to change as well.
#[test]
fn a_broken_rule_is_told_with_what_the_author_can_do_about_it() {
    let bare = "    leaves: { guard: removed }\n    expect: Everyone has answered.";
    let files = with("tip-swap", |text| text.replacen("    expect: Everyone has answered.", bare, 1));
    let report = check::check(document::read(&files), &BUDGET).expect("no fault of our own");
    let findings = report.findings();
    let broken = findings.iter().find(|finding| finding.code == "P02").expect("a rule is broken");
    let help = broken.help.as_deref().expect("help");
    assert!(help.starts_with("let a gate, a wait or an act before this step see to it"), "{help}");
    assert!(
        help.ends_with("Keep hands off tip, wand and tank interior until 45 s after isolation."),
        "{help}"
    );
}
