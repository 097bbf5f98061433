//! Maps of the demo pump, of long and of random procedures.

use super::{Area, COLUMN_HEIGHT, COLUMN_WIDTH, COLUMNS_ACROSS, Column, Map, Role};
use crate::page::{Detail, Page, Route, StepBox, build};
use crate::tests::page;
use document::InputFile;
use std::sync::LazyLock;

/// Steps of every kind to draw from.
static TEMPLATE: LazyLock<Page> = LazyLock::new(page);

/// A step of an invented procedure; `seed` decides its kind and where it may lead.
fn step(number: usize, count: usize, seed: &mut u64) -> StepBox {
    let mut draw = |most: usize| {
        *seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
        (*seed >> 33) as usize % most
    };
    // Three of five are acts, as in the demo library.
    let kinds = ["lift", "lift", "lift", "lift", "lift", "lift", "look", "choose", "release", "soak"];
    let mut step = crate::tests::step(&TEMPLATE, kinds[draw(kinds.len())]).clone();
    step.number = number.to_string();
    step.id = "a-title-of-some-length-and-more".chars().take(4 + draw(28)).collect();
    step.inner.clear();
    let mut way = |when: &str| match draw(4) {
        0 => Route { when: when.into(), to: "stop work".into(), step: None, stops: true },
        1 => Route { when: when.into(), to: "go to Restoration".into(), step: None, stops: false },
        _ => {
            let to = (1 + draw(count)).to_string();
            Route { when: when.into(), to: format!("go to step {to}"), step: Some(to), stops: false }
        }
    };
    for route in &mut step.routes {
        *route = way("If not,");
    }
    if let Detail::Ask { answers } = &mut step.detail {
        *answers = vec![way("yes"), way("no"), way("an answer that is rather long for a box of the map")];
    }
    step
}

fn random(count: usize, mut seed: u64) -> Map {
    let mut steps: Vec<StepBox> = (1..=count).map(|number| step(number, count, &mut seed)).collect();
    if count > 8 {
        // Items in any order and a repeat inside of them.
        let block = steps.iter().take(4).cloned().collect();
        let mut group = crate::tests::step(&TEMPLATE, "clean").clone();
        let mut rounds = crate::tests::step(&TEMPLATE, "rounds").clone();
        rounds.inner = block;
        group.inner = vec![rounds.clone(), rounds];
        steps.insert(4, group);
    }
    Map::from_steps(&steps)
}

/// Whether two rectangles share more than an edge.
fn overlap(one: &Area, other: &Area) -> bool {
    one.x < other.x + other.width
        && other.x < one.x + one.width
        && one.y < other.y + other.height
        && other.y < one.y + one.height
}

fn apart(areas: &[Area]) -> bool {
    areas.iter().enumerate().all(|(at, one)| areas[at + 1..].iter().all(|other| !overlap(one, other)))
}

fn check(map: &Map) {
    for column in &map.columns {
        let areas: Vec<Area> = column.boxes.iter().map(|one| one.area).collect();
        assert!(apart(&areas), "boxes overlap: {areas:?}");
        assert!(column.height <= COLUMN_HEIGHT, "{}", column.height);
        for area in areas.iter().chain(column.frames.iter().map(|frame| &frame.area)) {
            assert!(area.x >= 0 && area.x + area.width <= COLUMN_WIDTH && area.y >= 0, "{area:?}");
            assert!(area.y + area.height <= column.height, "{area:?} in {}", column.height);
        }
        for frame in &column.frames {
            let crossed = column.boxes.iter().filter(|one| {
                let inside = one.area.x > frame.area.x
                    && one.area.y > frame.area.y
                    && one.area.x + one.area.width < frame.area.x + frame.area.width
                    && one.area.y + one.area.height < frame.area.y + frame.area.height;
                overlap(&one.area, &frame.area) && !inside
            });
            assert_eq!(crossed.count(), 0, "a frame cuts a box");
        }
        labels_stand_free(column);
        lines_pass_by_boxes(column);
    }
}

