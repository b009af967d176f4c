//! Columns for the terminal: words to the left, numbers to the right.

/// A table with a head; a column whose every cell is a number stands to the right.
pub(super) struct TextTable {
    head: Vec<String>,
    rows: Vec<Vec<String>>,
}

impl TextTable {
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

/// Widest line for reading, in letters. Longer is hard to follow and is broken anyhow by a narrow window.
const WIDEST: usize = 100;

/// A line broken at spaces so that it stays readable, the rest of it set in by `indent`. Spaces within are kept.
pub(super) fn wrapped(line: &str, indent: usize) -> String {
    let mut text = String::new();
    let mut rest = line.trim_end();
    let mut lead = String::new();
    while lead.chars().count() + rest.chars().count() > WIDEST {
        let room = WIDEST.saturating_sub(lead.chars().count());
        let end = rest.char_indices().nth(room).map_or(rest.len(), |(i, _)| i);
        // Never inside what is set in already, or the line would not get shorter.
        let from = if lead.is_empty() { rest.char_indices().nth(indent).map_or(0, |(i, _)| i) } else { 0 };
        let Some(at) =
            rest.get(from..end).and_then(|part| part.rfind(' ')).map(|i| from + i).filter(|at| *at > 0)
        else {
            break;
        };
        text += &format!("{lead}{}\n", rest[..at].trim_end());
        rest = rest[at..].trim_start();
        lead = " ".repeat(indent);
    }
    text + &format!("{lead}{rest}\n")
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
        let mut table = TextTable::new(&["name", "mm"]);
        table.row(vec!["8/0".into(), "0.5".into()]);
        table.row(vec!["long name".into(), "12.25".into()]);
        assert_eq!(table.text(1), " name          mm\n 8/0          0.5\n long name  12.25\n");
    }

    #[test]
    fn long_lines_break_at_spaces_and_short_ones_stay() {
        assert_eq!(wrapped("  short", 4), "  short\n");
        let long = format!("  {}", "word ".repeat(40));
        let broken = wrapped(&long, 4);
        assert!(broken.lines().all(|line| line.chars().count() <= WIDEST));
        assert!(broken.lines().skip(1).all(|line| line.starts_with("    word")));
        assert_eq!(broken.split_whitespace().count(), 40);
        // What cannot be broken stays whole.
        let solid = "x".repeat(300);
        assert_eq!(wrapped(&solid, 4), format!("{solid}\n"));
    }
}
