//! Mends: proved before they are shown, and nothing that was there is lost.

use crate::demo;
use crate::edit::without;
use document::InputFile;
use document::model::Name;

const BUDGET: check::Budget<'static> = check::Budget { boxes: 100_000, go_on: &|| true };

/// The demo library with one procedure changed.
fn with(procedure: &str, change: impl Fn(&str) -> String) -> Vec<InputFile> {
    let mut files = demo::files();
    let file = files.iter_mut().find(|file| file.name == format!("{procedure}.yaml")).expect("the procedure");
    let text = String::from_utf8(file.bytes.clone()).expect("UTF-8");
    let changed = change(&text);
    assert_ne!(changed, text, "the fault was not put in");
    file.bytes = changed.into_bytes();
    files
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
        let mend = check::mend(&reading.library, &Name::from(procedure), &BUDGET);
        let mend = mend.unwrap_or_else(|| panic!("{procedure} without `{step}` is not mended"));
        let before = &reading.library.sources[mend.source.0 as usize].text;
        assert!(keeps_every_line(before, &mend.text), "{procedure} without `{step}`: a line is lost");
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
    let mend = check::mend(&reading.library, &Name::from("work"), &BUDGET).expect("a mend");
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
    let mend = check::mend(&reading.library, &Name::from("work"), &BUDGET).expect("a mend");
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
    assert!(text.contains("  - id: raise-lever\n    action: raise-lever\n  - id: call\n"), "{text}");
}

/// What no act of the equipment makes so is looked at.
#[test]
fn where_no_act_makes_it_so_it_is_looked_at() {
    let text = mended(&press(
        "requires: { lever: up }\nsteps:\n  - id: reach\n    do: Reach into the press.\n    requires: { guard: shut }\n",
    ));
    assert!(text.contains("    confirm: { guard: shut }\n    otherwise: stop\n  - id: reach\n"), "{text}");
}

#[test]
fn where_no_insertion_helps_it_says_so() {
    // The gasket is looked at by no action of the equipment.
    let files = with("wand-reassembly", |text| without(text, "gasket-in"));
    let reading = document::read(&files);
    assert_eq!(check::mend(&reading.library, &Name::from("wand-reassembly"), &BUDGET), None);
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
