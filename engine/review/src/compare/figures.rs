//! Figures, lists and words.

use super::change::Class;
use super::pair::Pair;
use calc::quantity::Quantity;
use document::model::{Equipment, Figure, Name, Procedure};
use std::cmp::Ordering;

/// Which side of a figure is asked for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(super) enum Bound {
    /// More is stricter: a wait, a least reading.
    Least,
    /// Less is stricter: a limit, a greatest reading.
    Most,
}

/// A figure for every case of the variants it depends on.
fn cases(
    equipment: &Equipment,
    procedure: &Procedure,
    figure: &Figure,
) -> Vec<(Vec<(Name, String)>, Quantity)> {
    let cases = document::figure_cases(equipment, Some(procedure), figure).unwrap_or_default();
    cases.into_iter().map(|case| (case.variants, case.quantity)).collect()
}

/// How a bound differs; `None` if it does not. Where it is less strict for one machine it is weaker, whatever it is for
/// others.
pub(super) fn bound(
    pair: &Pair<'_>,
    bound: Bound,
    old: Option<&Figure>,
    new: Option<&Figure>,
) -> Option<(Class, String)> {
    let (before, after) = match (old, new) {
        (None, None) => return None,
        (Some(old), None) => return Some((Class::Weakened, format!("{old} is no longer asked for"))),
        (None, Some(new)) => return Some((Class::Strengthened, format!("{new} is asked for"))),
        (Some(before), Some(after)) => (before, after),
    };
    let old = cases(&pair.old.equipment.model, &pair.old.procedure.model, before);
    let new = cases(&pair.new.equipment.model, &pair.new.procedure.model, after);
    let (mut weaker, mut stricter) = (None, None);
    for (variants, new) in &new {
        let fits = |known: &&(Vec<(Name, String)>, Quantity)| {
            known.0.iter().all(|one| variants.contains(one))
                || variants.iter().all(|one| known.0.contains(one))
        };
        for (_, old) in old.iter().filter(fits) {
            let order = new.compare(old).unwrap_or(Ordering::Equal);
            let less = if bound == Bound::Least { Ordering::Less } else { Ordering::Greater };
            let of: Vec<&str> = variants.iter().map(|(_, value)| value.as_str()).collect();
            let of = if of.is_empty() { String::new() } else { format!(" for {}", of.join(", ")) };
            let message = format!("{new}{of}, before {old}");
            if order == less {
                weaker.get_or_insert(message);
            } else if order != Ordering::Equal {
                stricter.get_or_insert(message);
            }
        }
    }
    let weaker = weaker.map(|message| (Class::Weakened, message));
    weaker.or(stricter.map(|message| (Class::Strengthened, message)))
}

/// "tools: no longer `timer`, now `ohmmeter`".
pub(super) fn lists(of: &str, old: &[Name], new: &[Name]) -> String {
    let missing = |from: &[Name], other: &[Name]| -> Vec<String> {
        from.iter().filter(|name| !other.contains(name)).map(|name| format!("`{name}`")).collect()
    };
    let (gone, come) = (missing(old, new), missing(new, old));
    let part = |word: &str, names: &[String]| {
        if names.is_empty() { String::new() } else { format!(" {word} {}", names.join(", ")) }
    };
    match (gone.is_empty(), come.is_empty()) {
        (true, true) => format!("{of} in another order"),
        _ => format!("{of}:{}{}", part("no longer", &gone), part("now", &come)),
    }
}

/// How a text differs; `None` if only its spaces do.
pub(super) fn wording(old: Option<&str>, new: Option<&str>) -> Option<String> {
    let plain = |text: Option<&str>| text.map(|text| text.split_whitespace().collect::<Vec<_>>().join(" "));
    let (old, new) = (plain(old), plain(new));
    if old == new {
        return None;
    }
    let quoted = |text: Option<String>| text.map_or("nothing".to_owned(), |text| format!("“{text}”"));
    Some(format!("reads {}, before {}", quoted(new), quoted(old)))
}
