//! Small edits of a procedure's text, each of which fails loudly if it does not apply.

use std::ops::Range;

/// The lines of a step, from its `- id:` to its last key, counted from 0.
pub(crate) fn block(text: &str, id: &str) -> Range<usize> {
    let lines: Vec<&str> = text.lines().collect();
    let named = format!("- id: {id}");
    let found: Vec<usize> = (0..lines.len()).filter(|&at| lines[at].trim() == named).collect();
    let [first] = found[..] else { panic!("{} steps are named `{id}`", found.len()) };
    let depth = indent(lines[first]);
    let after = lines[first + 1..].iter().position(|line| !line.trim().is_empty() && indent(line) <= depth);
    first..after.map_or(lines.len(), |after| first + 1 + after)
}

fn indent(line: &str) -> usize {
    line.len() - line.trim_start().len()
}

fn join(lines: &[&[&str]]) -> String {
    lines.concat().join("\n") + "\n"
}

/// The text without a step.
pub(crate) fn without(text: &str, id: &str) -> String {
    let (lines, block) = (text.lines().collect::<Vec<_>>(), block(text, id));
    join(&[&lines[..block.start], &lines[block.end..]])
}

/// The text with two steps, the first above the second, in each other's place.
pub(crate) fn swapped(text: &str, first: &str, second: &str) -> String {
    let lines: Vec<&str> = text.lines().collect();
    let (first, second) = (block(text, first), block(text, second));
    assert!(first.end <= second.start, "the first is not above the second");
    join(&[
        &lines[..first.start],
        &lines[second.clone()],
        &lines[first.end..second.start],
        &lines[first],
        &lines[second.end..],
    ])
}

/// The text with one thing inside a step written otherwise.
pub(crate) fn rewritten(text: &str, id: &str, from: &str, to: &str) -> String {
    let (lines, block) = (text.lines().collect::<Vec<_>>(), block(text, id));
    let step = lines[block.clone()].join("\n");
    assert_eq!(step.matches(from).count(), 1, "`{from}` in step `{id}`");
    let step = step.replace(from, to);
    join(&[&lines[..block.start], &[step.as_str()], &lines[block.end..]])
}

/// One text in place of another that stands there exactly once.
pub(crate) fn swap(text: &str, from: &str, to: &str) -> String {
    assert_eq!(text.matches(from).count(), 1, "`{from}`");
    text.replace(from, to)
}

#[cfg(test)]
mod tests {
    use super::{block, rewritten, swapped, without};

    const TEXT: &str = "\
steps:
  - id: a
    do: A.
  # A remark.
  - id: b
    repeat:
      steps:
        - id: c
          do: C.
    otherwise: stop
";

    #[test]
    fn edits_take_whole_steps() {
        assert_eq!((block(TEXT, "a"), block(TEXT, "b"), block(TEXT, "c")), (1..3, 4..10, 7..9));
        assert_eq!(without(TEXT, "b"), "steps:\n  - id: a\n    do: A.\n  # A remark.\n");
        assert!(
            swapped(TEXT, "a", "b").ends_with("    otherwise: stop\n  # A remark.\n  - id: a\n    do: A.\n")
        );
        assert!(rewritten(TEXT, "c", "do: C.", "do: D.").contains("do: D."));
    }

    #[test]
    #[should_panic(expected = "0 steps are named")]
    fn an_edit_that_does_not_apply_is_loud() {
        without(TEXT, "nobody");
    }
}
