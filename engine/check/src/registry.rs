//! Every code with its explanation. Nothing of it stands twice: code and title are read from the Markdown's heading.

/// What a code means, written for the person who writes procedures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Explanation {
    /// The stable code, such as `P01`.
    pub code: &'static str,
    /// The fault in one line, without a full stop.
    pub title: &'static str,
    /// All of it in Markdown: the heading, what, why, a bad and a good sample, the source.
    pub text: &'static str,
}

/// In the order of the codes.
static EXPLANATIONS: &[Explanation] = &[
    explanation(include_str!("rules/reading/A01-unknown-method.md")),
    explanation(include_str!("rules/reading/A02-inputs.md")),
    explanation(include_str!("rules/reading/A03-out-of-range.md")),
    explanation(include_str!("rules/reading/A04-variant-without-figure.md")),
    explanation(include_str!("rules/reading/A05-text-contradicts-amount.md")),
    explanation(include_str!("rules/reading/A06-label-in-a-wait.md")),
    explanation(include_str!("rules/step_unreachable.md")),
    explanation(include_str!("rules/step_never_reached.md")),
    explanation(include_str!("rules/dead_end.md")),
    explanation(include_str!("rules/endless_loop.md")),
    explanation(include_str!("rules/never_done.md")),
    explanation(include_str!("rules/variant_never_done.md")),
    explanation(include_str!("rules/not_seated.md")),
    explanation(include_str!("rules/reading/N01-no-equipment.md")),
    explanation(include_str!("rules/reading/N02-no-condition.md")),
    explanation(include_str!("rules/reading/N03-no-value.md")),
    explanation(include_str!("rules/reading/N04-no-variant.md")),
    explanation(include_str!("rules/reading/N05-not-declared.md")),
    explanation(include_str!("rules/reading/N06-no-role.md")),
    explanation(include_str!("rules/reading/N07-no-procedure.md")),
    explanation(include_str!("rules/reading/N08-performs-itself.md")),
    explanation(include_str!("rules/reading/N09-no-target.md")),
    explanation(include_str!("rules/reading/N10-step-name.md")),
    explanation(include_str!("rules/reading/N11-otherwise.md")),
    explanation(include_str!("rules/reading/N12-answers.md")),
    explanation(include_str!("rules/reading/N13-any-order.md")),
    explanation(include_str!("rules/reading/N14-condition-facts.md")),
    explanation(include_str!("rules/reading/N15-evidence-lost-by-itself.md")),
    explanation(include_str!("rules/reading/N16-not-a-figure.md")),
    explanation(include_str!("rules/reading/N17-limits-of-a-measurement.md")),
    explanation(include_str!("rules/reading/N18-endless-wait.md")),
    explanation(include_str!("rules/reading/N19-fasteners.md")),
    explanation(include_str!("rules/reading/N20-given-twice.md")),
    explanation(include_str!("rules/precondition_unmet.md")),
    explanation(include_str!("rules/rule_broken.md")),
    explanation(include_str!("rules/start_breaks_rule.md")),
    explanation(include_str!("rules/broken_promise.md")),
    explanation(include_str!("rules/not_put_back.md")),
    explanation(include_str!("rules/answer_missing.md")),
    explanation(include_str!("rules/not_proved.md")),
    explanation(include_str!("rules/too_large.md")),
    explanation(include_str!("rules/no_way_to_stop.md")),
    explanation(include_str!("rules/no_way_to_resume.md")),
    explanation(include_str!("rules/already_so.md")),
    explanation(include_str!("rules/reading/R01-too-large.md")),
    explanation(include_str!("rules/reading/R02-not-utf-8.md")),
    explanation(include_str!("rules/reading/R03-unseen-character.md")),
    explanation(include_str!("rules/reading/R04-not-yaml.md")),
    explanation(include_str!("rules/reading/R05-key-twice.md")),
    explanation(include_str!("rules/reading/R06-key-no-text.md")),
    explanation(include_str!("rules/reading/R07-anchors-and-tags.md")),
    explanation(include_str!("rules/reading/R08-no-document.md")),
    explanation(include_str!("rules/reading/R09-limit-passed.md")),
    explanation(include_str!("rules/reading/R10-neither-kind.md")),
    explanation(include_str!("rules/reading/R11-unknown-key.md")),
    explanation(include_str!("rules/reading/R12-missing-key.md")),
    explanation(include_str!("rules/reading/R13-wrong-kind.md")),
    explanation(include_str!("rules/reading/R14-wrong-form.md")),
    explanation(include_str!("rules/reading/R15-word-not-allowed.md")),
    explanation(include_str!("rules/reading/R16-main-key.md")),
    explanation(include_str!("rules/reading/R17-same-name.md")),
];

/// All explanations, in the order of their codes.
#[must_use]
pub fn explanations() -> &'static [Explanation] {
    EXPLANATIONS
}

/// The explanation of a code, in capitals or not; `None` for a code that does not exist.
#[must_use]
pub fn explain(code: &str) -> Option<&'static Explanation> {
    EXPLANATIONS.iter().find(|explanation| explanation.code.eq_ignore_ascii_case(code))
}

/// Parts `# P01 Title` into its code and title. A file that begins otherwise does not compile.
const fn explanation(text: &'static str) -> Explanation {
    let (mark, heading) = text.split_at(2);
    let (code, heading) = heading.split_at(3);
    let (space, title) = heading.split_at(1);
    assert!(matches!(mark.as_bytes(), b"# ") && matches!(space.as_bytes(), b" "));
    let mut end = 0;
    while title.as_bytes()[end] != b'\n' {
        end += 1;
    }
    Explanation { code, title: title.split_at(end).0, text }
}
