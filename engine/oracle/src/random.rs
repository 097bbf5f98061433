//! A small seeded source of numbers: the same seed gives the same run on every machine.

/// The generator "splitmix64" (Steele, Lea and Flood 2014: memory).
pub struct Random(u64);

impl Random {
    /// A source for a seed.
    #[must_use]
    pub fn new(seed: u64) -> Self {
        Self(seed.wrapping_mul(0x9e37_79b9_7f4a_7c15).wrapping_add(1))
    }

    /// The next number, any of 64 bits.
    #[expect(clippy::should_implement_trait, reason = "it never ends, and nobody iterates over it")]
    pub fn next(&mut self) -> u64 {
        self.0 = self.0.wrapping_add(0x9e37_79b9_7f4a_7c15);
        let mut mixed = self.0;
        mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
        mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
        mixed ^ (mixed >> 31)
    }

    /// A number below `end`.
    pub fn below(&mut self, end: usize) -> usize {
        (self.next() >> 11) as usize % end
    }

    /// True so many times in a hundred.
    pub fn percent(&mut self, times: usize) -> bool {
        self.below(100) < times
    }

    /// One of several.
    pub fn pick<'a, T>(&mut self, from: &'a [T]) -> &'a T {
        &from[self.below(from.len())]
    }
}
