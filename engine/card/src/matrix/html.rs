//! Matrices as one self-contained HTML file.

use super::model::{INTRODUCTION, Matrix};
use crate::html::{STYLE, environment};
use minijinja::context;
use minijinja::value::{Serde, Value};

/// Lays matrices out, one after another.
///
/// # Errors
/// A fault of the built-in templates, never of the content.
pub fn html(matrices: &[Matrix]) -> Result<String, minijinja::Error> {
    let pages: Vec<Value> = matrices.iter().map(values).collect();
    environment()?.get_template("matrix.html")?.render(context! {
        matrices => pages,
        style => STYLE,
        introduction => INTRODUCTION,
    })
}

/// A matrix with the words that its data stand for.
pub(crate) fn values(matrix: &Matrix) -> Value {
    let hazards = matrix.hazards.iter().map(|hazard| {
        let rules = hazard.rules.iter().map(|rule| {
            context! { rule => &rule.name, words => rule.words(), holds => !rule.verdict.is_against() }
        });
        let exposures = hazard.exposures.iter().map(|exposure| {
            let controls = exposure.by_kind().map(|(kind, text)| context! { kind => kind, text => text });
            context! {
                step => &exposure.step, title => &exposure.title, by => &exposure.by, gap => &exposure.gap,
                controls => controls.collect::<Vec<_>>(),
            }
        });
        context! {
            name => &hazard.name, word => hazard.word.word(), symbol => hazard.word.has_symbol(), message => &hazard.message,
            gaps => hazard.gaps, rules => rules.collect::<Vec<_>>(), exposures => exposures.collect::<Vec<_>>(),
        }
    });
    context! { head => Value::from(Serde(matrix)), hazards => hazards.collect::<Vec<_>>() }
}
