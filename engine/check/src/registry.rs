//! Every code with its explanation: those of the rules, and those of what reading finds.

use crate::rules;
use std::sync::LazyLock;

/// What a code means, written for the person who writes procedures.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub struct Explanation {
    /// The stable code, such as `P01`.
    pub code: &'static str,
    /// The fault in one line, without a full stop.
    pub title: &'static str,
    /// The rest in Markdown: what, why, a bad and a good sample, the source. A sample holds what differs from the
    /// document that all samples share.
    pub body: &'static str,
}

impl Explanation {
    /// All of it in Markdown, with its heading.
    #[must_use]
    pub fn text(&self) -> String {
        let Self { code, title, body } = self;
        format!("# {code} {title}\n\n{body}")
    }
}

/// The families of what reading finds; those of the rules stand with the rules.
const OF_READING: [(char, &str); 4] =
    [('A', "Amounts"), ('F', "Fasteners"), ('N', "Names and what they stand for"), ('R', "Reading")];

/// Without the explanation of a code this does not compile.
macro_rules! explained {
    ($($code:ident $title:literal)*) => {
        &[$(Explanation {
            code: stringify!($code),
            title: $title,
            body: include_str!(concat!(env!("CARGO_MANIFEST_DIR"), "/explained/", stringify!($code), ".md")),
        }),*]
    };
}

static READING: &[Explanation] = document::codes_of_reading!(explained);

static ALL: LazyLock<Vec<Explanation>> = LazyLock::new(|| {
    let rules =
        rules::all().map(|rule| Explanation { code: rule.code, title: rule.title, body: rule.explained });
    let mut all: Vec<Explanation> = READING.iter().copied().chain(rules).collect();
    all.sort_by_key(|explanation| explanation.code);
    all
});

/// The families of codes by their letter, with what they are about.
#[must_use]
pub fn families() -> Vec<(char, &'static str)> {
    let of_rules = rules::FAMILIES.iter().map(|family| (family.letter, family.about));
    let mut all: Vec<(char, &str)> = OF_READING.into_iter().chain(of_rules).collect();
    all.sort_unstable();
    all
}

/// All explanations, in the order of their codes.
#[must_use]
pub fn explanations() -> &'static [Explanation] {
    &ALL
}

/// The explanation of a code, in capitals or not; `None` for a code that does not exist.
#[must_use]
pub fn explain(code: &str) -> Option<&'static Explanation> {
    ALL.iter().find(|explanation| explanation.code.eq_ignore_ascii_case(code))
}
