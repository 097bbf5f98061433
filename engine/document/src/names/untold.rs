//! That nobody can tell is an answer which every look has. Given once more, under a name that only looks like it, the same words
//! would go two ways.

use super::routes::Routes;
use super::scope::Scope;
use crate::codes::N24;
use crate::diagnostic::Diagnostic;
use crate::model::{Condition, Name, Question, Step};
use crate::places::pointer;

/// How it is written, without what stands between the words.
const UNTOLD: [&str; 2] = ["cannottell", "canttell"];

/// Whether a word says that nobody can tell, however it is written.
fn says_untold(word: &str) -> bool {
    let letters = word.chars().filter(|letter| letter.is_alphanumeric());
    UNTOLD.contains(&&*letters.flat_map(char::to_lowercase).collect::<String>())
}

impl Routes<'_> {
    /// No answer of a question is the one that it has already.
    pub(super) fn untold_answers(&mut self, at: &str, step: &Step, question: &Question) {
        for word in question.answers.keys().filter(|word| says_untold(word)) {
            let place = self.key(&pointer(&format!("{at}/answers"), word));
            let message = format!(
                "`{word}` is no answer of its own: every question has it already, and who cannot tell at step `{}` stops work",
                step.common.id
            );
            let help = "delete it, or where it has a way of its own rename it to what is seen then, such as `unclear`";
            self.tell(Diagnostic::error(N24, place, message).help(help));
        }
    }
}

impl Scope<'_> {
    /// No value of a condition is what every look at it can be answered with.
    pub(super) fn untold_values(&mut self, name: &Name, condition: &Condition) {
        for (index, value) in condition.values.iter().enumerate().filter(|(_, value)| says_untold(value)) {
            let place = self.at(&format!("{}/values/{index}", pointer("/conditions", name)));
            let message = format!(
                "`{value}` is no value of `{name}`: every look can be answered so already, whatever the machine is like"
            );
            let help = "delete it, or rename it to what is so of the machine then";
            self.tell(Diagnostic::error(N24, place, message).help(help));
        }
    }
}
