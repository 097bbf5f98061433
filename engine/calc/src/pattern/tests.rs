//! Orders against the published sequences, and their properties on many layouts.

use super::{Layout, Micrometres, PatternError, Position, Rule, order, removal, turns, verify};
use crate::quantity::Quantity;

fn length(text: &str) -> Micrometres {
    Micrometres::from_quantity(&Quantity::parse(text).unwrap()).unwrap()
}

fn line(count: usize) -> Layout {
    Layout::Line { count, pitch: length("45 mm") }
}

fn grid(rows: usize, columns: usize) -> Layout {
    Layout::Grid { rows, columns, pitch: length("80 mm"), row_pitch: length("80 mm") }
}

fn circle(count: usize) -> Layout {
    Layout::Circle { count, diameter: length("100 mm") }
}

fn edge(rows: usize, columns: usize) -> Layout {
    Layout::Edge { rows, columns, pitch: length("50 mm"), row_pitch: length("30 mm") }
}

fn free(places: &[(i64, i64)]) -> Layout {
    let place =
        |&(x, y): &(i64, i64)| Position { x: length(&format!("{x} mm")), y: length(&format!("{y} mm")) };
    Layout::Free(places.iter().map(place).collect())
}

fn outwards(layout: &Layout) -> Vec<usize> {
    order(layout, &Rule::CentreOut).unwrap()
}

fn crosswise(count: usize) -> Vec<usize> {
    order(&circle(count), &Rule::Crosswise).unwrap()
}

/// A drawing prints the turn at each place, row by row; this gives the order it stands for.
fn drawn(turns_printed: &[usize]) -> Vec<usize> {
    turns(turns_printed)
}

/// Derived: lines of an odd and an even number.
#[test]
fn lines_go_from_the_middle_outwards() {
    assert_eq!(turns(&outwards(&line(7))), [6, 4, 2, 1, 3, 5, 7]);
    assert_eq!(turns(&outwards(&line(6))), [5, 3, 1, 2, 4, 6]);
    assert_eq!(outwards(&line(7)), [4, 3, 5, 2, 6, 1, 7]);
    assert_eq!(outwards(&line(1)), [1]);
    assert_eq!(outwards(&line(2)), [1, 2]);
}

/// The two-row drawings of engine service texts (memory).
const ZIG_ZAG_2X5: [usize; 10] = [9, 5, 1, 3, 7, 10, 6, 2, 4, 8];
const SPIRAL_2X5: [usize; 10] = [8, 4, 1, 5, 9, 7, 3, 2, 6, 10];
const SPIRAL_2X4: [usize; 8] = [7, 3, 2, 6, 8, 4, 1, 5];

#[test]
fn two_rows_give_the_zig_zag_seen_from_the_other_end() {
    let seen_from_the_other_end: Vec<usize> =
        ZIG_ZAG_2X5.chunks(5).flat_map(|row| row.iter().rev().copied()).collect();
    assert_eq!(turns(&outwards(&grid(2, 5))), seen_from_the_other_end);
}

#[test]
fn every_drawing_keeps_the_rule() {
    for (layout, printed) in [
        (line(7), &[6, 4, 2, 1, 3, 5, 7][..]),
        (line(7), &[7, 5, 3, 1, 2, 4, 6]),
        (line(6), &[5, 3, 1, 2, 4, 6]),
        (grid(2, 5), &ZIG_ZAG_2X5),
        (grid(2, 5), &SPIRAL_2X5),
        (grid(2, 4), &SPIRAL_2X4),
    ] {
        assert_eq!(verify(&layout, &Rule::CentreOut, &drawn(printed)), Ok(()), "{printed:?}");
    }
}

#[test]
fn squares_take_opposite_sides_in_turn() {
    // 1 2 3 / 4 5 6 / 7 8 9: the centre, left and right, top and bottom, then the corners.
    assert_eq!(outwards(&grid(3, 3)), [5, 4, 6, 2, 8, 1, 7, 3, 9]);
    assert_eq!(outwards(&grid(2, 3)), [2, 5, 1, 4, 3, 6]);
}

