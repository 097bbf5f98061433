//! What is listed against what is taken.

mod taken;
pub(super) mod unlisted_spare;
pub(super) mod unlisted_supply;
pub(super) mod unlisted_tool;
pub(super) mod unlisted_wear;
pub(super) mod unused_spare;
pub(super) mod unused_supply;
pub(super) mod unused_tool;
pub(super) mod unused_wear;
