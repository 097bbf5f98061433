//! Whether an order someone wrote keeps a rule.

use super::centre_out::{self, offsets};
use super::error::{PatternError, expect_permutation};
use super::layout::{Layout, Position, checked_positions};
use super::rule::Rule;
use super::{crosswise, ring};

/// Checks an authored order against a rule. What symmetry makes equal is accepted:
///
/// - centre-out: fasteners equally far from the centroid in any sequence in which each second one is a
///   mirror image of the one before it, while there is one left;
/// - crosswise: starting anywhere, going either way round, and either member of an opposite pair first;
/// - circular: starting anywhere, going either way round; along a line from either end.
///
/// # Errors
/// As [`order`](super::order), and [`PatternError::Breaks`] with the first turn that breaks the rule and a
/// fastener that would have kept it.
pub fn verify(layout: &Layout, rule: &Rule, authored: &[usize]) -> Result<(), PatternError> {
    let positions = checked_positions(layout)?;
    expect_permutation(authored, positions.len())?;
    match rule {
        Rule::CentreOut => {
            centre_out::suits(layout)?;
            outwards(&positions, authored)
        }
        Rule::Crosswise => across(&ring::crosswise(layout, &positions)?, authored),
        Rule::Circular => {
            let ring = ring::circular(layout, &positions)?;
            let turned_about = !matches!(layout, Layout::Line { .. });
            let steps: Vec<usize> = (0..ring.len()).collect();
            let ways = symmetries(ring.len())
                .filter(|(start, back)| turned_about || *start == if *back { ring.len() - 1 } else { 0 });
            closest(&ring, authored, ways, &steps, "circular goes from each to its neighbour")
        }
        Rule::Authored(order) => {
            expect_permutation(order, positions.len())?;
            let differs = authored.iter().zip(order).zip(1..).find(|((here, there), _)| here != there);
            differs.map_or(Ok(()), |((&fastener, &instead), turn)| {
                Err(PatternError::Breaks { turn, fastener, instead, because: "the order is written out" })
            })
        }
    }
}

fn outwards(positions: &[Position], authored: &[usize]) -> Result<(), PatternError> {
    let offsets = offsets(positions);
    let mut left: Vec<usize> = (1..=positions.len()).collect();
    left.sort_by_key(|fastener| (offsets[fastener - 1].squared(), *fastener));
    // The fastener whose mirror image should come next, if it has one left.
    let mut paired: Option<usize> = None;
    for (&fastener, turn) in authored.iter().zip(1..) {
        let here = offsets[fastener - 1];
        let breaks = |instead: usize, because| Err(PatternError::Breaks { turn, fastener, instead, because });
        if let Some(&nearest) = left.first()
            && offsets[nearest - 1].squared() < here.squared()
        {
            return breaks(nearest, "nearer the centre comes first");
        }
        let image = paired.and_then(|before| {
            left.iter().copied().find(|&other| offsets[other - 1].is_image_of(offsets[before - 1]))
        });
        paired = match (image, paired) {
            (Some(_), Some(before)) if here.is_image_of(offsets[before - 1]) => None,
            (Some(image), _) => return breaks(image, "equally far from the centre, sides take turns"),
            (None, _) => Some(fastener),
        };
        left.retain(|&other| other != fastener);
    }
    Ok(())
}

fn across(ring: &[usize], authored: &[usize]) -> Result<(), PatternError> {
    let places = crosswise::places(ring.len());
    let because = "crosswise goes to the opposite side, then as far as can be from those tightened";
    if ring.len() % 2 == 1 {
        return closest(ring, authored, symmetries(ring.len()), &places, because);
    }
    // Each two are opposites first; then only the sequence of the pairs is left to compare.
    let half = ring.len() / 2;
    let place_of = |fastener: usize| ring.iter().position(|&other| other == fastener).unwrap_or(0);
    for (pair, turn) in authored.chunks(2).zip((1..).step_by(2)) {
        let opposite = ring[(place_of(pair[0]) + half) % ring.len()];
        if pair[1] != opposite {
            // An earlier pair may already be the wrong one, and the first fault is the one to name.
            pairs_kept(ring, &authored[..turn - 1], &places, because)?;
            return Err(PatternError::Breaks {
                turn: turn + 1,
                fastener: pair[1],
                instead: opposite,
                because,
            });
        }
    }
    pairs_kept(ring, authored, &places, because)
}

/// Compares pairs of opposites, each by its lower place, under the symmetries of the half ring.
fn pairs_kept(
    ring: &[usize],
    authored: &[usize],
    places: &[usize],
    because: &'static str,
) -> Result<(), PatternError> {
    let half = ring.len() / 2;
    let pair_of = |fastener: usize| ring.iter().position(|&other| other == fastener).unwrap_or(0) % half;
    let firsts: Vec<usize> = authored.iter().step_by(2).copied().collect();
    let wanted: Vec<usize> = places.iter().step_by(2).map(|place| place % half).collect();
    let half_ring: Vec<usize> = (0..half).collect();
    let written: Vec<usize> = firsts.iter().map(|&fastener| pair_of(fastener)).collect();
    closest(&half_ring, &written, symmetries(half), &wanted, because).map_err(|error| match error {
        PatternError::Breaks { turn, instead, because, .. } => PatternError::Breaks {
            turn: turn * 2 - 1,
            fastener: firsts[turn - 1],
            instead: ring[instead],
            because,
        },
        other => other,
    })
}

/// Every way to lay a ring on itself: where it starts, and whether it runs backwards.
fn symmetries(count: usize) -> impl Iterator<Item = (usize, bool)> {
    (0..count).flat_map(|start| [(start, false), (start, true)])
}

/// Holds an order against a rule's places laid on the ring in each way; the way that agrees longest is the one
/// meant, and where it parts is the fault.
fn closest(
    ring: &[usize],
    authored: &[usize],
    ways: impl Iterator<Item = (usize, bool)>,
    places: &[usize],
    because: &'static str,
) -> Result<(), PatternError> {
    let count = ring.len();
    let mut longest: Option<(usize, usize)> = None;
    for (start, back) in ways {
        let on_ring = |place: usize| {
            let along = if back { start + count - place } else { start + place };
            ring[along % count]
        };
        let parts = authored.iter().zip(places).position(|(&fastener, &place)| on_ring(place) != fastener);
        let Some(agreed) = parts else { return Ok(()) };
        if longest.is_none_or(|(held, _)| agreed > held) {
            longest = Some((agreed, on_ring(places[agreed])));
        }
    }
    longest.map_or(Ok(()), |(agreed, instead)| {
        Err(PatternError::Breaks { turn: agreed + 1, fastener: authored[agreed], instead, because })
    })
}
