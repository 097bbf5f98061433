//! Which pages come to lie where on the sides of a sheet.

/// How pages lie on sheets.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub(crate) enum Order {
    /// One page a side.
    Single,
    /// Four a side in reading order, line by line.
    Four,
    /// Four a side so that sheets, printed on both sides and cut across, fold into a booklet.
    Booklet,
}

/// For each side of each sheet the pages on it, from 0: from left to right, then from top to bottom. A place without a
/// page stays blank.
pub(crate) fn sides(count: usize, order: Order) -> Vec<Vec<Option<usize>>> {
    match order {
        Order::Single => (0..count).map(|page| vec![Some(page)]).collect(),
        Order::Four => (0..count)
            .step_by(4)
            .map(|first| (first..first + 4).map(|page| within(page, count)).collect())
            .collect(),
        Order::Booklet => booklet(count),
    }
}

fn within(page: usize, count: usize) -> Option<usize> {
    (page < count).then_some(page)
}

/// The order of saddle stitching (common practice, no source), outermost leaf first. The upper halves of all sheets hold
/// the outer leaves, the lower halves the inner ones, so that after the cut one pile goes on the other as it lies.
fn booklet(count: usize) -> Vec<Vec<Option<usize>>> {
    let leaves = count.div_ceil(4);
    let last = 4 * leaves;
    let sheets = leaves.div_ceil(2);
    // The pages at the left and at the right of a leaf; none beyond the innermost.
    let leaf = |at: usize, back: bool| {
        let pages = match back {
            false => [last.wrapping_sub(2 * at + 1), 2 * at],
            true => [2 * at + 1, last.wrapping_sub(2 * at + 2)],
        };
        pages.map(|page| if at < leaves { within(page, count) } else { None })
    };
    (0..sheets)
        .flat_map(|sheet| [false, true].map(|back| [leaf(sheet, back), leaf(sheet + sheets, back)].concat()))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::{Order, sides};

    #[test]
    fn pages_in_order_fill_sheet_after_sheet() {
        assert_eq!(sides(2, Order::Single), [vec![Some(0)], vec![Some(1)]]);
        assert_eq!(
            sides(5, Order::Four),
            [vec![Some(0), Some(1), Some(2), Some(3)], vec![Some(4), None, None, None]]
        );
    }

    /// The usual statement of saddle stitching for eight pages on two leaves: 8, 1 | 2, 7 and 6, 3 | 4, 5 (common
    /// practice, no source).
    #[test]
    fn eight_pages_are_two_leaves_one_in_the_other() {
        let shown: Vec<Vec<usize>> = sides(8, Order::Booklet)
            .into_iter()
            .map(|side| side.into_iter().map(|page| page.map_or(0, |page| page + 1)).collect())
            .collect();
        assert_eq!(shown, [[8, 1, 6, 3], [2, 7, 4, 5]]);
    }

    /// Cut, pile up, fold: the leaves are then read from 1 to the last, whatever their number.
    #[test]
    fn any_number_of_pages_is_read_in_order_after_cutting_and_folding() {
        for count in 1..=130 {
            let sides = sides(count, Order::Booklet);
            let half = |lower: usize| {
                sides.chunks(2).map(move |sheet| {
                    [0, 1].map(|back: usize| [0, 1].map(|right| sheet[back][2 * lower + right]))
                })
            };
            let pile: Vec<[[Option<usize>; 2]; 2]> = half(0).chain(half(1)).collect();
            let outside_in = pile.iter().flat_map(|[front, back]| [front[1], back[0]]);
            let inside_out = pile.iter().rev().flat_map(|[front, back]| [back[1], front[0]]);
            let read: Vec<usize> = outside_in.chain(inside_out).flatten().collect();
            assert_eq!(read, (0..count).collect::<Vec<_>>(), "{count} pages");
            assert_eq!(sides.len(), 2 * count.div_ceil(8), "no sheet more than needed");
        }
    }
}
