//! Opposites in turn, round a ring.

/// ASME PCC-1 table 3, legacy pattern, bolts numbered clockwise (2nd hand: two copies, and the pairs in a
/// gasket maker's work sheet).
const LEGACY: [&[usize]; 6] = [
    &[1, 3, 2, 4],
    &[1, 5, 3, 7, 2, 6, 4, 8],
    &[1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12],
    &[1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
    &[1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19],
    &[1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24],
];

/// Places on a ring of `count`, from 0, in the order of tightening.
pub(super) fn places(count: usize) -> Vec<usize> {
    if let Some(legacy) = LEGACY.iter().find(|legacy| legacy.len() == count) {
        return legacy.iter().map(|place| place - 1).collect();
    }
    if count % 2 == 1 {
        // Half the ring has no divisor in common with an odd ring, so the star meets every place.
        return (0..count).map(|turn| turn * (count / 2) % count).collect();
    }
    let half = count / 2;
    spread(half).into_iter().flat_map(|pair| [pair, pair + half]).collect()
}

/// Pairs of opposites, numbered by their first place: each as far as possible from all before it, then from the
/// last one, then the lowest.
fn spread(pairs: usize) -> Vec<usize> {
    let apart = |one: usize, other: usize| {
        let along = one.abs_diff(other);
        along.min(pairs - along)
    };
    let mut chosen: Vec<usize> = Vec::with_capacity(pairs);
    while chosen.len() < pairs {
        let farness = |pair: usize| {
            let nearest = chosen.iter().map(|&other| apart(pair, other)).min();
            let last = chosen.last().map(|&other| apart(pair, other));
            (nearest, last, std::cmp::Reverse(pair))
        };
        let next = (0..pairs).filter(|pair| !chosen.contains(pair)).max_by_key(|&pair| farness(pair));
        chosen.extend(next);
    }
    chosen
}
