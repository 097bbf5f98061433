//! Marks as they are written, scanned and copied.

use super::{Code, Difference, Mark, MarkError, Verdict};

fn mark(revision: u32, digit: char) -> Mark {
    Mark { id: "tip-swap".into(), revision, content: digit.to_string().repeat(64) }
}

#[test]
fn a_mark_reads_back_as_it_was_written() {
    let written = mark(3, 'a').to_string();
    assert_eq!(written, format!("gatewright-card 1 tip-swap 3 {}", "a".repeat(64)));
    assert_eq!(Mark::parse(&written), Ok(mark(3, 'a')));
    let copied = format!(" gatewright-card  1 tip-swap\n3 {}\n{}\n", "A".repeat(32), "a".repeat(32));
    assert_eq!(Mark::parse(&copied), Ok(mark(3, 'a')), "broken into lines, in capitals");
}

#[test]
fn what_is_no_mark_is_told_apart() {
    let hash = "0".repeat(64);
    for (text, why) in [
        (String::new(), MarkError::NoMark),
        ("hello".into(), MarkError::NoMark),
        (format!("gatewright-card 1 {}", "x".repeat(1 << 20)), MarkError::NoMark),
        (format!("gatewright-card 2 tip-swap 3 {hash}"), MarkError::OtherForm),
        ("gatewright-card".into(), MarkError::Parts),
        ("gatewright-card 1 tip-swap 3".into(), MarkError::Parts),
        (format!("gatewright-card 1 tip-swap +3 {hash}"), MarkError::Revision),
        (format!("gatewright-card 1 tip-swap 99999999999 {hash}"), MarkError::Revision),
        (format!("gatewright-card 1 tip-swap 3 {hash}0"), MarkError::Content),
        (format!("gatewright-card 1 tip-swap 3 {}g", "0".repeat(63)), MarkError::Content),
    ] {
        assert_eq!(Mark::parse(&text), Err(why), "{:.60}", text);
    }
}

#[test]
fn the_differing_part_is_named() {
    let now = mark(3, 'a');
    let same = now.compare(&now, true);
    assert_eq!(same, Verdict { differs: None, approved: true });
    assert!(same.holds());
    assert!(!now.compare(&now, false).holds(), "current alone is not enough");
    for (card, differs) in [
        (mark(2, 'a'), Difference::Older { now: 3 }),
        (mark(4, 'b'), Difference::Newer { here: 3 }),
        (mark(3, 'b'), Difference::Content),
    ] {
        let verdict = card.compare(&now, true);
        assert_eq!(verdict.differs, Some(differs));
        assert!(!verdict.holds());
    }
}

/// The three finder patterns and the timing pattern are where ISO/IEC 18004 puts them (memory); that the whole can be
/// read is tested with a general-purpose decoder in `tests/scenarios/screens`.
#[test]
fn the_code_has_the_parts_that_every_code_has() {
    let code = Code::encode(&mark(3, 'a').to_string()).expect("short enough");
    assert_eq!(code.side % 4, 1, "21 modules and a multiple of 4");
    let far = code.side - 7;
    for (x, y) in [(0, 0), (far, 0), (0, far)] {
        for at in 0..7 {
            assert!(code.is_dark(x + at, y) && code.is_dark(x + at, y + 6), "finder at {x}, {y}");
        }
        assert!(!code.is_dark(x + 1, y + 1) && code.is_dark(x + 3, y + 3));
    }
    for at in 8..code.side - 8 {
        assert_eq!(code.is_dark(at, 6), at % 2 == 0, "timing at {at}");
    }
    assert!(!code.is_dark(code.side, 0), "outside all is light");
    assert!(code.path.starts_with("M4 4h7v1h-7z"), "{}", code.path);
    assert_eq!(Code::encode(&"x".repeat(3000)), None);
}
