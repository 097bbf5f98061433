//! The officer's page and the library page.

use super::approving::{OFFICER, approve, folder};
use super::{gatewright, stderr, stdout, with_path};
use crate::support::demo;
use crate::support::run::git;
use std::io::Write;
use std::process::Stdio;

#[test]
fn the_officer_sees_what_changed_since_the_approval() {
    let folder = folder();
    let folder = folder.path();
    let page = |form| {
        let output = gatewright(
            folder,
            &["review", "strainer-clean", "--from", ".", "--on", "2026-11-25", "--form", form],
        );
        (output.status.code(), stdout(&output))
    };
    let (status, text) = page("text");
    assert_eq!(status, Some(1), "nothing is approved yet");
    assert!(text.contains("Nothing was approved before."), "{text}");
    assert!(text.contains("obligations hold on every path"), "{text}");
    let words = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(words.contains("checked by a second program, certificate "), "{text}");
    // 45 s for the high voltage, 30 s to drain the bowl and 60 s under the leak check.
    assert!(
        text.contains(
            "Longest wait in one run: 2 min 15 s\n  decay: 45 s\n  drain: 30 s\n  leak-time: 1 min\n"
        ),
        "{text}"
    );
    // The leads of the battery may be any way in this procedure.
    let stop = "  From step 1 to after the last: Follow the plan for the whole machine from its beginning.";
    assert!(text.contains(stop), "{text}");
    assert!(text.contains("The plan for the whole machine, whatever is found\n"), "{text}");

    git(folder, &["init", "-q"]);
    git(folder, &["add", "."]);
    git(folder, &["commit", "-q", "-m", "first"]);
    let given = approve(folder, "strainer-clean", &[&OFFICER[..], &["--until", "2027-11-08"]].concat());
    assert_eq!(given.status.code(), Some(0), "{}", stderr(&given));
    let (status, text) = page("text");
    assert_eq!(status, Some(0));
    assert!(text.contains("Walkthrough: none") && text.contains("Nothing changed."), "{text}");

    let changed = demo::text("strainer-clean").replace("wait: { for: 30 s,", "wait: { for: 20 s,");
    std::fs::write(folder.join("strainer-clean.yaml"), changed).expect("written");
    let back = ["--return", "The wait is too short.", "--remark", "drain=Why 20 s?"];
    assert_eq!(approve(folder, "strainer-clean", &[&OFFICER[..], &back].concat()).status.code(), Some(0));
    let (status, text) = page("text");
    assert_eq!(status, Some(1));
    for shown in [
        "Changed since Gwen Adeyi approved revision 1 on 2026-11-09",
        "(this content): The wait is too short.\n  drain: Why 20 s?",
        "weakened: Wait shortened: step `drain`: 20 s, before 30 s",
    ] {
        assert!(text.contains(shown), "no `{shown}` in {text}");
    }
    let list = stdout(&gatewright(folder, &["list", "--from", ".", "--on", "2026-11-25", "--form", "html"]));
    assert!(
        list.contains("changed since approved") && !list.contains("2027-11-08"),
        "no day until which: {list}"
    );
    let (_, html) = page("html");
    assert!(html.contains("<h1>The card: Clean the tank strainer</h1>"), "the card stands on the page");
    assert!(html.contains("<p class=\"against\">weakened</p>"));
    assert_eq!(page("html").1, html, "the same again");
}

#[test]
fn the_library_shows_where_people_stumble() {
    let folder = folder();
    let folder = folder.path();
    let walk =
        ["walk", "tip-swap", "--from", ".", "--person", "Tomas Reeve", "--serial", "OSK-0117", "--rehearsal"];
    let mut child = with_path(folder, &walk)
        .stdin(Stdio::piped())
        .stdout(Stdio::piped())
        .spawn()
        .expect("the program starts");
    // Two variants, what is asked at the start, then step 1.
    let mut lines = vec!["20 m".to_owned(), "fine".to_owned()];
    lines.extend(vec!["yes".to_owned(); 40]);
    lines.push("note The lamp is hard to see.".to_owned());
    lines.push("stop The lamp stays lit.".to_owned());
    let _ = child.stdin.take().expect("an input").write_all((lines.join("\n") + "\n").as_bytes());
    let said = child.wait_with_output().expect("it ends");
    let list =
        |form| stdout(&gatewright(folder, &["list", "--from", ".", "--on", "2026-11-25", "--form", form]));
    let text = list("text");
    let shown = text.contains(": note: The lamp is hard to see.")
        && text.contains(": work stopped: The lamp stays lit.");
    assert!(shown, "{text}\n{}", String::from_utf8_lossy(&said.stdout));
    let html = list("html");
    assert!(html.contains("Tomas Reeve, OSK-0117") && html.contains("training"), "the walk is listed");
    assert!(html.contains("The lamp is hard to see."));
    assert!(html.contains("<p class=\"against\">never approved</p>"));
}

/// Gaps before what has none, what authors accept with the reason, and the proof kind by kind, in every form.
#[test]
fn the_officer_sees_gaps_first_accepted_findings_and_what_was_proved_kind_by_kind() {
    let folder = folder();
    let folder = folder.path();
    let text = demo::text("strainer-clean");
    // A semicolon, accepted; a warning at a step that nothing holds back.
    let act = "do: Set the steel bucket under the strainer bowl.";
    let other = "do: Set the steel bucket under the strainer bowl; hold it.\n    accept: { W16: The label reads so. }\n    \
        warn: [roll-away]";
    let edited = crate::support::edit::swap(&text, act, other);
    std::fs::write(folder.join("strainer-clean.yaml"), edited).expect("written");
    let page = |form| {
        let output = gatewright(folder, &["review", "strainer-clean", "--from", ".", "--form", form]);
        assert_eq!(output.status.code(), Some(1), "{}", stderr(&output));
        output.stdout
    };
    let text = String::from_utf8(page("text")).expect("UTF-8");
    assert!(text.contains("  Accepted by the authors: 1 finding\n"), "{text}");
    let accepted = text.split_once("accept at their place\n").expect("a part").1;
    assert!(accepted.starts_with("  W16: ") && accepted.contains("; The label reads so."), "{text}");
    let matrix = text.split_once("Protective equipment throughout").expect("a matrix").1;
    let first = matrix.find("[1 GAP]").expect("a hazard with a gap");
    let other = matrix.find("charged parts\n").expect("a hazard without");
    assert!(first < other, "gaps come first: {matrix}");
    let total: usize = text
        .split_once("What was proved\n")
        .expect("a part")
        .1
        .lines()
        .filter_map(|line| {
            line.strip_suffix(" hold on every path")?.rsplit(' ').next()?.parse::<usize>().ok()
        })
        .sum();
    assert!(text.contains(&format!("{total} of {total} obligations hold")), "the kinds add up: {text}");
    let html = String::from_utf8(page("html")).expect("UTF-8");
    for shown in ["The label reads so.", "(1 gap)", "Preconditions of steps", "Longest wait in one run"] {
        assert!(html.contains(shown), "{shown}");
    }
    assert!(page("pdf").starts_with(b"%PDF-1.7"));
}