#[test]
fn the_first_fastener_out_of_order_is_named() {
    let fault = |layout: &Layout, rule: &Rule, authored: &[usize]| match verify(layout, rule, authored) {
        Err(PatternError::Breaks { turn, fastener, instead, .. }) => (turn, fastener, instead),
        other => panic!("{authored:?}: {other:?}"),
    };
    assert_eq!(fault(&line(7), &Rule::CentreOut, &[1, 2, 3, 4, 5, 6, 7]), (1, 1, 4));
    assert_eq!(fault(&line(7), &Rule::CentreOut, &[4, 3, 2, 5, 6, 1, 7]), (3, 2, 5));
    // Top, then left: equally far, but the side opposite the top has its turn first.
    assert_eq!(fault(&grid(3, 3), &Rule::CentreOut, &[5, 2, 4, 6, 8, 1, 3, 7, 9]), (3, 4, 8));
    assert_eq!(fault(&grid(2, 4), &Rule::CentreOut, &[2, 6, 7, 1, 3, 5, 4, 8]), (4, 1, 3));
}

#[test]
fn orders_that_are_no_order_are_refused() {
    let check = |authored: &[usize]| verify(&line(3), &Rule::CentreOut, authored);
    assert_eq!(check(&[2, 1]), Err(PatternError::LeftOut { fastener: 3 }));
    assert_eq!(check(&[2, 1, 1]), Err(PatternError::Twice { fastener: 1 }));
    assert_eq!(check(&[2, 1, 4]), Err(PatternError::NoSuchFastener { fastener: 4, count: 3 }));
    assert_eq!(check(&[2, 1, 0]), Err(PatternError::NoSuchFastener { fastener: 0, count: 3 }));
    assert!(order(&line(3), &Rule::Authored(vec![1, 2])).is_err());
    assert_eq!(order(&line(3), &Rule::Authored(vec![3, 1, 2])), Ok(vec![3, 1, 2]));
    assert_eq!(
        verify(&line(3), &Rule::Authored(vec![3, 1, 2]), &[3, 2, 1]).unwrap_err().to_string(),
        "turn 2 tightens fastener 2 where the rule asks for one such as 1: the order is written out"
    );
}

