//! Wrong PINs cost time: after a few, the name has to wait, and after some more the address they come from.

use std::collections::BTreeMap;
use std::net::IpAddr;

/// So many wrong PINs of a person are forgiven, until the right one comes.
const FREE: u32 = 4;
/// So many from one address are forgiven: a server in front of this one lends all its people one address.
const FREE_AT_ADDRESS: u32 = 40;
/// The first wait, in milliseconds; it doubles with each further wrong PIN.
const FIRST_WAIT_MS: i64 = 30_000;
/// The longest wait, in milliseconds.
const LONGEST_WAIT_MS: i64 = 15 * 60_000;
/// An address from which no wrong PIN came for so long is forgiven: 1 h.
const FORGIVEN_MS: i64 = 3_600_000;
/// So many addresses are remembered; then the first to be forgiven gives way.
const ADDRESSES_MAX: usize = 4_096;

#[derive(Clone, Copy, Default)]
struct Wrong {
    count: u32,
    until_ms: i64,
    last_ms: i64,
}

impl Wrong {
    fn again(&mut self, free: u32, now_ms: i64) {
        self.count = self.count.saturating_add(1);
        self.last_ms = now_ms;
        if let Some(over) = self.count.checked_sub(free + 1) {
            let wait = FIRST_WAIT_MS.saturating_mul(1 << over.min(16));
            self.until_ms = now_ms.saturating_add(wait.min(LONGEST_WAIT_MS));
        }
    }

    fn wait(&self, now_ms: i64) -> Option<i64> {
        let left = self.until_ms - now_ms;
        (left > 0).then_some((left + 999) / 1000)
    }
}

/// Wrong PINs since the program started, by person and by address. Names that nobody has count together, so that nobody
/// fills the memory.
#[derive(Default)]
pub(crate) struct Guesses {
    people: BTreeMap<String, Wrong>,
    addresses: BTreeMap<IpAddr, Wrong>,
}

impl Guesses {
    /// How long the name or the address has still to wait, in whole seconds; `None` if a PIN may be tried.
    pub(crate) fn wait(&self, person: Option<&str>, from: Option<IpAddr>, now_ms: i64) -> Option<i64> {
        let person = self.people.get(person.unwrap_or_default()).and_then(|wrong| wrong.wait(now_ms));
        let address = from.and_then(|from| self.addresses.get(&network(from))?.wait(now_ms));
        person.max(address)
    }

    pub(crate) fn wrong(&mut self, person: Option<&str>, from: Option<IpAddr>, now_ms: i64) {
        self.people.entry(person.unwrap_or_default().to_owned()).or_default().again(FREE, now_ms);
        let Some(from) = from.map(network) else { return };
        self.addresses.retain(|_, wrong| now_ms - wrong.last_ms < FORGIVEN_MS);
        if self.addresses.len() >= ADDRESSES_MAX
            && !self.addresses.contains_key(&from)
            && let Some(oldest) =
                self.addresses.iter().min_by_key(|(_, wrong)| wrong.last_ms).map(|(from, _)| *from)
        {
            self.addresses.remove(&oldest);
        }
        self.addresses.entry(from).or_default().again(FREE_AT_ADDRESS, now_ms);
    }

    pub(crate) fn right(&mut self, person: &str) {
        self.people.remove(person);
    }
}

/// Whoever has one address of the sixth version has 2⁶⁴ of them: all with the same first half count as one.
fn network(address: IpAddr) -> IpAddr {
    match address {
        IpAddr::V4(_) => address,
        IpAddr::V6(six) => IpAddr::V6((six.to_bits() >> 64 << 64).into()),
    }
}

#[cfg(test)]
mod tests {
    use super::{ADDRESSES_MAX, Guesses};
    use std::net::IpAddr;

    #[test]
    fn waits_grow_and_end_with_the_right_pin() {
        let mut guesses = Guesses::default();
        for _ in 0..4 {
            guesses.wrong(Some("tomas reeve"), None, 0);
            assert_eq!(guesses.wait(Some("tomas reeve"), None, 0), None);
        }
        let mut waits = Vec::new();
        for _ in 0..8 {
            guesses.wrong(Some("tomas reeve"), None, 0);
            waits.extend(guesses.wait(Some("tomas reeve"), None, 0));
        }
        assert_eq!(waits, [30, 60, 120, 240, 480, 900, 900, 900]);
        assert_eq!(guesses.wait(Some("tomas reeve"), None, 899_001), Some(1));
        assert_eq!(guesses.wait(Some("tomas reeve"), None, 900_000), None);
        assert_eq!(guesses.wait(Some("anneke voss"), None, 0), None);
        guesses.right("tomas reeve");
        assert_eq!(guesses.wait(Some("tomas reeve"), None, 0), None);
    }

    #[test]
    fn an_address_waits_for_all_names_and_is_forgiven_after_an_hour() {
        let address = |text: &str| Some(text.parse::<IpAddr>().expect("an address"));
        let mut guesses = Guesses::default();
        for number in 0..40 {
            guesses.wrong(Some(&format!("person {number}")), address("2001:db8::1"), 0);
            assert_eq!(guesses.wait(Some("anneke voss"), address("2001:db8::1"), 0), None);
        }
        guesses.wrong(None, address("2001:db8::2"), 0);
        assert_eq!(
            guesses.wait(Some("anneke voss"), address("2001:db8::3"), 0),
            Some(30),
            "the same network"
        );
        assert_eq!(guesses.wait(Some("anneke voss"), address("2001:db8:0:1::1"), 0), None);
        assert_eq!(guesses.wait(Some("anneke voss"), address("192.0.2.7"), 0), None);
        guesses.right("anneke voss");
        assert!(
            guesses.wait(Some("anneke voss"), address("2001:db8::1"), 0).is_some(),
            "it waits all the same"
        );
        guesses.wrong(None, address("2001:db8::1"), 3_600_000);
        assert_eq!(guesses.wait(Some("anneke voss"), address("2001:db8::1"), 3_600_000), None);
    }

    #[test]
    fn addresses_do_not_fill_the_memory() {
        let mut guesses = Guesses::default();
        for number in 0..2 * ADDRESSES_MAX {
            let from = IpAddr::V4(u32::try_from(number).expect("small").into());
            guesses.wrong(None, Some(from), i64::try_from(number).expect("small"));
        }
        assert_eq!(guesses.addresses.len(), ADDRESSES_MAX);
    }
}
