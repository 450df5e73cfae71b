//! Tables that fit the page: columns are folded into blocks where there are too many.

use crate::out::page::{self, Page};

/// A table with one row for each thing and many narrow columns.
pub(super) struct Wide {
    /// Heading of the first column.
    pub(super) corner: String,
    /// Headings of the other columns, one line each.
    pub(super) heads: Vec<String>,
    /// Rows: name and one cell for each heading.
    pub(super) rows: Vec<(String, Vec<String>)>,
}

impl Wide {
    /// Writes it, as many columns side by side as the page holds; rows whose cells are all `-` in a block
    /// are left out of that block.
    pub(super) fn write(&self, page: &mut Page) {
        let names = self.rows.iter().map(|(name, _)| name).chain([&self.corner]);
        let first = names.map(|n| page::length(n)).max().unwrap_or(0);
        let cells = self.rows.iter().flat_map(|(_, cells)| cells).chain(&self.heads);
        let width = cells.map(|c| page::length(c)).max().unwrap_or(0) + 2;
        let fit = (page::WIDTH.saturating_sub(first) / width.max(1)).max(1);
        for from in (0..self.heads.len()).step_by(fit) {
            let to = (from + fit).min(self.heads.len());
            if from > 0 {
                page.blank();
            }
            page.row(&line(&self.corner, first, &self.heads[from..to], width));
            for (name, cells) in &self.rows {
                let block = &cells[from.min(cells.len())..to.min(cells.len())];
                if block.iter().any(|c| c != "-") {
                    page.row(&line(name, first, block, width));
                }
            }
        }
    }
}

fn line(name: &str, first: usize, cells: &[String], width: usize) -> String {
    let mut line = page::left(name, first);
    for cell in cells {
        line.push_str(&page::right(cell, width));
    }
    line
}