/// ASME PCC-1 table 3, legacy cross pattern (2nd hand).
#[test]
fn the_legacy_sequences() {
    for legacy in [
        &[1, 3, 2, 4][..],
        &[1, 5, 3, 7, 2, 6, 4, 8],
        &[1, 7, 4, 10, 2, 8, 5, 11, 3, 9, 6, 12],
        &[1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
        &[1, 11, 6, 16, 3, 13, 8, 18, 5, 15, 10, 20, 2, 12, 7, 17, 4, 14, 9, 19],
        &[1, 13, 7, 19, 4, 16, 10, 22, 2, 14, 8, 20, 5, 17, 11, 23, 3, 15, 9, 21, 6, 18, 12, 24],
    ] {
        assert_eq!(crosswise(legacy.len()), legacy);
    }
    // The same pattern as labels in the order of tightening (gasket maker's work sheet, read). Labels printed
    // clockwise are the turns.
    for labels in [
        &[1, 5, 3, 7, 2, 6, 4, 8][..],
        &[1, 5, 9, 3, 7, 11, 2, 6, 10, 4, 8, 12],
        &[1, 9, 5, 13, 3, 11, 7, 15, 2, 10, 6, 14, 4, 12, 8, 16],
        &[1, 9, 17, 5, 13, 21, 3, 11, 19, 7, 15, 23, 2, 10, 18, 6, 14, 22, 4, 12, 20, 8, 16, 24],
    ] {
        assert_eq!(turns(&crosswise(labels.len())), labels);
    }
}

/// Other counts: our own rule (common practice, no source).
#[test]
fn other_counts_by_the_stated_rule() {
    assert_eq!(crosswise(3), [1, 2, 3]);
    assert_eq!(crosswise(5), [1, 3, 5, 2, 4]);
    assert_eq!(crosswise(6), [1, 4, 2, 5, 3, 6]);
    assert_eq!(crosswise(7), [1, 4, 7, 3, 6, 2, 5]);
    assert_eq!(crosswise(10), [1, 6, 3, 8, 5, 10, 2, 7, 4, 9]);
    for count in 3..=60 {
        let order = crosswise(count);
        let mut sorted = order.clone();
        sorted.sort_unstable();
        assert_eq!(sorted, (1..=count).collect::<Vec<_>>(), "{count}");
        if count % 2 == 0 {
            assert!(order.chunks(2).all(|pair| pair[0].abs_diff(pair[1]) == count / 2), "{count}");
        } else {
            let apart = |pair: &[usize]| (pair[1] + count - pair[0]) % count;
            assert!(order.windows(2).all(|pair| apart(pair) == count / 2), "{count}");
        }
    }
}

#[test]
fn crosswise_orders_are_accepted_from_any_start_either_way_round() {
    for count in 3..=24 {
        let plain = crosswise(count);
        for start in 0..count {
            for back in [false, true] {
                let moved: Vec<usize> = plain
                    .iter()
                    .map(
                        |fastener| if back { start + count - fastener } else { start + fastener } % count + 1,
                    )
                    .collect();
                assert_eq!(verify(&circle(count), &Rule::Crosswise, &moved), Ok(()), "{moved:?}");
            }
        }
        if count % 2 == 0 {
            let swapped: Vec<usize> = plain.chunks(2).flat_map(|pair| [pair[1], pair[0]]).collect();
            assert_eq!(verify(&circle(count), &Rule::Crosswise, &swapped), Ok(()), "{swapped:?}");
        }
        let going_round: Vec<usize> = (1..=count).collect();
        let verdict = verify(&circle(count), &Rule::Crosswise, &going_round);
        assert_eq!(verdict.is_ok(), count == 3, "{count}: going round is crosswise only for three");
        assert_eq!(verify(&circle(count), &Rule::Circular, &going_round), Ok(()));
        if count > 3 {
            assert!(verify(&circle(count), &Rule::Circular, &plain).is_err());
        }
    }
}

#[test]
fn a_broken_crosswise_order_names_its_first_fault() {
    let fault = |authored: &[usize]| match verify(&circle(8), &Rule::Crosswise, authored) {
        Err(PatternError::Breaks { turn, fastener, instead, .. }) => (turn, fastener, instead),
        other => panic!("{authored:?}: {other:?}"),
    };
    assert_eq!(fault(&[1, 4, 3, 7, 2, 6, 5, 8]), (2, 4, 5));
    assert_eq!(fault(&[1, 5, 2, 6, 3, 7, 4, 8]), (3, 2, 3));
    assert_eq!(fault(&[1, 5, 2, 6, 3, 8, 4, 7]).0, 3, "the wrong pair comes before the split one");
    assert_eq!(fault(&[1, 5, 3, 7, 2, 8, 4, 6]), (6, 8, 6));
}

#[test]
fn rings_may_be_rectangles_but_not_have_an_inside() {
    // The battery clamp: 1 2 / 3 4.
    assert_eq!(order(&grid(2, 2), &Rule::Crosswise), Ok(vec![1, 4, 2, 3]));
    // The top cover: 1 2 3 / 4 5 6, clockwise 1 2 3 6 5 4.
    assert_eq!(order(&grid(2, 3), &Rule::Circular), Ok(vec![1, 2, 3, 6, 5, 4]));
    assert_eq!(order(&grid(2, 3), &Rule::Crosswise), Ok(vec![1, 6, 2, 5, 3, 4]));
    assert_eq!(order(&free(&[(0, 0), (50, 0), (25, 40)]), &Rule::Crosswise), Ok(vec![1, 2, 3]));
    for (rows, columns) in [(3, 3), (3, 4), (4, 4), (4, 6), (5, 6), (4, 5)] {
        assert!(order(&grid(rows, columns), &Rule::Crosswise).is_err(), "{rows}×{columns}");
    }
    assert!(order(&line(4), &Rule::Crosswise).is_err());
    assert!(order(&circle(2), &Rule::Crosswise).is_err());
    assert!(order(&circle(8), &Rule::CentreOut).is_err());
}

#[test]
fn a_line_is_gone_along_from_either_end() {
    assert_eq!(order(&line(4), &Rule::Circular), Ok(vec![1, 2, 3, 4]));
    assert_eq!(verify(&line(4), &Rule::Circular, &[4, 3, 2, 1]), Ok(()));
    assert!(verify(&line(4), &Rule::Circular, &[2, 3, 4, 1]).is_err());
    assert_eq!(verify(&circle(4), &Rule::Circular, &[2, 3, 4, 1]), Ok(()));
}

/// The properties that all published drawings have: every fastener once, never nearer the centre than before,
/// the farthest last; and an order found by the rule passes the rule's check.
#[test]
fn centre_out_keeps_its_properties_on_any_layout() {
    let mut seed = 3_u64;
    let mut draw = || {
        seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1);
        (seed >> 33) as usize
    };
    let mut layouts: Vec<Layout> = (1..20).map(line).collect();
    layouts.extend((2..6).flat_map(|rows| (2..8).map(move |columns| edge(rows, columns))));
    layouts
        .extend((1..7).flat_map(|rows| (1..9).map(move |columns| (rows, columns))).map(|(r, c)| grid(r, c)));
    for _ in 0..200 {
        let mut places: Vec<(i64, i64)> =
            (0..3 + draw() % 9).map(|_| (draw() as i64 % 7, draw() as i64 % 5)).collect();
        places.sort_unstable();
        places.dedup();
        layouts.push(free(&places));
    }
    for layout in &layouts {
        let found = outwards(layout);
        let places = layout.positions().unwrap();
        let count = places.len() as f64;
        let middle = |along: fn(&Position) -> f64| places.iter().map(along).sum::<f64>() / count;
        let (x, y) = (middle(|place| place.x.mm()), middle(|place| place.y.mm()));
        let far = |fastener: usize| (places[fastener - 1].x.mm() - x).hypot(places[fastener - 1].y.mm() - y);
        assert!(found.windows(2).all(|pair| far(pair[0]) <= far(pair[1]) + 1e-9), "{layout:?}: {found:?}");
        assert_eq!(verify(layout, &Rule::CentreOut, &found), Ok(()), "{layout:?}: {found:?}");
        sides_alternate(&found, &places, layout);
        assert_eq!(turns(&turns(&found)), found);
        let loosened = removal(&found);
        assert_eq!((loosened.first(), loosened.last()), (found.last(), found.first()));
    }
}

