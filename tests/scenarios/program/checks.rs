//! `check`.

use super::{gatewright, root, stderr, stdout};

#[test]
fn the_demo_library_is_proved_and_the_program_says_of_what() {
    let output = gatewright(root(), &["check"]);
    assert_eq!(output.status.code(), Some(0), "{}{}", stdout(&output), stderr(&output));
    let text = stdout(&output);
    for procedure in
        ["unboxing", "first-flush", "tip-swap", "strainer-clean", "battery-replacement", "wand-reassembly"]
    {
        let line = text.lines().find(|line| line.starts_with(procedure)).expect("a line for each procedure");
        for said in ["proved on every path", "obligations", "sets of states", " ms"] {
            assert!(line.contains(said), "{line}");
        }
    }
    assert!(text.ends_with("6 procedures and 1 equipment document read; nothing found\n"), "{text}");
}

#[test]
fn json_says_the_same_and_twice_the_same() {
    let output = gatewright(root(), &["check", "--form", "json"]);
    assert_eq!(output.stdout, gatewright(root(), &["check", "--form", "json"]).stdout);
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let procedures = report["procedures"].as_array().expect("procedures");
    assert_eq!(procedures.len(), 6);
    for procedure in procedures {
        assert_eq!(procedure["verdict"], "proved", "{procedure}");
        assert!(procedure["obligations"].as_u64() > Some(100), "{procedure}");
    }
    assert_eq!(report["findings"], serde_json::json!([]));
}

#[test]
fn exit_statuses_are_as_told() {
    let folder = tempfile::tempdir().expect("a folder");
    let status = |arguments: &[&str]| gatewright(folder.path(), arguments).status.code();
    assert_eq!(status(&["check", "nothing-here"]), Some(2), "unusable input");
    assert_eq!(status(&["chekc"]), Some(2), "unusable arguments");
    assert_eq!(status(&["--help"]), Some(0));
    std::fs::write(folder.path().join("a.yaml"), "procedure: a\n\ttitle: b\n").expect("written");
    assert_eq!(status(&["check", "a.yaml"]), Some(1), "findings");
    assert_eq!(status(&["card", "a", "--from", "a.yaml"]), Some(2), "no such procedure");
}

#[test]
fn a_budget_that_ends_is_told_and_never_passes() {
    let output = gatewright(root(), &["check", "--states", "10"]);
    assert_eq!(output.status.code(), Some(1));
    let text = stdout(&output);
    assert!(text.contains("error[P07]: not proved: the budget ended at step `"), "{text}");
    assert!(text.contains("not proved: the budget ended after 10 sets of states"), "{text}");
    assert!(!text.contains("proved on every path"), "{text}");
}

#[test]
fn hard_input_is_refused_in_words() {
    let folder = tempfile::tempdir().expect("a folder");
    let deep = "[".repeat(100_000);
    let long = format!("procedure: {}", "x".repeat(10 << 20));
    let bomb: String = (0..30).fold("a0: &a0 [x]\n".to_owned(), |text, at| {
        text + &format!("a{}: &a{} [*a{at}, *a{at}, *a{at}]\n", at + 1, at + 1)
    });
    let hard: [(&str, &[u8]); 9] = [
        ("empty", b""),
        ("tabs", b"procedure: a\n\ttitle: b\n"),
        ("doubled", b"procedure: a\nprocedure: b\n"),
        ("bomb", bomb.as_bytes()),
        ("deep", deep.as_bytes()),
        ("null", b"procedure: a\0b\n"),
        ("encoding", b"procedure: caf\xe9\n"),
        ("long", long.as_bytes()),
        ("unknown", b"procedure: a\ntitel: b\n"),
    ];
    for (name, bytes) in hard {
        let file = format!("{name}.yaml");
        std::fs::write(folder.path().join(&file), bytes).expect("written");
        let output = gatewright(folder.path(), &["check", &file]);
        let text = stdout(&output);
        assert_eq!(output.status.code(), Some(1), "{name}: {text}{}", stderr(&output));
        assert!(text.contains(&format!("{file}:")), "{name} names no place: {text}");
        assert!(text.starts_with("error["), "{name}: {text}");
        assert!(text.len() < 100_000, "{name} is told at great length");
        assert_eq!(stderr(&output), "", "{name}");
    }
}
