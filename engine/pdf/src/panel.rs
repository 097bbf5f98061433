//! Warnings: signal word and symbol first, then hazard, consequence and how to avoid it (OASIS DITA 1.3, read).

use crate::error::Error;
use crate::set::{Face, Piece, Setter, Type};
use crate::stack::{Fill, Frame, Ink, Mark, Stack, Tone};
use crate::tree::{NodeId, Role};
use card::page::{SignalWord, Warning};
use std::rc::Rc;

/// Width of the panel with the word, beside the text.
const PANEL: f32 = 96.0;
/// Width of the symbol with the white after it.
const SYMBOL: f32 = 15.0;
const SYMBOL_ROOM: f32 = 21.0;
const PAD: f32 = 4.0;
/// Size of the signal word.
const WORD: f32 = 11.5;

impl Setter {
    /// A warning in its frame. A compact one leaves the consequence out: it was given in full just before.
    pub(crate) fn warning(
        &mut self,
        warning: &Warning,
        compact: bool,
        width: f32,
        parent: NodeId,
    ) -> Result<Stack, Error> {
        // The symbol follows from the word.
        let Warning { word, symbol: _, hazard, consequence, avoid } = warning;
        let mut pieces = vec![Piece::strong(hazard)];
        if !compact {
            pieces.push(Piece::plain(format!(" {consequence}")));
        }
        pieces.push(Piece::plain(format!(" {avoid}")));
        self.panel(*word, &pieces, width, parent)
    }

    /// A text in a frame with a signal word.
    pub(crate) fn panel(
        &mut self,
        word: SignalWord,
        pieces: &[Piece],
        width: f32,
        parent: NodeId,
    ) -> Result<Stack, Error> {
        let whole = self.tree.add(parent, Role::Division);
        let word_leaf = self.tree.add(whole, Role::Paragraph);
        let text_leaf = self.tree.add(whole, Role::Paragraph);
        let (fill, tone) = look(word);
        let word = self.signal(word, tone, word_leaf)?;
        let kind = self.body();
        if self.format.narrow {
            let mut panel = word.right(6.0).framed(0.0, width, 1.5, 1.0, fill).whole();
            let text = self.text(pieces, kind, width - 12.0, Some(text_leaf))?.right(6.0);
            if let Some(last) = panel.strips.last_mut() {
                last.glued = true;
            }
            panel.push(text.framed(0.0, width, 3.0, 1.0, Fill::None));
            return Ok(panel);
        }
        let text = self.text(pieces, kind, width - PANEL - 16.0, Some(text_leaf))?.right(PANEL + 8.0);
        let mut panel = Stack::beside(vec![word.right(8.0), text]).framed(0.0, width, PAD, 1.0, Fill::None);
        let end = panel.strips.len();
        panel.frames.push(Frame { first: 0, end, x: 0.0, width: PANEL, line: 1.0, fill });
        Ok(panel)
    }

    fn signal(&mut self, signal: SignalWord, tone: Tone, leaf: NodeId) -> Result<Stack, Error> {
        let kind = Type { size: WORD, face: Face::Strong, tone };
        let (word, _) = self.short(signal.word(), kind)?;
        let height = kind.leading();
        let baseline = WORD + 0.8;
        let mut marks = Vec::new();
        let mut right = 0.0;
        if signal.has_symbol() {
            right = SYMBOL_ROOM;
            let alt = Some(Rc::from("safety alert symbol"));
            let ink = Ink::Alert { width: SYMBOL, tone, ground: look(signal).0 };
            marks.push(Mark { x: 0.0, y: baseline + 1.2, leaf: Some(leaf), alt, ink });
        }
        marks.extend(word.into_iter().map(|mark| Mark {
            x: mark.x + right,
            y: baseline,
            leaf: Some(leaf),
            ..mark
        }));
        Ok(Stack::strip(height, Some(baseline), marks))
    }
}

/// Ground and letters of a panel (ANSI Z535.4: grounds read, letters 2nd); values that stand in for the standard's
/// physical colours, with contrasts of 5.9, 8.5, 14.4 and 4.9 in this order.
fn look(word: SignalWord) -> (Fill, Tone) {
    match word {
        SignalWord::Danger => (Fill::Red, Tone::White),
        SignalWord::Warning => (Fill::Orange, Tone::Black),
        SignalWord::Caution => (Fill::Yellow, Tone::Black),
        SignalWord::Notice => (Fill::Blue, Tone::White),
    }
}

#[cfg(test)]
mod tests {
    use super::look;
    use crate::draw::{colour, grey};
    use card::page::SignalWord;

    /// Relative luminance and contrast as WCAG 2.2 has them (read; ratio 2nd).
    fn luminance(rgb: [u8; 3]) -> f64 {
        let [red, green, blue] = rgb.map(|value| {
            let value = f64::from(value) / 255.0;
            if value <= 0.04045 { value / 12.92 } else { ((value + 0.055) / 1.055).powf(2.4) }
        });
        0.2126 * red + 0.7152 * green + 0.0722 * blue
    }

    fn contrast(one: [u8; 3], other: [u8; 3]) -> f64 {
        let (one, other) = (luminance(one) + 0.05, luminance(other) + 0.05);
        one.max(other) / one.min(other)
    }

    #[test]
    fn signal_words_stand_out_on_their_ground_in_grey_as_well() {
        assert!((contrast([0, 0, 0], [255, 255, 255]) - 21.0).abs() < 1e-9);
        assert!((contrast([0x77; 3], [255; 3]) - 4.4781).abs() < 1e-4);
        for (word, least) in [
            (SignalWord::Danger, 5.8),
            (SignalWord::Warning, 8.4),
            (SignalWord::Caution, 14.3),
            (SignalWord::Notice, 4.8),
        ] {
            let (fill, tone) = look(word);
            let ground = colour(fill).expect("a ground");
            // Contrast is of luminance alone, so that it is the same where there is no colour.
            assert!(contrast(ground, [grey(tone); 3]) > least, "{word:?}");
        }
    }

    #[test]
    fn text_and_lines_have_a_contrast_of_seven_on_white() {
        for tone in [crate::stack::Tone::Black, crate::stack::Tone::Grey] {
            assert!(contrast([grey(tone); 3], [255; 3]) > 7.0, "{tone:?}");
        }
    }
}
