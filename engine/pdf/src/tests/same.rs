//! The same page gives the same bytes; what differs gives others.

use super::{PAPERS, act, on, page};

#[test]
fn the_same_page_gives_the_same_bytes_and_another_others() {
    let one = page(&[act("Turn the key."), act("Shut the lid.")]);
    let other = page(&[act("Turn the key."), act("Open the lid.")]);
    for paper in PAPERS {
        let bytes = on(&one, paper).unwrap();
        assert!(bytes.starts_with(b"%PDF-1.7"));
        assert!(bytes == on(&one, paper).unwrap(), "{paper:?}");
        assert!(bytes != on(&other, paper).unwrap(), "{paper:?}");
    }
}

#[test]
fn any_number_of_steps_and_any_kind_of_them_conforms() {
    // The writer's validator refuses what does not conform to PDF/UA-1 and PDF/A-2a.
    for count in [3, 40, 120] {
        let steps: Vec<String> = (0..count)
            .map(|at| match at % 6 {
                0 => format!(
                    "{}\nwarn: [shock]\nnote: A *note* on `{at}`.\nexpect: It is so.",
                    act("Turn the **key**.")
                ),
                1 => format!("{}\ntools: [key]\nby: technician", act("- one\n- two\n\n> three")),
                2 => "confirm: { lid: shut }\notherwise: stop".to_owned(),
                3 => "wait: { for: 30 s, why: It settles. }".to_owned(),
                4 => "hold: { released_by: technician, check: Look. }".to_owned(),
                _ => "any_order:\n  - { id: a, do: One. }\n  - { id: b, do: Two. }"
                    .replace("id: ", &format!("id: i{at}-")),
            })
            .collect();
        let page = page(&steps);
        for paper in PAPERS {
            on(&page, paper).unwrap();
        }
    }
}
