//! Texts that people typed, for paper: what no font has is named, because a record must always print.

use crate::error::Error;
use crate::options::{Format, Paper};
use crate::set::{Face, Setter, Type};
use crate::stack::Tone;
use card::sheet::Sheet;
use std::collections::BTreeMap;
use std::fmt::Write;

/// Writes each character that is in none of the fonts as its number in Unicode, such as `[U+4E2D]`, and so those that only
/// turn text round or hide it.
///
/// # Errors
/// For a fault of our own.
pub fn legible(sheet: &mut Sheet) -> Result<(), Error> {
    let mut set = Setter::new(Format::for_paper(Paper::A4));
    let kind = Type { size: 10.0, face: Face::Plain, tone: Tone::Black };
    let mut known: BTreeMap<char, bool> = BTreeMap::new();
    let mut fault = None;
    sheet.each_text(&mut |text| {
        let mut written = String::new();
        for letter in text.chars() {
            let has = *known.entry(letter).or_insert_with(|| {
                if letter.is_whitespace() || card::is_unseen(letter) {
                    return letter.is_whitespace();
                }
                match set.short(letter.encode_utf8(&mut [0; 4]), kind) {
                    Ok(_) => true,
                    Err(Error::NoGlyph { .. }) => false,
                    Err(other) => {
                        fault = Some(other);
                        true
                    }
                }
            });
            if has {
                written.push(letter);
            } else {
                // Writing to a string cannot fail.
                let _ = write!(written, "[U+{:04X}]", u32::from(letter));
            }
        }
        *text = written;
    });
    fault.map_or(Ok(()), Err)
}
