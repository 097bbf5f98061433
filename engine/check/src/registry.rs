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
    explanation(include_str!("rules/reading/A07-unit-with-two-meanings.md")),
    explanation(include_str!("rules/completeness/no_effective_date.md")),
    explanation(include_str!("rules/completeness/no_author.md")),
    explanation(include_str!("rules/completeness/no_emergency.md")),
    explanation(include_str!("rules/completeness/no_help_named.md")),
    explanation(include_str!("rules/completeness/purpose_says_nothing.md")),
    explanation(include_str!("rules/completeness/scope_without_bounds.md")),
    explanation(include_str!("rules/completeness/no_expected_result.md")),
    explanation(include_str!("rules/completeness/wait_longer_than_time.md")),
    explanation(include_str!("rules/completeness/title_not_a_task.md")),
    explanation(include_str!("rules/completeness/level_of_use_too_low.md")),
    explanation(include_str!("rules/completeness/yes_without_no.md")),
    explanation(include_str!("rules/completeness/question_decides_nothing.md")),
    explanation(include_str!("rules/completeness/gate_that_lets_through.md")),
    explanation(include_str!("rules/completeness/limit_finer_than_instrument.md")),
    explanation(include_str!("rules/completeness/instrument_too_coarse.md")),
    explanation(include_str!("rules/completeness/no_uncertainty.md")),
    explanation(include_str!("rules/completeness/nothing_comes_first.md")),
    explanation(include_str!("rules/energy/no_magnitude.md")),
    explanation(include_str!("rules/energy/nobody_told_before.md")),
    explanation(include_str!("rules/energy/not_locked.md")),
    explanation(include_str!("rules/energy/stored_energy_stays.md")),
    explanation(include_str!("rules/energy/isolation_not_verified.md")),
    explanation(include_str!("rules/energy/area_not_inspected.md")),
    explanation(include_str!("rules/energy/nobody_told_after.md")),
    explanation(include_str!("rules/energy/lock_removed_by_other.md")),
    explanation(include_str!("rules/reading/F01-written-order.md")),
    explanation(include_str!("rules/reading/F02-count-of-fasteners.md")),
    explanation(include_str!("rules/reading/F03-stages.md")),
    explanation(include_str!("rules/reading/F04-final-pass.md")),
    explanation(include_str!("rules/step_unreachable.md")),
    explanation(include_str!("rules/step_never_reached.md")),
    explanation(include_str!("rules/dead_end.md")),
    explanation(include_str!("rules/endless_loop.md")),
    explanation(include_str!("rules/never_done.md")),
    explanation(include_str!("rules/variant_never_done.md")),
    explanation(include_str!("rules/not_seated.md")),
    explanation(include_str!("rules/hazards/act_in_avoidance.md")),
    explanation(include_str!("rules/hazards/consequence_without_harm.md")),
    explanation(include_str!("rules/hazards/certainty_differs.md")),
    explanation(include_str!("rules/hazards/death_differs.md")),
    explanation(include_str!("rules/hazards/damage_that_injures.md")),
    explanation(include_str!("rules/hazards/hazard_unused.md")),
    explanation(include_str!("rules/hazards/no_control.md")),
    explanation(include_str!("rules/hazards/warned_too_often.md")),
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
    explanation(include_str!("rules/accepted_for_nothing.md")),
    explanation(include_str!("rules/cannot_be_accepted.md")),
    explanation(include_str!("rules/tools/unused_tool.md")),
    explanation(include_str!("rules/tools/unlisted_tool.md")),
    explanation(include_str!("rules/tools/unused_supply.md")),
    explanation(include_str!("rules/tools/unlisted_supply.md")),
    explanation(include_str!("rules/tools/unused_spare.md")),
    explanation(include_str!("rules/tools/unlisted_spare.md")),
    explanation(include_str!("rules/tools/unused_wear.md")),
    explanation(include_str!("rules/tools/unlisted_wear.md")),
    explanation(include_str!("rules/people/role_missing.md")),
    explanation(include_str!("rules/people/not_independent.md")),
    explanation(include_str!("rules/people/released_by_performer.md")),
    explanation(include_str!("rules/people/nothing_to_do.md")),
    explanation(include_str!("rules/people/too_few_people.md")),
    explanation(include_str!("rules/writing/two_acts.md")),
    explanation(include_str!("rules/writing/not_a_command.md")),
    explanation(include_str!("rules/writing/vague_verb.md")),
    explanation(include_str!("rules/writing/ambiguous_words.md")),
    explanation(include_str!("rules/writing/approximate_figure.md")),
    explanation(include_str!("rules/writing/may_or_should.md")),
    explanation(include_str!("rules/writing/shall.md")),
    explanation(include_str!("rules/writing/condition_after.md")),
    explanation(include_str!("rules/writing/condition_comma.md")),
    explanation(include_str!("rules/writing/double_negative.md")),
    explanation(include_str!("rules/writing/negative_question.md")),
    explanation(include_str!("rules/writing/long_sentence.md")),
    explanation(include_str!("rules/writing/long_paragraph.md")),
    explanation(include_str!("rules/writing/passive.md")),
    explanation(include_str!("rules/writing/contraction.md")),
    explanation(include_str!("rules/writing/semicolon.md")),
    explanation(include_str!("rules/writing/running_capitals.md")),
    explanation(include_str!("rules/writing/signal_word.md")),
    explanation(include_str!("rules/writing/act_in_note.md")),
    explanation(include_str!("rules/writing/limit_in_note.md")),
    explanation(include_str!("rules/writing/result_as_act.md")),
    explanation(include_str!("rules/writing/result_says_nothing.md")),
    explanation(include_str!("rules/writing/no_question.md")),
    explanation(include_str!("rules/writing/two_questions.md")),
    explanation(include_str!("rules/writing/unit_without_space.md")),
    explanation(include_str!("rules/writing/unit_word.md")),
    explanation(include_str!("rules/writing/figure_without_unit.md")),
    explanation(include_str!("rules/writing/nominal_and_tolerance.md")),
    explanation(include_str!("rules/writing/open_limit.md")),
    explanation(include_str!("rules/writing/step_by_number.md")),
    explanation(include_str!("rules/writing/reference_elsewhere.md")),
    explanation(include_str!("rules/writing/abbreviation.md")),
    explanation(include_str!("rules/writing/other_term.md")),
    explanation(include_str!("rules/writing/uneven_list.md")),
    explanation(include_str!("rules/writing/care.md")),
    explanation(include_str!("rules/writing/and_with_or.md")),
    explanation(include_str!("rules/writing/hard_to_read.md")),
    explanation(include_str!("rules/writing/slash.md")),
    explanation(include_str!("rules/writing/no_figure.md")),
    explanation(include_str!("rules/writing/idle_words.md")),
    explanation(include_str!("rules/writing/placeholder.md")),
];

/// The families of codes by their letter, with what they are about.
pub const FAMILIES: [(char, &str); 13] = [
    ('A', "Amounts"),
    ('C', "Completeness"),
    ('E', "Control of hazardous energy"),
    ('F', "Fasteners"),
    ('G', "The graph of steps"),
    ('H', "Hazards and warnings"),
    ('N', "Names and what they stand for"),
    ('P', "What is proved"),
    ('R', "Reading"),
    ('S', "Accepted findings"),
    ('T', "Tools, supplies, spares, protective equipment"),
    ('U', "People"),
    ('W', "Wording"),
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
