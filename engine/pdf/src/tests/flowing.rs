//! What belongs together stands together.

use super::{PAPERS, act, page};
use crate::flow::{Group, Placed, flow};
use crate::options::Format;
use crate::parts::compose;
use crate::stack::Stack;

const HEIGHT: f32 = 100.0;

/// Lines of 10 points.
fn lines(count: usize) -> Stack {
    let mut stack = Stack::default();
    (0..count).for_each(|_| stack.push(Stack::strip(10.0, None, Vec::new())));
    stack
}

fn group(count: usize) -> Group {
    Group { stack: lines(count), before: 5.0, ..Group::default() }
}

/// Lines of each part on each page.
fn shape(pages: &[Vec<Placed>]) -> Vec<Vec<usize>> {
    pages.iter().map(|page| page.iter().map(|placed| placed.strips.len()).collect()).collect()
}

#[test]
fn a_group_goes_whole_to_the_page_where_it_fits() {
    let pages = flow(vec![group(6), group(4), group(9)], HEIGHT);
    assert_eq!(
        shape(&pages),
        [vec![6], vec![4], vec![9]],
        "6 and 4 lines and the white between are too much"
    );
    let pages = flow(vec![group(5), group(4)], HEIGHT);
    assert_eq!(shape(&pages), [vec![5, 4]]);
}

#[test]
fn a_heading_goes_with_what_follows() {
    let heading = Group { with_next: true, ..group(1) };
    let pages = flow(vec![group(7), heading.clone(), heading, group(2)], HEIGHT);
    assert_eq!(shape(&pages), [vec![7], vec![1, 1, 2]]);
}

#[test]
fn what_is_longer_than_a_page_is_split_between_lines_and_says_so() {
    let long = Group { breaks: Some((lines(1), lines(2))), ..group(25) };
    let pages = flow(vec![group(5), long], HEIGHT);
    // A full page has 9 lines and the note; the next ones the other note, and so on.
    assert_eq!(shape(&pages), [vec![5], vec![9, 1], vec![2, 7, 1], vec![2, 7, 1], vec![2, 2]]);
    for page in &pages {
        let end = page.iter().map(|placed| placed.y + 10.0 * placed.strips.len() as f32).fold(0.0, f32::max);
        assert!(end <= HEIGHT + 0.1, "a page ends at {end}");
    }
}

#[test]
fn glued_lines_are_not_parted_if_that_can_be_had() {
    let mut stack = lines(12);
    stack.strips[8].glued = true;
    stack.strips[9].glued = true;
    let pages = flow(vec![Group { stack, ..Group::default() }], HEIGHT);
    assert_eq!(shape(&pages), [vec![8], vec![4]]);
    let pages = flow(vec![Group { stack: lines(12).whole(), ..Group::default() }], HEIGHT);
    assert_eq!(shape(&pages), [vec![10], vec![2]], "it cannot be had");
}

#[test]
fn the_headers_of_a_table_stand_again_on_the_next_page() {
    let head = Group { with_next: true, ..group(1) };
    let row = Group { again: Some(lines(1)), before: 0.0, ..group(4) };
    let pages = flow(vec![head, row.clone(), row.clone(), row], HEIGHT);
    assert_eq!(shape(&pages), [vec![1, 4, 4], vec![1, 4]]);
}

#[test]
fn columns_part_where_all_of_them_may() {
    let mut short = lines(3);
    short.strips[0].glued = true;
    let both = Stack::beside(vec![lines(5), short]);
    let heights: Vec<f32> = both.strips.iter().map(|strip| strip.height).collect();
    assert_eq!(heights, [20.0, 10.0, 10.0, 10.0], "not after the first line of the second column");
}

/// Every step that fits on a page is on one; the others are told apart from it.
#[test]
fn no_step_that_fits_on_a_page_is_parted() {
    let steps: Vec<String> = (0..60)
        .map(|at| format!("{}\nwarn: [shock]\nexpect: It is so.", act(&"Lift the cover. ".repeat(at + 1))))
        .collect();
    let page = page(&steps);
    for paper in PAPERS {
        let format = Format::for_paper(paper);
        let room = format.height - format.top - format.bottom - 60.0;
        let (groups, _) = compose(&page, format).unwrap();
        let whole: Vec<(String, usize)> = groups
            .iter()
            .filter(|group| group.stack.height() <= room)
            .filter_map(|group| Some((group.bookmark.clone()?.1, group.stack.strips.len())))
            .collect();
        assert!(whole.len() > 20);
        let pages = flow(groups, room);
        for (name, strips) in whole {
            let placed = pages
                .iter()
                .flatten()
                .find(|placed| placed.bookmark.as_ref().is_some_and(|(_, title)| *title == name));
            // White at the head of a page is left out, so that a strip or two may be missing, but no text.
            let placed = placed.unwrap_or_else(|| panic!("`{name}` has no place"));
            assert!(placed.strips.len() + 1 >= strips, "{paper:?}: `{name}` is parted");
        }
        for page in &pages {
            for placed in page {
                let height: f32 = placed.strips.iter().map(|strip| strip.height).sum();
                assert!(placed.y + height <= room + 0.2, "{paper:?}: something runs over the foot of a page");
            }
        }
    }
}

#[test]
fn a_row_longer_than_a_page_goes_on_below_the_headers() {
    let head = Group { with_next: true, ..group(1) };
    let row = |count| Group { stack: lines(count).whole(), again: Some(lines(1)), ..Group::default() };
    let pages = flow(vec![head, row(4), row(25), row(2)], HEIGHT);
    assert_eq!(shape(&pages), [vec![1, 4], vec![1, 9], vec![10], vec![6, 2]]);
}
