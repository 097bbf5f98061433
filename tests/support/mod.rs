//! What several suites share.

pub(crate) mod demo;
pub(crate) mod edit;
pub(crate) mod run;
pub(crate) mod walks;