/// Within a distance, whatever has a mirror image left is followed by one: left by right, or above by below.
fn sides_alternate(found: &[usize], places: &[Position], layout: &Layout) {
    let count = places.len() as i64;
    let middle_x: i64 = places.iter().map(|place| place.x.whole()).sum();
    let middle_y: i64 = places.iter().map(|place| place.y.whole()).sum();
    let off = |fastener: usize| {
        let place = places[fastener - 1];
        (place.x.whole() * count - middle_x, place.y.whole() * count - middle_y)
    };
    let mirrored = |a: (i64, i64), b: (i64, i64)| a != b && a.0.abs() == b.0.abs() && a.1.abs() == b.1.abs();
    let mut at = 0;
    while at < found.len() {
        let here = off(found[at]);
        let image_left = found[at + 1..].iter().any(|&other| mirrored(here, off(other)));
        if image_left {
            assert!(mirrored(here, off(found[at + 1])), "{layout:?}: {found:?} at {}", found[at]);
            at += 1;
        }
        at += 1;
    }
}

/// Each swap of two neighbours in an order: accepted if both are equally far and it only exchanges a fastener and
/// its mirror image, refused at the first of the two if the second is farther.
#[test]
fn neighbours_may_be_swapped_only_where_symmetry_makes_them_equal() {
    let mut refused = 0;
    for layout in [line(7), line(6), grid(2, 5), grid(3, 3), grid(2, 4), edge(3, 5), edge(2, 3)] {
        let found = outwards(&layout);
        let offsets = super::centre_out::offsets(&layout.positions().unwrap());
        let far = |fastener: usize| offsets[fastener - 1].squared();
        for at in 0..found.len() - 1 {
            let mut swapped = found.clone();
            swapped.swap(at, at + 1);
            let verdict = verify(&layout, &Rule::CentreOut, &swapped);
            if far(found[at]) < far(found[at + 1]) {
                let Err(PatternError::Breaks { turn, fastener, .. }) = verdict else {
                    panic!("{layout:?}: {swapped:?} was taken");
                };
                assert_eq!((turn, fastener), (at + 1, found[at + 1]), "{layout:?}: {swapped:?}");
                refused += 1;
            } else if layout.positions().unwrap().len() % 2 == 0 && at % 2 == 0 {
                assert_eq!(verdict, Ok(()), "{layout:?}: {swapped:?} exchanges images");
            }
        }
    }
    assert!(refused >= 14, "only {refused}");
}

