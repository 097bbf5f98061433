//! Text that means mischief is shown as it stands, or refused with its place.

use super::{PAPERS, act, on, page};
use crate::{Error, Paper};

#[test]
fn a_character_that_no_font_has_is_named_with_its_place() {
    for (text, character) in [("Press 開.", '開'), ("Press \u{1f9f0}.", '\u{1f9f0}'), ("กด", 'ก')] {
        let page = page(&[act("Turn the key."), act(text)]);
        let error = on(&page, Paper::A4).unwrap_err();
        assert_eq!(error, Error::NoGlyph { character, place: "step 2".to_owned() });
        let code = format!("U+{:04X}", u32::from(character));
        assert!(error.to_string().contains(&code), "{error}");
    }
}

#[test]
fn scripts_and_signs_of_the_trade_are_all_there() {
    let signs =
        "☐ ☑ ⚠ Ω Ω µ μ · × ÷ ° ± ≤ ≥ ≠ ≈ → ← ↑ ↓ − – — … “ ” ‘ ’ « » ½ ² ³ √ ∞ Δ ∑ ⌀ № § € £ ™ © \u{fffd}";
    let greek = "ΑΒΓΔΕΖΗΘΙΚΛΜΝΞΟΠΡΣΤΥΦΧΨΩ αβγδεζηθικλμνξοπρςστυφχψω άέήίόύώΐΰ";
    let cyrillic = "АБВГДЕЁЖЗИЙКЛМНОПРСТУФХЦЧШЩЪЫЬЭЮЯ абвгдеёжзийклмнопрстуфхцчшщъыьэюя ЇїЄєІіҐґ";
    let latin: String =
        ('\u{20}'..='\u{24f}').filter(|letter| !letter.is_control() && *letter != '\u{ad}').collect();
    // Written from right to left, and joined; both are in the second font.
    let others = "שלום מכונה مفتاح التشغيل";
    for text in [signs, greek, cyrillic, &latin, others] {
        on(&page(&[act(&format!("{text} **{text}** *{text}*"))]), Paper::A4).unwrap();
    }
}

#[test]
fn long_words_and_long_steps_go_on_every_paper() {
    let word = "x".repeat(5_000);
    let steps = [
        act(&word),
        act(&"Lift the cover straight up, then set it on the mat. ".repeat(50)),
        format!(
            "{}\nnote: {}\nexpect: {word}",
            act("Turn the key."),
            "Read this note to its end. ".repeat(60)
        ),
        act(&"{{".replace("{{", "`{` `}` <b>bold</b> &amp; ${x} %s \\n")),
    ];
    for paper in PAPERS {
        on(&page(&steps), paper).unwrap();
    }
}

#[test]
fn a_text_without_end_goes_on_as_many_pages_as_it_takes() {
    let long = vec![act(&"W".repeat(250_000))];
    // There is more to say of the map of so many steps than a file says of one figure.
    let many = vec![act("Turn the key."); 4_000];
    for steps in [long, many] {
        let bytes = on(&page(&steps), Paper::Pocket).unwrap();
        let pages = bytes.windows(11).filter(|word| word == b"/Type/Page/").count();
        assert!(pages > 400, "{pages}");
    }
}
