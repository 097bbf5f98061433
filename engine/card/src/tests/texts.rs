//! Every text that the documents call filled is filled in by the card, and no other.

use super::{ADJUST, PUMP, SERVICE, library, standing};
use crate::page::{PageError, build};
use document::{Document, InputFile, Shown, Text, read, texts_of_equipment, texts_of_procedure};

/// What the card of `service` finds fault with, by JSON pointer, after one text of these documents was written anew; and
/// whether reading told of the text.
fn faults<T>(
    document: &Document<T>,
    files: &[(&str, &str)],
    name: &str,
    text: &Text<'_>,
) -> (Vec<String>, bool) {
    let span = document.place(&text.at).span;
    let files: Vec<InputFile> = files
        .iter()
        .map(|(other, whole)| {
            let mut whole = (*whole).to_owned();
            if *other == name {
                whole.replace_range(span.start..span.end, "'{{ nothing }}'");
            }
            InputFile { name: (*other).to_owned(), bytes: whole.into_bytes() }
        })
        .collect();
    let reading = read(&files);
    let told = reading.findings.iter().any(|finding| finding.code == "A08");
    let faults = match build(&reading.library, &"service".into(), &standing(), None) {
        Ok(_) => Vec::new(),
        Err(PageError::Texts(faults)) => faults.into_iter().map(|fault| fault.pointer).collect(),
        Err(error) => panic!("{}: {error}", text.at),
    };
    (faults, told)
}

#[test]
fn what_is_filled_in_is_what_the_documents_say() {
    let library = library(SERVICE);
    let files = [("pump.yaml", PUMP), ("service.yaml", SERVICE), ("adjust.yaml", ADJUST)];
    let service = &library.procedures["service"];
    let pump = &library.equipment[&service.model.equipment];
    let mut filled = 0;
    for text in texts_of_procedure(&service.model).iter().filter(|text| !text.key) {
        let (faults, told) = faults(service, &files, "service.yaml", text);
        assert!(told, "{}: reading does not tell of it", text.at);
        let is_filled = text.shown == Shown::Filled;
        assert_eq!(faults == [text.at.to_string()], is_filled, "{}: {faults:?}", text.at);
        filled += usize::from(is_filled);
    }
    assert!(filled > 12, "{filled}");
    let used = |text: &Text<'_>| {
        let name = text.at.strip_prefix("/actions/").and_then(|rest| rest.strip_suffix("/do"));
        name.is_some_and(|name| SERVICE.contains(&format!("action: {name}")))
    };
    for text in &texts_of_equipment(&pump.model) {
        // A value that is written otherwise is another value, and then it is missing where it was named.
        if text.at.contains("/values/") || text.at.starts_with("/variants") {
            continue;
        }
        let (faults, told) = faults(pump, &files, "pump.yaml", text);
        assert!(told, "{}: reading does not tell of it", text.at);
        let is_filled = text.shown == Shown::Filled && used(text);
        assert_eq!(faults == [text.at.to_string()], is_filled, "{}: {faults:?}", text.at);
        assert!(is_filled || faults.is_empty(), "{}: {faults:?}", text.at);
    }
}
