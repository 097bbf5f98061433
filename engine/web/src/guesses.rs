//! Wrong PINs cost time: after a few, the name has to wait, longer with each further one.

use std::collections::BTreeMap;

/// So many wrong PINs are forgiven.
const FREE: u32 = 4;
/// The first wait, in milliseconds; it doubles with each further wrong PIN.
const FIRST_WAIT_MS: i64 = 30_000;
/// The longest wait, in milliseconds.
const LONGEST_WAIT_MS: i64 = 15 * 60_000;

#[derive(Clone, Copy, Default)]
struct Wrong {
    count: u32,
    until_ms: i64,
}

/// Wrong PINs since the program started, by person. Names that nobody has count together, so that nobody fills the memory.
#[derive(Default)]
pub(crate) struct Guesses(BTreeMap<String, Wrong>);

impl Guesses {
    /// How long the name has still to wait, in whole seconds; `None` if it may try.
    pub(crate) fn wait(&self, person: Option<&str>, now_ms: i64) -> Option<i64> {
        let left = self.0.get(person.unwrap_or_default())?.until_ms - now_ms;
        (left > 0).then_some((left + 999) / 1000)
    }

    pub(crate) fn wrong(&mut self, person: Option<&str>, now_ms: i64) {
        let wrong = self.0.entry(person.unwrap_or_default().to_owned()).or_default();
        wrong.count = wrong.count.saturating_add(1);
        if let Some(over) = wrong.count.checked_sub(FREE + 1) {
            let wait = FIRST_WAIT_MS.saturating_mul(1 << over.min(16));
            wrong.until_ms = now_ms.saturating_add(wait.min(LONGEST_WAIT_MS));
        }
    }

    pub(crate) fn right(&mut self, person: &str) {
        self.0.remove(person);
    }
}

#[cfg(test)]
mod tests {
    use super::Guesses;

    #[test]
    fn waits_grow_and_end_with_the_right_pin() {
        let mut guesses = Guesses::default();
        for _ in 0..4 {
            guesses.wrong(Some("tomas reeve"), 0);
            assert_eq!(guesses.wait(Some("tomas reeve"), 0), None);
        }
        let mut waits = Vec::new();
        for _ in 0..8 {
            guesses.wrong(Some("tomas reeve"), 0);
            waits.extend(guesses.wait(Some("tomas reeve"), 0));
        }
        assert_eq!(waits, [30, 60, 120, 240, 480, 900, 900, 900]);
        assert_eq!(guesses.wait(Some("tomas reeve"), 899_001), Some(1));
        assert_eq!(guesses.wait(Some("tomas reeve"), 900_000), None);
        assert_eq!(guesses.wait(Some("anneke voss"), 0), None);
        guesses.right("tomas reeve");
        assert_eq!(guesses.wait(Some("tomas reeve"), 0), None);
    }
}
