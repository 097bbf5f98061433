//! The rules by which fasteners are tightened.

/// How an order is found.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Rule {
    /// From the middle outwards, so that a long cover or gasket is not trapped in a bow.
    ///
    /// By distance from the centroid. Fasteners equally far follow as mirror-image pairs: the left-most of them
    /// (the upper of two) first, then its image below or above or, if it has none, its image on the other side,
    /// straight across or through the centre. A line of seven is tightened 4 3 5 2 6 1 7; two rows give the
    /// zig-zag of service manuals. Not for a circle, where all are equally far. Source: families of layouts in
    /// engine service texts (memory; centre first, ends last: read); the choice among equals is ours.
    CentreOut,
    /// Each fastener followed by the one opposite, so that a round flange closes in parallel.
    ///
    /// For 4, 8, 12, 16, 20 and 24 the legacy sequence of ASME PCC-1 table 3 (2nd hand). For other even numbers
    /// pairs of opposites, the next pair as far as possible from all pairs tightened, then from the last pair,
    /// then the lowest number; for odd numbers steps of half the ring, rounded down: a star (both common
    /// practice, no source). Needs at least three fasteners on one ring.
    Crosswise,
    /// Round the ring clockwise, or along a line from the left: the last pass, until nothing turns any more
    /// (ASME PCC-1 table 1, 2nd hand).
    Circular,
    /// As someone wrote it: every fastener once.
    Authored(Vec<usize>),
}
