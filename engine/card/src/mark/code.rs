//! A text as a QR code (ISO/IEC 18004), module by module.

use qrcodegen::{QrCode, QrCodeEcc};
use serde::Serialize;
use std::fmt::Write as _;

/// Light modules that must stay round the code (ISO/IEC 18004, quiet zone of 4 modules; memory).
const QUIET: i32 = 4;

/// A square of dark and light modules.
#[derive(Clone, Debug, PartialEq, Eq, Serialize)]
pub struct Code {
    /// Modules on a side, without the quiet zone.
    pub side: u32,
    /// One text a row from the top, one character a module from the left: `#` is dark, `.` is light.
    pub rows: Vec<String>,
    /// The dark modules as one path in a square of [`Code::with_quiet`] units on a side, quiet zone included.
    pub path: String,
    /// The side of that square.
    pub with_quiet: u32,
}

impl Code {
    /// Draws the code of a text; none if the text is too long for any (some 2,300 bytes).
    ///
    /// The level of error correction restores some 15 % of the codewords ("M"; memory): a laminated card is scratched.
    #[must_use]
    pub fn encode(text: &str) -> Option<Self> {
        let code = QrCode::encode_text(text, QrCodeEcc::Medium).ok()?;
        let side = code.size();
        let row = |y: i32| (0..side).map(|x| if code.get_module(x, y) { '#' } else { '.' }).collect();
        let rows: Vec<String> = (0..side).map(row).collect();
        let with_quiet = side + 2 * QUIET;
        Some(Self {
            side: side.unsigned_abs(),
            path: path(&rows),
            rows,
            with_quiet: with_quiet.unsigned_abs(),
        })
    }

    /// Whether a module is dark, counted from the top left without the quiet zone. Outside the code all is light.
    #[must_use]
    pub fn is_dark(&self, x: u32, y: u32) -> bool {
        let row = self.rows.get(y as usize);
        row.and_then(|row| row.as_bytes().get(x as usize)) == Some(&b'#')
    }
}

/// Dark modules that touch in a row are one rectangle.
fn path(rows: &[String]) -> String {
    let mut path = String::new();
    for (y, row) in rows.iter().enumerate() {
        let mut x = 0;
        for run in row.as_bytes().chunk_by(|one, other| one == other) {
            if run.first() == Some(&b'#') {
                let quiet = QUIET.unsigned_abs() as usize;
                // Writing to a string cannot fail.
                let _ = write!(path, "M{} {}h{}v1h-{}z", x + quiet, y + quiet, run.len(), run.len());
            }
            x += run.len();
        }
    }
    path
}
