//! Columns for the terminal: words to the left, numbers to the right.

/// A table with a head; a column whose every cell is a number stands to the right.
pub(super) struct Table {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl Table {
    pub(super) fn new(head: &[&str]) -> Self {
        Self { head: head.iter().map(|h| h.to_string()).collect(), rows: Vec::new() }
    }

    pub(super) fn row(&mut self, cells: Vec<String>) {
        self.rows.push(cells);
    }

    /// The table as text, each line ended, two spaces between columns and `indent` before.
    pub(super) fn text(&self, indent: usize) -> String {
        let columns = self.rows.iter().map(Vec::len).chain([self.head.len()]).max().unwrap_or(0);
        let all = || std::iter::once(&self.head).chain(&self.rows);
        let width =
            |k: usize| all().filter_map(|row| row.get(k)).map(|c| c.chars().count()).max().unwrap_or(0);
        let right = |k: usize| self.rows.iter().filter_map(|row| row.get(k)).all(|cell| is_number(cell));
        let layout: Vec<(usize, bool)> = (0..columns).map(|k| (width(k), right(k))).collect();
        let mut text = String::new();
        for row in all().filter(|row| !row.is_empty()) {
            let mut line = " ".repeat(indent);
            for (k, (width, right)) in layout.iter().enumerate() {
                let cell = row.get(k).map_or("", String::as_str);
                let space = " ".repeat(width - cell.chars().count());
                line += &if *right { format!("{space}{cell}") } else { format!("{cell}{space}") };
                line += "  ";
            }
            text += line.trim_end();
            text.push('\n');
        }
        text
    }
}

/// Whether a cell lines up better on its right: empty, a dash, or a number.
fn is_number(cell: &str) -> bool {
    cell.is_empty() || cell == "-" || cell.parse::<f64>().is_ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_line_up_on_the_right() {
        let mut table = Table::new(&["name", "mm"]);
        table.row(vec!["8/0".into(), "0.5".into()]);
        table.row(vec!["long name".into(), "12.25".into()]);
        assert_eq!(table.text(1), " name          mm\n 8/0          0.5\n long name  12.25\n");
    }
}
