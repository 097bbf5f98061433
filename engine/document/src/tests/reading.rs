//! Each fault of bytes, of YAML and of shape, once, at its exact place.

use super::{EQUIPMENT, PROCEDURE, expect, lines, read_texts, swap};
use crate::{InputFile, read};

fn bytes(bytes: &[u8]) -> Vec<String> {
    lines(&read(&[InputFile { name: "a.yaml".to_owned(), bytes: bytes.to_vec() }]))
}

#[test]
fn encodings() {
    let with_mark = [b"\xef\xbb\xbf", EQUIPMENT.as_bytes()].concat();
    assert_eq!(bytes(&with_mark), Vec::<String>::new());
    assert_eq!(bytes(EQUIPMENT.replace('\n', "\r\n").as_bytes()), Vec::<String>::new());
    assert_eq!(
        bytes(b"title: caf\xe9\nx: y\n"),
        ["R02 a.yaml:1:11 the document is not UTF-8: the byte 0xe9 does not belong here"]
    );
    assert_eq!(bytes(b"\xff\xfea\0"), ["R02 a.yaml:1:1 the document is UTF-16"]);
    assert_eq!(
        bytes(b"a: b\nc: \xc3"),
        ["R02 a.yaml:2:4 the document is not UTF-8: the byte 0xc3 does not belong here"]
    );
}

#[test]
fn characters_nobody_sees() {
    for (text, words) in [
        ("title: a«\0»b\n", "a NUL character (U+0000)"),
        ("title: a«\u{1b}»b\n", "a control character (U+001B)"),
        ("title: a«\u{202e}»b\n", "turns the direction"),
        ("title: a«\r»b\n", "carriage return"),
        ("title: é«\u{feff}»b\n", "byte order mark"),
        ("title: a«\u{200b}»b\n", "invisible"),
    ] {
        expect(&[text], &[("R03", words)]);
    }
    expect(&["a: «\u{1}»\nb: «\u{2}»\n"], &[("R03", "U+0001"), ("R03", "U+0002")]);
}

#[test]
fn no_document_or_two() {
    for text in ["", "# only a remark\n", "---\n", "~\n", "\n\n"] {
        assert_eq!(lines(&read_texts(&[text])), ["R08 a.yaml:1:1 the document is empty"], "{text:?}");
    }
    expect(&["procedure: x\n«---»\nprocedure: y\n"], &[("R08", "a second document begins here")]);
}

#[test]
fn faults_of_yaml() {
    for (text, words) in [
        ("steps:\n«\t»- a\n", "a tab stands here"),
        ("a: «\"»bc\nd: e\n", "never closed"),
        ("a: b«:» c\n", "put the text in quotes"),
        ("a: «@»b\n", "cannot begin with `@`"),
        ("a: {b: c«]»\n", "`{` is closed by `]`"),
        ("a: [b, c\nd«:» e\n", "no key can be"),
        ("a:\n  - id: x\n   d«o»: y\n", "indentation"),
        ("a: «%»b\n", "quotes"),
        ("a: b\n«]»\n", "closing bracket"),
    ] {
        let (plain, _) = super::marked(text);
        let reading = read_texts(&[&plain]);
        assert_eq!(reading.findings.len(), 1, "{text}: {:?}", lines(&reading));
        assert_eq!(reading.findings[0].code, "R04", "{text}");
        let told = format!("{} | {:?}", reading.findings[0].message, reading.findings[0].help);
        assert!(told.contains(words), "{text}: {told}");
    }
    expect(&["steps:\n«\t»- a\n"], &[("R04", "replace it by spaces")]);
    expect(&["a: b«:» c\n"], &[("R04", "where no key can be")]);
    let reading = read_texts(&["a: [b, c\nd: e\n"]);
    assert_eq!(reading.findings[0].notes[0].1, "this bracket is still open");
}

#[test]
fn faults_of_the_tree_are_all_told() {
    expect(
        &["a: 1\nb: «&x» 2\nc: «*x»\n«a»: 3\n? «[»1, 2]\n: 4\n«1»: x\n«true»: y\n«»: z\nd: !!str «4»\n"],
        &[
            ("R07", "anchors"),
            ("R07", "aliases"),
            ("R05", "`a` stands twice"),
            ("R06", "a list or a map stands in its place"),
            ("R06", "`\"1\"`"),
            ("R06", "`\"true\"`"),
            ("R06", "a key is missing"),
            ("R07", "tags"),
        ],
    );
    let long = format!("«{}»: x\n", "k".repeat(201));
    expect(&[&long], &[("R06", "at most 200 bytes")]);
}