#[test]
fn an_edge_is_numbered_round() {
    let places = edge(3, 3).positions().unwrap();
    let seen: Vec<(f64, f64)> = places.iter().map(|place| (place.x.mm(), place.y.mm())).collect();
    let wanted = [(0, 0), (50, 0), (100, 0), (100, 30), (100, 60), (50, 60), (0, 60), (0, 30)];
    assert_eq!(seen, wanted.map(|(x, y)| (f64::from(x), f64::from(y))));
    assert_eq!(order(&edge(3, 3), &Rule::Circular), Ok(vec![1, 2, 3, 4, 5, 6, 7, 8]));
    // The legacy sequence of eight holds round a rectangle too.
    assert_eq!(order(&edge(3, 3), &Rule::Crosswise), Ok(vec![1, 5, 3, 7, 2, 6, 4, 8]));
    assert_eq!(outwards(&edge(2, 3)), [2, 5, 1, 4, 3, 6].map(|old| [0, 1, 2, 3, 6, 5, 4][old]));
    assert!(edge(1, 3).positions().is_err() && edge(3, 0).positions().is_err());
    assert!(edge(usize::MAX, 3).positions().is_err());
}

#[test]
fn layouts_that_cannot_be_are_refused() {
    assert_eq!(line(0).positions(), Err(PatternError::Count { count: 0 }));
    assert_eq!(circle(201).positions(), Err(PatternError::Count { count: 201 }));
    assert_eq!(grid(usize::MAX, 3).positions(), Err(PatternError::Count { count: usize::MAX }));
    assert_eq!(grid(0, 3).positions(), Err(PatternError::Count { count: 0 }));
    assert_eq!(
        free(&[(1, 1), (2, 1), (1, 1)]).positions(),
        Err(PatternError::SamePlace { first: 1, second: 3 })
    );
    assert!(Layout::Line { count: 2, pitch: length("0 mm") }.positions().is_err());
    assert!(Layout::Line { count: 200, pitch: length("1 m") }.positions().is_err());
    for text in ["45 s", "0.1234 mm", "11 m"] {
        assert!(Micrometres::from_quantity(&Quantity::parse(text).unwrap()).is_err(), "{text}");
    }
}

#[test]
fn circles_start_at_the_top_and_go_clockwise() {
    let places = circle(4).positions().unwrap();
    let seen: Vec<(f64, f64)> = places.iter().map(|place| (place.x.mm(), place.y.mm())).collect();
    let wanted = [(0.0, -50.0), (50.0, 0.0), (0.0, 50.0), (-50.0, 0.0)];
    assert!(
        seen.iter().zip(wanted).all(|(a, b)| (a.0 - b.0).abs() < 1e-9 && (a.1 - b.1).abs() < 1e-9),
        "{seen:?}"
    );
}
