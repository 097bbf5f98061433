//! The style sheet's colours and sizes.

use crate::html::STYLE;
use std::collections::BTreeMap;

/// Relative luminance and contrast as W3C WCAG 2.2 defines them (luminance read, ratio 2nd hand).
fn contrast(one: &str, other: &str) -> f64 {
    let (one, other) = (luminance(one), luminance(other));
    (one.max(other) + 0.05) / (one.min(other) + 0.05)
}

fn luminance(hex: &str) -> f64 {
    let channel = |at: usize| {
        let value = f64::from(u8::from_str_radix(&hex[at..at + 2], 16).unwrap()) / 255.0;
        if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
    };
    0.2126 * channel(1) + 0.7152 * channel(3) + 0.0722 * channel(5)
}

/// The colours of the light and of the dark scheme, by name.
fn schemes() -> [BTreeMap<&'static str, &'static str>; 2] {
    let read = |block: &'static str| -> Vec<(&'static str, &'static str)> {
        let body = block.split_once(":root {").unwrap().1.split_once('}').unwrap().0;
        let lines = body
            .lines()
            .filter_map(|line| line.trim().strip_prefix("--")?.strip_suffix(';')?.split_once(": "));
        lines.collect()
    };
    let light: BTreeMap<_, _> = read(STYLE).into_iter().collect();
    let mut dark = light.clone();
    dark.extend(read(STYLE.split_once("prefers-color-scheme: dark").unwrap().1));
    [light, dark]
}

/// 21, 4.54 and 4.48 published (2nd hand); 7.0047 ours.
#[test]
fn the_formula_gives_the_published_values() {
    for (one, other, ratio) in [
        ("#000000", "#ffffff", 21.0),
        ("#767676", "#ffffff", 4.5422),
        ("#777777", "#ffffff", 4.4781),
        ("#ffff00", "#ffffff", 1.0738),
        ("#595959", "#ffffff", 7.0047),
    ] {
        assert!((contrast(one, other) - ratio).abs() < 5e-5, "{one} on {other}: {}", contrast(one, other));
    }
}

/// At least 4.5 for text (WCAG 2.2 1.4.3, 2nd hand) and 3 for boxes and lines that mean something (1.4.11, 2nd hand).
#[test]
fn every_pair_of_colours_can_be_told_apart() {
    for colours in schemes() {
        for (front, back) in [
            ("ink", "paper"),
            ("ink", "tint"),
            ("soft", "paper"),
            ("soft", "tint"),
            ("accent", "paper"),
            ("accent", "tint"),
            ("stop", "paper"),
            ("stop", "tint"),
            ("on-danger", "danger"),
            ("on-warning", "warning"),
            ("on-caution", "caution"),
            ("on-notice", "notice"),
        ] {
            let ratio = contrast(colours[front], colours[back]);
            assert!(ratio >= 4.5, "{front} on {back}: {ratio}");
        }
        let ratio = contrast(colours["rule"], colours["paper"]);
        assert!(ratio >= 3.0, "rule on paper: {ratio}");
    }
}

#[test]
fn no_colour_stands_outside_the_schemes() {
    let definitions =
        STYLE.lines().filter(|line| line.trim_start().starts_with("--") && line.contains('#')).count();
    assert_eq!(STYLE.matches('#').count(), definitions);
    for word in ["rgb(", "hsl(", " white;", " black;", " red;"] {
        assert!(!STYLE.contains(word), "{word}");
    }
}

/// 10 pt at least (CAP 676 issue 3 ch. 7, 2nd hand); the drawing's own units are not points.
#[test]
fn no_type_is_smaller_than_ten_points() {
    let mut found = 0;
    for (at, _) in STYLE.match_indices("pt") {
        let number: String = STYLE[..at]
            .chars()
            .rev()
            .take_while(|letter| letter.is_ascii_digit() || *letter == '.')
            .collect();
        let number: String = number.chars().rev().collect();
        let Ok(size) = number.parse::<f64>() else { continue };
        found += 1;
        assert!(size >= 10.0, "{size} pt");
    }
    assert!(found > 10, "sizes are given in points");
}

#[test]
fn tick_boxes_are_large_enough_for_a_pen_and_a_glove() {
    let tick = STYLE.split_once(".tick {").unwrap().1.split_once('}').unwrap().0;
    for side in ["width: ", "height: "] {
        let size: f64 = tick.split_once(side).unwrap().1.split_once("mm").unwrap().0.parse().unwrap();
        assert!(size >= 5.0, "{side}{size} mm");
    }
}
