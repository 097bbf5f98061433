//! Figures, units and limits in running text.

use crate::rule::{Remark, Rule, remark};
use crate::text::lists::{APPROXIMATE, Phrase};
use crate::text::phrases::{begins, phrase};
use crate::text::{Role, Text, Word};
use calc::quantity::Unit;
use document::model::Equipment;

pub(super) const RULES: &[Rule] = &[
    rule!("W05", Advice, "A figure is approximate and has no limits", Text(approximate_figure)),
    rule!("W25", Advice, "No space stands between a figure and its unit", Text(unit_without_space)),
    rule!("W26", Advice, "A unit is not written with its symbol", Text(unit_word)),
    rule!("W27", Advice, "A figure of a quantity has no unit", Text(figure_without_unit)),
    rule!("W28", Advice, "A range is written as a value with a tolerance", Text(nominal_and_tolerance)),
    rule!("W29", Advice, "Of a limit nobody knows whether it counts", Text(open_limit)),
    rule!("W39", Advice, "An amount has no figure", Text(no_figure)),
];

fn approximate_figure(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let near = |words: &[Word<'_>]| {
        words
            .windows(2)
            .find(|pair| pair[0].is(APPROXIMATE) && pair[1].is_figure())
            .map(|pair| pair[1].raw.to_owned())
    };
    let figure = text.sentences.iter().find_map(|sentence| near(&sentence.words))?;
    remark(format!("gives {figure} without limits"), "give the least and the greatest value")
}

fn unit_without_space(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let glued = |word: &str| {
        let end = word.find(|letter: char| !letter.is_ascii_digit() && letter != '.');
        let unit = end.map(|at| &word[at..]).filter(|unit| !matches!(*unit, "°" | "%"));
        unit.is_some_and(|unit| Unit::parse(unit).is_ok())
    };
    let word = text.words().find(|word| word.is_figure() && glued(word.raw))?;
    remark(format!("has no space before the unit of `{}`", word.raw), "put a space between figure and unit")
}

fn unit_word(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let symbols = [
        ("sec", "s"),
        ("secs", "s"),
        ("hr", "h"),
        ("hrs", "h"),
        ("mins", "min"),
        ("kgs", "kg"),
        ("gms", "g"),
        ("mtr", "m"),
        ("mtrs", "m"),
        ("ltr", "L"),
        ("ltrs", "L"),
        ("lit", "L"),
        ("Nm", "N·m"),
        ("cc", "mL"),
        ("amps", "A"),
        ("deg", "°"),
        ("KG", "kg"),
        ("Kg", "kg"),
    ];
    let wrong =
        |pair: &&[Word<'_>]| pair[0].is_figure() && symbols.iter().any(|(word, _)| pair[1].raw == *word);
    let [figure, unit] = text.sentences.iter().find_map(|sentence| sentence.words.windows(2).find(wrong))?
    else {
        return None;
    };
    let symbol = symbols.iter().find(|(word, _)| unit.raw == *word).map_or("", |(_, symbol)| symbol);
    remark(
        format!("says `{} {}`, which is `{} {symbol}`", figure.raw, unit.raw, figure.raw),
        "write the unit with its symbol",
    )
}

fn figure_without_unit(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let quantity = |word: &str| {
        matches!(
            word,
            "torque"
                | "pressure"
                | "temperature"
                | "voltage"
                | "current"
                | "distance"
                | "gap"
                | "resistance"
                | "flow"
                | "weight"
        )
    };
    let bare = |words: &[Word<'_>]| {
        let named = words.iter().position(|word| quantity(&word.lower))?;
        let at = (named + 1..words.len()).find(|&at| words[at].is_figure())?;
        let figure = &words[at];
        let alone = figure.raw.chars().all(|letter| letter.is_ascii_digit() || letter == '.');
        let mut near = words[at + 1..].iter().take(3);
        (alone && at - named < 5 && !near.any(|word| Unit::parse(word.raw).is_ok()))
            .then(|| figure.raw.to_owned())
    };
    let figure = text.sentences.iter().find_map(|sentence| bare(&sentence.words))?;
    remark(format!("gives {figure} without a unit"), "write the unit after the figure")
}

fn nominal_and_tolerance(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    (text.raw.contains('±') || text.raw.contains("+/-")).then_some(())?;
    remark("gives a value with a tolerance", "write the least and the greatest value: \"15 mm to 21 mm\"")
}

fn open_limit(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    if !text.role.instructs() && !matches!(text.role, Role::Ask | Role::Expect | Role::What) {
        return None;
    }
    let phrases =
        ["less than", "more than", "greater than", "smaller than", "above", "below", "over", "under"];
    let open = |words: &[Word<'_>]| {
        let phrase = phrases.iter().find(|phrase| begins(words, phrase))?;
        let figure = words.get(phrase.split(' ').count()).filter(|word| word.is_figure())?;
        Some(format!("{phrase} {}", figure.raw))
    };
    let found = text
        .sentences
        .iter()
        .find_map(|sentence| (0..sentence.words.len()).find_map(|at| open(&sentence.words[at..])))?;
    remark(format!("says `{found}`"), "say \"at least\" or \"at most\"")
}

fn no_figure(text: &Text<'_>, _: &Equipment) -> Option<Remark> {
    let found =
        phrase(text, Phrase::Quantity).filter(|_| text.role != Role::Purpose && text.role != Role::Scope)?;
    remark(format!("says `{found}`"), "give the figure with its unit")
}