#[test]
fn faults_of_shape() {
    let cases = [
        ("title: Clean", "«titel»: Clean", "R11", "did you mean `title`?"),
        ("scope: The strainer in the tank outlet only.\n", "", "R12", "`scope` is missing"),
        (
            "scope: The strainer in the tank outlet only.",
            "«scope»:",
            "R13",
            "expected text for `scope`, found nothing",
        ),
        (
            "revision: 2",
            "revision: «two»",
            "R13",
            "expected a whole number for `revision`, found the text `two`",
        ),
        ("revision: 2", "revision: «2.5»", "R13", "found the number `2.5`"),
        ("revision: 2", "revision: «-1»", "R13", "`revision` has to be at least 0"),
        ("revision: 2", "revision: «1e10»", "R13", "has to be at most"),
        ("purpose: Keep the flow up.", "purpose: «12»", "R13", "put it in quotes: `\"12\"`"),
        ("purpose: Keep the flow up.", "purpose: «\"\"»", "R13", "`purpose` is empty"),
        ("purpose: Keep the flow up.", "purpose: «[a, b]»", "R13", "found a list"),
        ("time: 15 min", "time: «15»", "R13", "a figure needs its unit, such as `45 s`"),
        ("at_most: 10 ohm", "at_most: «10»", "R13", "a figure needs its unit"),
        ("procedure: strainer-clean", "procedure: «Strainer Clean»", "R14", "lower-case words joined by `-`"),
        ("effective: 2026-11-02", "effective: «tomorrow»", "R14", "a day is written"),
        ("effective: 2026-11-02", "effective: «2026-11-31»", "R14", "not a day of the calendar"),
        ("performers: { technician: 1 }", "performers: { «Technician»: 1 }", "R14", "names are"),
        ("performers: { technician: 1 }", "performers: { technician: «0» }", "R13", "has to be at least 1"),
        ("performers: { technician: 1 }", "performers: «{}»", "R13", "needs at least one entry"),
        ("continuous", "«continous»", "R15", "did you mean `continuous`?"),
        (
            "tools: [spanner]\nsupplies",
            "tools: «spanner»\nsupplies",
            "R13",
            "the word `none` or a list of names",
        ),
        ("spares: none", "spares: «[]»", "R13", "write `none`"),
        ("supply: isolated", "supply: «true»", "R13", "expected text or a list of texts for `supply`"),
        ("tank: empty", "tank: [«1»]", "R13", "expected text"),
        ("    do: Wipe the bowl.", "    «od»: Wipe the bowl.", "R11", "did you mean `do`?"),
        ("    action: isolate\n", "", "R16", "has no main key"),
        (
            "    action: isolate",
            "    action: isolate\n    «do»: Wait.",
            "R16",
            "has 2 main keys: `action` and `do`",
        ),
        ("id: last\n", "«ID»: last\n", "R11", "did you mean `id`?"),
        ("pass: tighten", "pass: «tigten»", "R15", "did you mean `tighten`?"),
        ("released_by: supervisor", "«release_by»: supervisor", "R11", "did you mean `released_by`?"),
        ("warn: [shock]", "warn: «shock»", "R13", "expected a list for `warn` of step `last`"),
        ("at_most: 3", "at_most: «0»", "R13", "has to be at least 1"),
        ("retests: 1", "retests: «\"1\"»", "R13", "expected a whole number"),
        ("confirm: { pressure: relieved }", "confirm: «{}»", "R13", "needs at least one entry"),
        ("yes: last", "yes: «4»", "R13", "expected a name or a map"),
        ("then: stop } }", "then: «Stop» } }", "R14", "`Stop` is not a name"),
        ("    action: isolate", "    action: «Isolate it»", "R14", "is not a name"),
    ];
    for (from, to, code, words) in cases {
        // A key that is not there has no place of its own; the map that should hold it is shown.
        let text = swap(PROCEDURE, from, to);
        match (text.contains('«'), code) {
            (true, _) => expect(&[EQUIPMENT, &text], &[(code, words)]),
            (false, "R12") => {
                expect(&[EQUIPMENT, &swap(&text, "procedure:", "«procedure»:")], &[(code, words)])
            }
            (false, _) => expect(&[EQUIPMENT, &swap(&text, "id: last", "«id»: last")], &[(code, words)]),
        }
    }
}

