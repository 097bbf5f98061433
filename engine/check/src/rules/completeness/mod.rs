//! What a complete procedure says.

pub(super) mod gate_that_lets_through;
pub(super) mod instrument_too_coarse;
pub(super) mod level_of_use_too_low;
pub(super) mod limit_finer_than_instrument;
mod limits;
pub(super) mod no_author;
pub(super) mod no_effective_date;
pub(super) mod no_emergency;
pub(super) mod no_expected_result;
pub(super) mod no_help_named;
pub(super) mod no_uncertainty;
pub(super) mod nothing_comes_first;
pub(super) mod purpose_says_nothing;
pub(super) mod question_decides_nothing;
pub(super) mod scope_without_bounds;
pub(super) mod title_not_a_task;
pub(super) mod wait_longer_than_time;
pub(super) mod yes_without_no;
