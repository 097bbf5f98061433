//! Making documents smaller for as long as something can still be seen with them, so that a person can read what is left.

use crate::documents::library;
use document::Library;
use serde_json::Value;

/// The documents without whatever can be taken out of them, one thing after the other, while the reader accepts them and
/// `still` says that what is looked for is still there.
pub fn smaller(documents: Vec<Value>, mut still: impl FnMut(&Library) -> bool) -> Vec<Value> {
    let mut documents = documents;
    loop {
        let before = documents.clone();
        for at in 0..documents.len() {
            let mut paths = Vec::new();
            collect(&documents[at], "", &mut paths);
            // What holds others first: most of it goes at once.
            for path in paths {
                let mut fewer = documents.clone();
                if !take_out(&mut fewer[at], &path) {
                    continue;
                }
                if library(&fewer.iter().collect::<Vec<_>>()).is_ok_and(|library| still(&library)) {
                    documents = fewer;
                }
            }
        }
        if documents == before {
            return documents;
        }
    }
}

/// Pointers to everything in a value, the last of each list first, so that taking one out moves none that is still to come.
fn collect(value: &Value, at: &str, paths: &mut Vec<String>) {
    match value {
        Value::Object(map) => {
            for (key, inner) in map {
                let path = format!("{at}/{}", key.replace('~', "~0").replace('/', "~1"));
                paths.push(path.clone());
                collect(inner, &path, paths);
            }
        }
        Value::Array(list) => {
            for (index, inner) in list.iter().enumerate().rev() {
                let path = format!("{at}/{index}");
                paths.push(path.clone());
                collect(inner, &path, paths);
            }
        }
        Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_) => {}
    }
}

/// Takes out what stands at a pointer, if it is there.
fn take_out(value: &mut Value, path: &str) -> bool {
    let Some((above, last)) = path.rsplit_once('/') else { return false };
    match value.pointer_mut(above) {
        Some(Value::Object(map)) => map.shift_remove(&last.replace("~1", "/").replace("~0", "~")).is_some(),
        Some(Value::Array(list)) => {
            let index = last.parse().ok().filter(|&index: &usize| index < list.len());
            index.map(|index| list.remove(index)).is_some()
        }
        Some(Value::Null | Value::Bool(_) | Value::Number(_) | Value::String(_)) | None => false,
    }
}

#[cfg(test)]
mod tests {
    use super::smaller;
    use crate::judge::{Fault, Judged, explore};
    use crate::varied::varied_documents;
    use document::Library;

    #[test]
    fn what_is_left_still_shows_it_and_nothing_more() {
        let unmended = |library: &Library| {
            library.procedures.contains_key("main")
                && explore(&Judged::new(library, "main"), 10_000)
                    .is_ok_and(|found| found.faults.iter().any(|fault| matches!(fault, Fault::Unmended(_))))
        };
        let with_it = (0..200).map(varied_documents).find(|documents| {
            let all: Vec<_> = documents.iter().collect();
            crate::documents::library(&all).is_ok_and(|library| unmended(&library))
        });
        let documents = with_it.expect("one of the random ones has it");
        let before: usize = documents.iter().map(|document| document.to_string().len()).sum();
        let left = smaller(documents, unmended);
        let after: usize = left.iter().map(|document| document.to_string().len()).sum();
        assert!(after * 10 < before * 7, "{before} bytes became {after}: {left:#?}");
        assert_eq!(smaller(left.clone(), unmended), left, "nothing more can be taken out");
    }
}
