//! `card`, and the cards that stand in `out/`.

use super::{gatewright, root, stderr, stdout};
use std::path::Path;

#[test]
fn the_cards_in_out_are_current() {
    let folder = tempfile::tempdir().expect("a folder");
    let fresh = folder.path().display().to_string();
    let output = gatewright(root(), &["card", "--all", "--on", "2026-11-25", "--out", &fresh]);
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let mut cards = 0;
    for line in stdout(&output).lines() {
        let name = Path::new(line).strip_prefix(folder.path()).expect("written where it was asked for");
        let old = root().join("out").join(name);
        let same = std::fs::read(&old).ok() == std::fs::read(line).ok();
        assert!(same, "`{}` is stale: run `gatewright card --all`", old.display());
        cards += 1;
    }
    assert_eq!(cards, 7 * 12 + 1, "twelve files for each procedure, and the list");
}

#[test]
fn a_procedure_with_errors_gets_no_card_and_no_walk() {
    let folder = tempfile::tempdir().expect("a folder");
    let demo = root().join("procedures/oskerry-22");
    for name in ["equipment.yaml", "tip-swap.yaml"] {
        let text = std::fs::read_to_string(demo.join(name)).expect("the demo library");
        let short = text.replace("wait: { for: 45 s", "wait: { for: 44 s");
        std::fs::write(folder.path().join(name), short).expect("written");
    }
    let output = gatewright(folder.path(), &["card", "tip-swap", "--from", "."]);
    assert_eq!(output.status.code(), Some(1));
    assert!(stderr(&output).contains("`tip-swap` has errors: it gets no card"), "{}", stderr(&output));
    assert!(stdout(&output).contains("error[P01]"), "{}", stdout(&output));
    assert!(!folder.path().join("out").exists(), "a card was written all the same");
    let walk = ["walk", "tip-swap", "--from", ".", "--person", "Tomas Reeve", "--serial", "OSK-0117"];
    let output = gatewright(folder.path(), &walk);
    assert_eq!(output.status.code(), Some(1));
    assert!(stderr(&output).contains("is not proved under what is written now"), "{}", stderr(&output));
    assert!(!folder.path().join(".gatewright").exists(), "a record was begun all the same");
}

#[test]
fn a_misspelt_procedure_is_answered_with_the_nearest() {
    let output = gatewright(root(), &["card", "tip-swop"]);
    assert_eq!(output.status.code(), Some(2));
    assert!(stderr(&output).contains("did you mean `tip-swap`?"), "{}", stderr(&output));
}

/// The gist of a step must be read in the order of the work, whatever the layout does.
#[test]
fn every_step_stands_on_the_text_card_once_and_in_order() {
    for name in ["strainer-clean", "wand-reassembly"] {
        let text = std::fs::read_to_string(root().join("out").join(name).join("card.txt")).expect("a card");
        let yaml = std::fs::read_to_string(root().join("procedures/oskerry-22").join(format!("{name}.yaml")));
        let yaml = yaml.expect("the procedure");
        let flat = text.split_whitespace().collect::<Vec<_>>().join(" ");
        let mut from = 0;
        let mut steps = 0;
        for act in yaml.lines().filter_map(|line| line.strip_prefix("    do: ")) {
            let act = act.trim_matches('"').replace("**", "");
            let at = flat[from..].find(&act).unwrap_or_else(|| panic!("`{act}` is missing or out of order"));
            from += at + act.len();
            steps += 1;
        }
        assert!(steps >= 10, "{name} has only {steps} acts");
    }
}

#[test]
fn a_card_in_hand_is_compared_with_the_documents() {
    let mark = |name: &str| {
        let text = std::fs::read_to_string(root().join(format!("out/{name}/card.txt"))).expect("a card");
        let (_, mark) = text.split_once("\nMark ").expect("the mark stands on the card");
        mark.split_once("\n\n").expect("and ends").0.to_owned()
    };
    let verify = |text: &str| {
        let output = gatewright(root(), &["card", "--on", "2026-11-25", "--verify", text]);
        (output.status.code(), stdout(&output) + &stderr(&output))
    };
    // Broken over two lines, as it was copied from the card.
    let (code, told) = verify(&mark("unboxing"));
    assert_eq!(code, Some(1), "{told}");
    assert!(told.starts_with("Current and NOT APPROVED."), "{told}");
    let mark = mark("tip-swap");
    let (code, told) = verify(&mark);
    assert_eq!(code, Some(0), "{told}");
    assert!(told.starts_with("Current and approved."), "{told}");
    assert!(told.contains("checked by a second program: certificate "), "{told}");
    let (code, told) =
        verify(&mark.split_whitespace().collect::<Vec<_>>().join(" ").replace("tip-swap 1 ", "tip-swap 0 "));
    assert_eq!(code, Some(1), "{told}");
    assert!(told.contains("its revision: revision 1 holds now"), "{told}");
    let words: Vec<&str> = mark.split_whitespace().collect();
    let (code, told) = verify(&format!("{} {}", words[..4].join(" "), "0".repeat(64)));
    assert_eq!(code, Some(1), "{told}");
    assert!(told.contains("Not current: its content"), "{told}");
    let (code, told) = verify(&mark.replace("tip-swap", "tip-swop"));
    assert_eq!(code, Some(1), "{told}");
    assert!(told.contains("no usable procedure `tip-swop`"), "{told}");
    for text in ["", "hello", "gatewright-card 1 tip-swap"] {
        let (code, told) = verify(text);
        assert_eq!(code, Some(2), "{told}");
        assert!(told.contains("mark"), "{told}");
    }
}

#[test]
fn a_card_for_one_machine_has_its_figures_alone() {
    let folder = tempfile::tempdir().expect("a folder");
    let out = folder.path().display().to_string();
    let card = |variant: &str| {
        gatewright(root(), &["card", "tip-swap", "--form", "text", "--variant", variant, "--out", &out])
    };
    let output = card("tip=fine");
    assert_eq!(output.status.code(), Some(0), "{}", stderr(&output));
    let text = std::fs::read_to_string(folder.path().join("tip-swap/card-tip-fine.txt")).expect("a card");
    assert!(text.contains("Made for       tip fine\n"), "{text}");
    assert!(text.contains("Screw the fine tip on") && !text.contains("Screw the medium tip on"), "{text}");
    assert!(
        text.contains("15 [ ] Not for this machine: Pass over this step: it is for tip medium."),
        "{text}"
    );
    for (wrong, says) in [
        ("tip=large", "no value `large`; it has `fine`, `medium`"),
        ("tipp=fine", "no variant `tipp`; it has `hose`, `tip`"),
        ("tip", "names no value"),
        ("tip=fine,tip=medium", "twice"),
    ] {
        let output = card(wrong);
        assert_eq!(output.status.code(), Some(2), "{wrong}");
        assert!(stderr(&output).contains(says), "{wrong}: {}", stderr(&output));
    }
}
