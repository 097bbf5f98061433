//! Approvals that bind, and what changed.
