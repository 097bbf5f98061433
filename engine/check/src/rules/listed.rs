//! The rules about wording and completeness, in the order of their codes.

use super::energy::Control;
use super::{completeness, energy, hazards, people, tools, writing};
use crate::writing::text::Text;
use crate::writing::{Found, Ground, Said, Writing};
use document::model::Equipment;

/// What a rule says of one text.
type TextRule = fn(&Text<'_>, &Equipment) -> Option<Said>;

/// Rules that look at one text alone, each with its code.
pub(crate) const TEXT_RULES: &[(&str, TextRule)] = &[
    (writing::two_acts::CODE, writing::two_acts::finding),
    (writing::not_a_command::CODE, writing::not_a_command::finding),
    (writing::vague_verb::CODE, writing::vague_verb::finding),
    (writing::ambiguous_words::CODE, writing::ambiguous_words::finding),
    (writing::approximate_figure::CODE, writing::approximate_figure::finding),
    (writing::may_or_should::CODE, writing::may_or_should::finding),
    (writing::shall::CODE, writing::shall::finding),
    (writing::condition_after::CODE, writing::condition_after::finding),
    (writing::condition_comma::CODE, writing::condition_comma::finding),
    (writing::double_negative::CODE, writing::double_negative::finding),
    (writing::negative_question::CODE, writing::negative_question::finding),
    (writing::long_sentence::CODE, writing::long_sentence::finding),
    (writing::long_paragraph::CODE, writing::long_paragraph::finding),
    (writing::passive::CODE, writing::passive::finding),
    (writing::contraction::CODE, writing::contraction::finding),
    (writing::semicolon::CODE, writing::semicolon::finding),
    (writing::running_capitals::CODE, writing::running_capitals::finding),
    (writing::signal_word::CODE, writing::signal_word::finding),
    (writing::act_in_note::CODE, writing::act_in_note::finding),
    (writing::limit_in_note::CODE, writing::limit_in_note::finding),
    (writing::result_as_act::CODE, writing::result_as_act::finding),
    (writing::result_says_nothing::CODE, writing::result_says_nothing::finding),
    (writing::no_question::CODE, writing::no_question::finding),
    (writing::two_questions::CODE, writing::two_questions::finding),
    (writing::unit_without_space::CODE, writing::unit_without_space::finding),
    (writing::unit_word::CODE, writing::unit_word::finding),
    (writing::figure_without_unit::CODE, writing::figure_without_unit::finding),
    (writing::nominal_and_tolerance::CODE, writing::nominal_and_tolerance::finding),
    (writing::open_limit::CODE, writing::open_limit::finding),
    (writing::step_by_number::CODE, writing::step_by_number::finding),
    (writing::reference_elsewhere::CODE, writing::reference_elsewhere::finding),
    (writing::other_term::CODE, writing::other_term::finding),
    (writing::uneven_list::CODE, writing::uneven_list::finding),
    (writing::care::CODE, writing::care::finding),
    (writing::and_with_or::CODE, writing::and_with_or::finding),
    (writing::slash::CODE, writing::slash::finding),
    (writing::no_figure::CODE, writing::no_figure::finding),
    (writing::idle_words::CODE, writing::idle_words::finding),
    (writing::placeholder::CODE, writing::placeholder::finding),
];

/// Rules that look at a procedure as it is written.
pub(crate) const WRITING_RULES: &[fn(&Writing<'_>) -> Vec<Found>] = &[
    writing::abbreviation::findings,
    writing::hard_to_read::findings,
    tools::unused_tool::findings,
    tools::unlisted_tool::findings,
    tools::unused_supply::findings,
    tools::unlisted_supply::findings,
    tools::unused_spare::findings,
    tools::unlisted_spare::findings,
    tools::unused_wear::findings,
    tools::unlisted_wear::findings,
    people::role_missing::findings,
    people::not_independent::findings,
    people::released_by_performer::findings,
    people::nothing_to_do::findings,
    people::too_few_people::findings,
    completeness::no_effective_date::findings,
    completeness::no_author::findings,
    completeness::no_emergency::findings,
    completeness::no_help_named::findings,
    completeness::purpose_says_nothing::findings,
    completeness::scope_without_bounds::findings,
    completeness::no_expected_result::findings,
    completeness::wait_longer_than_time::findings,
    completeness::title_not_a_task::findings,
    completeness::level_of_use_too_low::findings,
    completeness::yes_without_no::findings,
    completeness::question_decides_nothing::findings,
    completeness::gate_that_lets_through::findings,
    completeness::limit_finer_than_instrument::findings,
    completeness::instrument_too_coarse::findings,
    hazards::warned_too_often::findings,
];

/// What a rule says of how a procedure controls energy.
type EnergyRule = fn(&Writing<'_>, &[Control<'_, '_>]) -> Vec<Found>;

/// Rules that look at where a procedure isolates energy and lets it come back, which is found once.
pub(crate) const ENERGY_RULES: &[EnergyRule] = &[
    energy::nobody_told_before::findings,
    energy::not_locked::findings,
    energy::stored_energy_stays::findings,
    energy::isolation_not_verified::findings,
    energy::area_not_inspected::findings,
    energy::nobody_told_after::findings,
    energy::lock_removed_by_other::findings,
];

/// Rules that look at an equipment document as it is written.
pub(crate) const GROUND_RULES: &[fn(&Ground<'_>) -> Vec<Found>] = &[
    completeness::no_uncertainty::findings,
    completeness::nothing_comes_first::findings,
    hazards::act_in_avoidance::findings,
    hazards::consequence_without_harm::findings,
    hazards::certainty_differs::findings,
    hazards::death_differs::findings,
    hazards::damage_that_injures::findings,
    hazards::hazard_unused::findings,
    hazards::no_control::findings,
    energy::no_magnitude::findings,
];