/// Every text stands in one box, below the text before it, or in a strip that no box touches.
fn labels_stand_free(column: &Column) {
    let mut seen: Vec<Area> = Vec::new();
    for label in &column.labels {
        let bold = matches!(label.role, Role::Number | Role::Stop);
        let width = if bold { super::measure::bold(&label.text) } else { super::measure::width(&label.text) };
        let x = match label.anchor {
            super::Anchor::Start => label.x,
            super::Anchor::Middle => label.x - width / 2,
            super::Anchor::End => label.x - width,
        };
        let area = Area { x, y: label.y - 30, width, height: 38 };
        let holding = column.boxes.iter().filter(|one| overlap(&one.area, &area)).collect::<Vec<_>>();
        if label.role == Role::Strip {
            assert!(holding.is_empty(), "{label:?} on a box");
        } else {
            let [one] = holding[..] else { panic!("{label:?} stands on {} boxes", holding.len()) };
            assert!(x >= one.area.x && x + width <= one.area.x + one.area.width, "{label:?} in {one:?}");
        }
        assert!(seen.iter().all(|other| !overlap(other, &area)), "{label:?} on another text");
        seen.push(area);
    }
}

fn lines_pass_by_boxes(column: &Column) {
    for line in &column.lines {
        for pair in line.points.windows(2) {
            let ((x, y), (to_x, to_y)) = (pair[0], pair[1]);
            let area =
                Area { x: x.min(to_x), y: y.min(to_y), width: (to_x - x).abs(), height: (to_y - y).abs() };
            for one in &column.boxes {
                let inner = Area {
                    x: one.area.x + 1,
                    y: one.area.y + 1,
                    width: one.area.width - 2,
                    height: one.area.height - 2,
                };
                let thick = Area { width: area.width.max(1), height: area.height.max(1), ..area };
                assert!(!overlap(&thick, &inner), "{line:?} through {one:?}");
            }
        }
    }
}

#[test]
fn nothing_overlaps_from_five_steps_to_sixty_and_beyond() {
    for count in (5..=60).chain([90, 120]) {
        for seed in 0..4 {
            check(&random(count, seed * 977 + count as u64));
        }
    }
}

/// The longest of the bundled procedures has 72 steps, of which some twenty are gates and decisions.
#[test]
fn sixty_steps_stand_on_one_page_and_the_rest_on_a_second() {
    let bundled = [
        include_str!("../../../../procedures/oskerry-22/equipment.yaml"),
        include_str!("../../../../procedures/oskerry-22/battery-replacement.yaml"),
    ];
    let files =
        bundled.map(|text| InputFile { name: "bundled.yaml".into(), bytes: text.as_bytes().to_vec() });
    let library = document::read(&files).library;
    let page =
        build(&library, &"battery-replacement".into(), &crate::tests::standing(), None).expect("a page");
    check(&page.map);
    let boxes: Vec<usize> = page.map.columns.iter().map(|column| column.boxes.len()).collect();
    let on_the_first: usize = boxes.iter().take(COLUMNS_ACROSS).sum();
    assert!(on_the_first >= 60, "{boxes:?}");
    assert!(boxes.iter().sum::<usize>() > 71 + 3, "{boxes:?} with the beginning and the ends");
    assert!(boxes.len() <= 2 * COLUMNS_ACROSS, "{boxes:?}");
}

#[test]
fn every_step_and_every_way_of_the_card_is_on_the_map() {
    let page = page();
    let map = &page.map;
    check(map);
    let numbers: Vec<&str> = map
        .columns
        .iter()
        .flat_map(|column| &column.labels)
        .filter(|label| label.role == Role::Number)
        .map(|label| label.text.as_str())
        .collect();
    let steps: Vec<&str> =
        crate::tests::all_steps(&page.steps).into_iter().map(|step| step.number.as_str()).collect();
    assert_eq!(numbers, steps);
    let text = super::text(map);
    for line in [
        "start: -> 1",
        "1: if not -> stop; -> 2",
        "4: yes -> 6; no -> 5; unsure -> stop; cannot tell -> stop",
        "5: in any order -> 5.1; in any order -> 5.2",
        "5.2: -> 6",
        "7.2: again -> 7.1; after 3 -> 12; -> 8",
        "11: -> done",
        "12: -> stop",
    ] {
        assert!(text.lines().any(|found| found == line), "{line}\n{text}");
    }
    let svg = super::svg(map, "Service <script>");
    assert!(svg.contains("Service &lt;script&gt;") && !svg.contains("<script"));
    assert_eq!(svg, super::svg(&crate::tests::page().map, "Service <script>"), "the same bytes");
}
