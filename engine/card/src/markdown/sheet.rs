//! Blocks of Markdown, one after another.

use super::escape;

/// Markdown that grows block by block.
#[derive(Default)]
pub(crate) struct Sheet {
    text: String,
}

impl Sheet {
    pub(crate) fn title(&mut self, title: &str) {
        self.block(&format!("# {}", escape(title)));
    }

    pub(crate) fn heading(&mut self, heading: &str) {
        self.block(&format!("## {}", escape(heading)));
    }

    /// A block that is Markdown already.
    pub(crate) fn block(&mut self, block: &str) {
        if !self.text.is_empty() {
            self.text.push('\n');
        }
        self.text.push_str(block);
        self.text.push('\n');
    }

    pub(crate) fn quote(&mut self, block: &str) {
        self.block(&block.lines().map(|line| format!("> {line}")).collect::<Vec<_>>().join("\n"));
    }

    /// A list; nothing for no items.
    pub(crate) fn list(&mut self, items: impl IntoIterator<Item = String>) {
        let items: Vec<String> = items.into_iter().map(|item| format!("- {item}")).collect();
        if !items.is_empty() {
            self.block(&items.join("\n"));
        }
    }

    pub(crate) fn table<const N: usize>(&mut self, head: [&str; N], rows: &[[String; N]]) {
        let head: Vec<String> = head.into_iter().map(str::to_owned).collect();
        let rows: Vec<Vec<String>> = rows.iter().map(|row| row.to_vec()).collect();
        self.any_table(&head, &rows);
    }

    /// A table of texts that are not Markdown yet; line ends in a cell stand as a break.
    pub(crate) fn any_table(&mut self, head: &[String], rows: &[Vec<String>]) {
        let cell = |text: &String| text.lines().map(escape).collect::<Vec<_>>().join(" · ");
        let line =
            |cells: &[String]| format!("| {} |", cells.iter().map(cell).collect::<Vec<_>>().join(" | "));
        let mut lines = vec![line(head), format!("|{}", " --- |".repeat(head.len()))];
        lines.extend(rows.iter().map(|row| line(row)));
        self.block(&lines.join("\n"));
    }

    pub(crate) fn finish(self) -> String {
        self.text
    }
}
