//! `check`.

use super::{gatewright, root, stderr, stdout};

#[test]
fn the_demo_library_is_proved_and_the_program_says_of_what() {
    let output = gatewright(root(), &["check"]);
    assert_eq!(output.status.code(), Some(0), "{}{}", stdout(&output), stderr(&output));
    let text = stdout(&output);
    for procedure in crate::support::demo::PROCEDURES {
        let line = text.lines().find(|line| line.starts_with(procedure)).expect("a line for each procedure");
        for said in ["proved on every path", "obligations", "sets of states", " ms"] {
            assert!(line.contains(said), "{line}");
        }
    }
    let assumed = format!("assumed: {}\n", check::ASSUMED);
    let end = format!("{assumed}7 procedures and 1 equipment document read; nothing found\n");
    assert!(text.ends_with(&end), "{text}");
}

#[test]
fn json_says_the_same_and_twice_the_same() {
    let output = gatewright(root(), &["check", "--form", "json"]);
    assert_eq!(output.stdout, gatewright(root(), &["check", "--form", "json"]).stdout);
    let report: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let procedures = report["procedures"].as_array().expect("procedures");
    assert_eq!(procedures.len(), 7);
    for procedure in procedures {
        assert_eq!(procedure["verdict"], "proved", "{procedure}");
        assert!(procedure["obligations"].as_u64() > Some(100), "{procedure}");
    }
    assert_eq!(report["findings"], serde_json::json!([]));
    assert_eq!(report["assumed"], check::ASSUMED);
    assert!(report.get("mends").is_none(), "none was asked for");
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
        assert!(!text.contains("proved on every path"), "{name}: {text}");
    }
}

#[test]
fn sarif_is_valid_by_the_schema_of_the_standard() {
    // The JSON schema of SARIF 2.1.0 (OASIS), as a published package carries it; `tests/run` brings it here.
    let schema = root().join("target/outside/sarif-2.1.0.json");
    let schema = std::fs::read_to_string(&schema)
        .unwrap_or_else(|error| panic!("`{}` is missing ({error}): run tests/run once", schema.display()));
    let mut schema: serde_json::Value = serde_json::from_str(&schema).expect("the schema is JSON");
    // This copy has a pattern that is no regular expression, for languages, which we do not state.
    for part in ["run", "toolComponent"] {
        let language = &mut schema["definitions"][part]["properties"]["language"];
        assert!(language.as_object_mut().expect("a property").remove("pattern").is_some());
    }
    let validator = jsonschema::validator_for(&schema).expect("the schema is a schema");
    let folder = tempfile::tempdir().expect("a folder");
    let demo = root().join("procedures/oskerry-22");
    for name in ["equipment.yaml", "tip-swap.yaml"] {
        let text = std::fs::read_to_string(demo.join(name)).expect("the demo library");
        let short = text.replace("wait: { for: 45 s", "wait: { for: 44 s");
        std::fs::write(folder.path().join(name), short).expect("written");
    }
    std::fs::write(folder.path().join("odd näme.yaml"), "procedure: a\ntitel: b\n").expect("written");
    let output = gatewright(folder.path(), &["check", "--mend", "--form", "sarif", "."]);
    assert_eq!(output.status.code(), Some(1));
    let log: serde_json::Value = serde_json::from_slice(&output.stdout).expect("JSON");
    let faults: Vec<String> = validator.iter_errors(&log).map(|error| error.to_string()).collect();
    assert!(faults.is_empty(), "{faults:#?}");
    let results = log["runs"][0]["results"].as_array().expect("results");
    let codes: Vec<&str> = results.iter().filter_map(|result| result["ruleId"].as_str()).collect();
    assert!(codes.contains(&"P01") && codes.contains(&"R11"), "{codes:?}");
    for result in results {
        let index = usize::try_from(result["ruleIndex"].as_u64().expect("an index")).expect("small");
        assert_eq!(log["runs"][0]["tool"]["driver"]["rules"][index]["id"], result["ruleId"]);
    }
    assert_eq!(log["runs"][0]["properties"]["assumed"], check::ASSUMED);
    let fixed = results.iter().filter(|result| result.get("fixes").is_some());
    assert!(fixed.count() > 0, "the wait that is too short is mended");
    // The check can fail: a log of another version is not valid.
    let mut other = log.clone();
    other["version"] = "2.0.0".into();
    assert!(!validator.is_valid(&other));
}

#[test]
fn a_procedure_that_cannot_be_used_is_not_passed_over() {
    let folder = tempfile::tempdir().expect("a folder");
    let demo = root().join("procedures/oskerry-22");
    for name in ["equipment.yaml", "tip-swap.yaml"] {
        let text = std::fs::read_to_string(demo.join(name)).expect("the demo library");
        std::fs::write(folder.path().join(name), text.replace("otherwise: stop", "otherwis: stop"))
            .expect("written");
    }
    let text = stdout(&gatewright(folder.path(), &["check", "."]));
    assert!(text.contains("\ntip-swap  not proved: its documents have errors\n1 procedure and"), "{text}");
    let report = gatewright(folder.path(), &["check", "--form", "json", "."]);
    let report: serde_json::Value = serde_json::from_slice(&report.stdout).expect("JSON");
    assert_eq!(report["procedures"][0]["procedure"], "tip-swap");
    assert_eq!(report["procedures"][0]["verdict"], "not proved");
}

#[test]
fn a_procedure_that_never_comes_to_done_is_not_called_proved() {
    let folder = tempfile::tempdir().expect("a folder");
    // With the hose of 12 m nobody comes to the draining.
    let equipment = "equipment: press\ntitle: Bench press\nrevision: 1\nvariants: { hose: [4 m, 12 m] }\n\
        conditions: { tank: { values: [empty, rinse], ask: Is it empty? } }\nroles: { technician: Trained on this press. }\n";
    let procedure = "procedure: strainer-clean\ntitle: Clean the tank strainer\nequipment: press\nrevision: 1\n\
        purpose: Keep the flow up.\nscope: The strainer alone.\nperformers: { technician: 1 }\ntime: 10 min\n\
        level_of_use: continuous\ntools: none\nsupplies: none\nspares: none\nwear: none\nsteps:\n\
        \x20 - { id: tell, do: Tell the supervisor., only: { hose: 12 m }, then: stop }\n\
        \x20 - { id: drain, do: Drain the tank., leaves: { tank: empty } }\n";
    std::fs::write(folder.path().join("equipment.yaml"), equipment).expect("written");
    std::fs::write(folder.path().join("bad.yaml"), procedure).expect("written");
    let text = stdout(&gatewright(folder.path(), &["check", "."]));
    assert!(text.contains("error[G06]"), "{text}");
    assert!(
        text.contains("\nstrainer-clean  not proved: errors in its graph; no run breaks any of "),
        "{text}"
    );
    let report = gatewright(folder.path(), &["check", "--form", "json", "."]);
    let report: serde_json::Value = serde_json::from_slice(&report.stdout).expect("JSON");
    assert_eq!(report["procedures"][0]["verdict"], "not proved");
    assert_eq!(report["procedures"][0]["refuted"], 0);
}
