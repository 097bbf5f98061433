//! Lines on plain paper.

use crate::wrap::hang;

/// Narrow enough for every terminal and for A4 in 12 pt type.
pub(crate) const WIDTH: usize = 78;
/// Where the text begins after the name of a pair.
const PAIR: usize = 15;

/// Text that grows line by line.
#[derive(Default)]
pub(super) struct Paper {
    text: String,
}

impl Paper {
    pub(super) fn title(&mut self, title: &str) {
        self.line("", title);
        self.line("", &"=".repeat(WIDTH));
    }

    pub(super) fn heading(&mut self, heading: &str) {
        self.gap();
        self.line("", heading);
        self.line("", &"-".repeat(WIDTH));
    }

    /// A paragraph with something before its first line.
    pub(super) fn line(&mut self, before: &str, text: &str) {
        for line in hang(before, text, WIDTH) {
            self.text.push_str(&line);
            self.text.push('\n');
        }
    }

    pub(super) fn pair(&mut self, name: &str, text: &str) {
        self.line(&format!("{name:<PAIR$}"), text);
    }

    pub(super) fn gap(&mut self) {
        if !self.text.is_empty() && !self.text.ends_with("\n\n") {
            self.text.push('\n');
        }
    }

    pub(super) fn finish(self) -> String {
        self.text
    }
}
