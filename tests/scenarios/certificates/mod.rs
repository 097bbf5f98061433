//! Certificates, from `check` to whoever checks them: a second program of ours, and an outside solver.

mod clauses;
mod damaged;
mod kept;
mod random;

use proof::Budget;

fn budget() -> Budget<'static> {
    Budget { boxes: 100_000, go_on: &|| true }
}

fn number(name: &str, usual: u64) -> u64 {
    std::env::var(name).ok().and_then(|text| text.parse().ok()).unwrap_or(usual)
}
