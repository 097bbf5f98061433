//! What the README shows is what the program does.

use super::{gatewright, root, stdout};

/// The fenced blocks of one language.
fn blocks(text: &str, language: &str) -> Vec<String> {
    let open = format!("```{language}\n");
    text.split(&open).skip(1).filter_map(|rest| rest.split("```").next()).map(str::to_owned).collect()
}

/// Times differ from run to run and are left out of the README.
fn without_times(text: &str) -> String {
    let lines = text.lines().map(|line| match line.rsplit_once(", ") {
        Some((head, tail)) if tail.ends_with(" ms") => head.to_owned(),
        _ => line.to_owned(),
    });
    lines.collect::<Vec<_>>().join("\n")
}

#[test]
fn the_example_gives_the_output_shown() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("README.md");
    let folder = tempfile::tempdir().expect("a folder");
    let yaml = blocks(&readme, "yaml");
    assert_eq!(yaml.len(), 2);
    std::fs::write(folder.path().join("trolley.yaml"), &yaml[0]).expect("written");
    std::fs::write(folder.path().join("tip-check.yaml"), &yaml[1]).expect("written");
    let shown = &blocks(&readme, "text")[0];
    let (command, shown) = shown.split_once('\n').expect("a command and its output");
    assert_eq!(command, "$ gatewright check trolley.yaml tip-check.yaml");
    let output = gatewright(folder.path(), &["check", "trolley.yaml", "tip-check.yaml"]);
    assert_eq!(without_times(&stdout(&output)), shown.trim_end());
    let mended = yaml[1].replace("for: 30 s", "for: 45 s");
    std::fs::write(folder.path().join("tip-check.yaml"), mended).expect("written");
    let output = gatewright(folder.path(), &["check", "trolley.yaml", "tip-check.yaml"]);
    assert!(stdout(&output).contains("proved on every path"), "{}", stdout(&output));
    assert_eq!(output.status.code(), Some(0));
}

#[test]
fn every_file_it_points_to_is_there() {
    let readme = std::fs::read_to_string(root().join("README.md")).expect("README.md");
    let mut links = 0;
    for link in readme.split("](").skip(1).filter_map(|rest| rest.split(')').next()) {
        assert!(root().join(link).exists(), "`{link}` is not there");
        links += 1;
    }
    assert!(links >= 4);
}