#[test]
fn faults_of_shape_in_equipment() {
    for (from, to, code, words) in [
        ("values: [empty, rinse, product]", "values: «[empty]»", "R13", "`values` needs at least 2 entries"),
        ("worst: death", "worst: «deth»", "R15", "did you mean `death`?"),
        ("layout: line", "layout: «row»", "R15", "`line`, `grid`, `edge`, `circle` or `free`"),
        ("tip: [fine, medium]", "tip: «[]»", "R13", "needs at least one entry"),
        ("bore: 6 mm", "bore: «true»", "R13", "for `bore`"),
        ("when: { supply: live, cover: [loose, open] }", "when: «{}»", "R13", "needs at least one entry"),
        ("settles: { from: present,", "settles: { «form»: present,", "R11", "did you mean `from`?"),
        ("restores: true", "restores: «yes»", "R13", "expected `true` or `false`"),
        ("unit: ohm", "unit: «5»", "R13", "a figure needs its unit"),
    ] {
        expect(&[&swap(EQUIPMENT, from, to)], &[(code, words)]);
    }
}

#[test]
fn neither_kind() {
    expect(&["«proceduer»: x\n"], &[("R10", "did you mean `procedure`?")]);
    expect(&["«a»: x\n"], &[("R10", "begin with")]);
    expect(&["«just text»"], &[("R10", "something else")]);
}

#[test]
fn several_faults_in_one_document_are_all_told() {
    let mut text = PROCEDURE.to_owned();
    for (from, to) in [
        ("title: Clean", "«titel»: Clean"),
        ("time: 15 min", "time: «15»"),
        ("do: Wipe the left side.", "«doo»: Wipe the left side."),
        ("    hold:", "    «do»: Wait.\n    hold:"),
        ("hold: {", "«hold»: {"),
    ] {
        text = swap(&text, from, to);
    }
    text = text.replacen("    «do»: Wait.", "    do: Wait.", 1);
    expect(
        &[EQUIPMENT, &text],
        &[("R11", "titel"), ("R13", "15"), ("R11", "doo"), ("R16", "`do` and `hold`")],
    );
}

/// The keys of what is seen, when, and by whom: each of its kind alone.
#[test]
fn faults_of_shape_of_what_is_seen() {
    for (from, to, code, words) in [
        ("seen_by: measure", "seen_by: «mesure»", "R15", "did you mean `measure`?"),
        ("seen_by: measure", "seen_by: «[look]»", "R13", "found a list"),
        ("seen_by: measure", "«sen_by»: measure", "R11", "did you mean `seen_by`?"),
        ("seen_when: { cover: [loose, open] }", "seen_when: «{}»", "R13", "needs at least one entry"),
        ("seen_when: { cover: [loose, open] }", "seen_when: «cover»", "R13", "expected a map"),
        ("keeps: true", "keeps: «yes»", "R13", "expected `true` or `false`"),
        ("while: { supply: isolated }", "while: «nothing»", "R13", "expected the word `none` or a map"),
        ("while: { supply: isolated }", "while: «{}»", "R13", "needs at least one entry"),
        ("while: { supply: isolated }", "while: «[supply]»", "R13", "expected"),
        ("lost_when: { cover: open }", "lost_when: «[]»", "R13", "needs at least one entry"),
        ("lost_when: { cover: open }", "lost_when: [«{}»]", "R13", "needs at least one entry"),
        ("lost_when: { cover: open }", "lost_when: «{}»", "R13", "needs at least one entry"),
        ("lost_when: { cover: open }", "lost_when: [«cover»]", "R13", "expected a map"),
        ("lost_when: { cover: open }", "lost_when: «cover»", "R13", "a map or a list"),
        ("people: 2", "people: «0»", "R13", "at least 1"),
        ("people: 2", "people: «two»", "R13", "expected a whole number"),
        ("verified_by: supervisor", "verified_by: «[supervisor]»", "R13", "found a list"),
        ("released_by: supervisor", "released_by: «The Boss»", "R14", "is not a name"),
    ] {
        expect(&[&swap(EQUIPMENT, from, to)], &[(code, words)]);
    }
}
