//! The hazard and control matrix on paper: landscape, a table for each hazard.

use super::{Composer, GAP};
use crate::error::Error;
use crate::file::{About, paged};
use crate::flow::NEW_PAGE;
use crate::head::Running;
use crate::options::{Format, Options};
use crate::set::Piece;
use crate::table::{Grid, cell};
use crate::tree::Role;
use card::count;
use card::matrix::{HazardRow, INTRODUCTION, Matrix, RuleLine, Verdict};

const TITLE: &str = "Hazards and controls";
const HEADERS: [&str; 3] = ["Step", "Exposed by", "Controls found"];
/// Parts of the width for them.
const SHARES: [f32; 3] = [0.13, 0.26, 0.61];

/// Puts matrices on paper, each from a page of its own. Pocket paper is too small: they go to the sheet it is cut from.
///
/// # Errors
/// As [`crate::render`].
pub fn matrix(matrices: &[Matrix], options: &Options) -> Result<Vec<u8>, Error> {
    let format = Format::landscape(options.paper);
    let mut composer = Composer::new(format);
    composer.title(TITLE, 20.0)?;
    composer.paragraph(GAP, INTRODUCTION)?;
    for (at, matrix) in matrices.iter().enumerate() {
        composer.matrix(matrix, at > 0)?;
    }
    let named: Vec<String> =
        matrices.iter().map(|matrix| format!("{}, revision {}", matrix.id, matrix.revision)).collect();
    let content = match matrices {
        [one] => one.content.clone(),
        _ => String::new(),
    };
    let titles: Vec<&str> = matrices.iter().map(|matrix| matrix.title.as_str()).collect();
    let contents: Vec<&str> = matrices.iter().map(|matrix| matrix.content.as_str()).collect();
    // Dates are written so that the latest is the greatest.
    let latest = matrices.iter().filter_map(|matrix| matrix.effective.clone()).max();
    let dated = match matrices {
        [one] => format!("{TITLE}. Effective {}", one.effective()),
        _ => format!("{TITLE}. Effective {} at the latest", latest.as_deref().unwrap_or("not stated")),
    };
    let running = Running { left: [named.join("; "), dated], content, standing: String::new() };
    let about = About {
        title: format!("{TITLE}: {} ({})", titles.join(", "), named.join("; ")),
        description: format!("Content {}.", contents.join(", ")),
        content: format!("{TITLE}: {}", contents.join(" ")),
        effective: latest,
        author: None,
    };
    let (groups, tree) = composer.finish();
    paged(format, groups, tree, &running, &about)
}

impl Composer {
    fn matrix(&mut self, matrix: &Matrix, new_page: bool) -> Result<(), Error> {
        self.part(&matrix.title)?;
        if let (true, Some(group)) = (new_page, self.groups.last_mut()) {
            group.before = NEW_PAGE;
        }
        self.set.place = format!("the matrix of `{}`", matrix.id);
        self.paragraph(
            GAP,
            &format!(
                "{}, revision {}, effective {}, for {}. Content {}.",
                matrix.id,
                matrix.revision,
                matrix.effective(),
                matrix.equipment,
                matrix.content
            ),
        )?;
        self.hazards_and_controls(matrix)
    }

    /// The hazards of a matrix, each with its table.
    pub(super) fn hazards_and_controls(&mut self, matrix: &Matrix) -> Result<(), Error> {
        let wear = if matrix.wear.is_empty() { "none".to_owned() } else { matrix.wear.join("; ") };
        self.paragraph(GAP, &format!("Protective equipment throughout: {wear}."))?;
        let gaps: usize = matrix.hazards.iter().map(|hazard| hazard.gaps).sum();
        self.paragraph(GAP, &format!("{}, {}.", count(matrix.hazards.len(), "hazard"), count(gaps, "gap")))?;
        matrix.hazards.iter().try_for_each(|hazard| self.hazard_row(hazard))
    }

    fn hazard_row(&mut self, hazard: &HazardRow) -> Result<(), Error> {
        let gaps = if hazard.gaps > 0 { format!(" ({})", count(hazard.gaps, "gap")) } else { String::new() };
        self.heading(&format!("{}{gaps}", card::capital(&hazard.name)))?;
        let width = self.width();
        let message = [Piece::plain(&hazard.message)];
        let panel = self.set.panel(hazard.word, &message, width, self.section)?;
        self.push(2.0, panel.whole());
        self.keep_with_next();
        let mut pieces = Vec::new();
        for verdict in [Verdict::Refuted, Verdict::NotProved, Verdict::Proved, Verdict::Released] {
            let rules: Vec<&RuleLine> = hazard.rules.iter().filter(|rule| rule.verdict == verdict).collect();
            // Those that roles release are named with each its role.
            for same in rules.chunk_by(|one, other| one.words() == other.words()) {
                let names: Vec<&str> = same.iter().map(|rule| rule.name.as_str()).collect();
                pieces.push(Piece::strong(format!("Rules {}: ", same[0].words())));
                pieces.push(Piece::plain(format!("{}. ", names.join("; "))));
            }
        }
        if !pieces.is_empty() {
            let leaf = self.set.tree.add(self.section, Role::Paragraph);
            let kind = self.set.body();
            let stack = self.set.text(&pieces, kind, width, Some(leaf))?;
            self.push(3.0, stack.whole());
            self.keep_with_next();
        }
        let rows = hazard.exposures.iter().map(|exposure| {
            let mut found = Vec::new();
            if let Some(gap) = &exposure.gap {
                found.push(Piece::strong(format!("GAP: {gap}")));
            }
            for (kind, controls) in exposure.by_kind() {
                let new_line = if found.is_empty() { "" } else { "\n" };
                found.push(Piece::strong(format!("{new_line}{}: ", card::capital(kind))));
                found.push(Piece::plain(controls));
            }
            vec![
                cell(format!("{} {}", exposure.step, exposure.title)),
                cell(exposure.by.iter().map(|by| card::capital(by)).collect::<Vec<_>>().join("\n")),
                found,
            ]
        });
        let grid = Grid {
            headers: HEADERS.to_vec(),
            rows: rows.collect(),
            wide: false,
            shares: &SHARES,
            least: 0.0,
        };
        if let Some(rows) = self.set.table(&grid, width, self.section)? {
            self.rows(rows)?;
        }
        Ok(())
    }
}
