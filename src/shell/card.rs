//! The job card set for the terminal.

use super::table::Table;
use crate::plan::card::{Row, Section};

/// All sections, in working order.
pub(super) fn text(sections: &[Section]) -> String {
    let mut text = String::new();
    for section in sections {
        text += &format!("\n{}\n", section.title);
        let mut facts = Table::new(&[]);
        for row in &section.rows {
            match cells(row) {
                Some(cells) => facts.row(cells),
                None => {
                    // What is no line of facts ends the column, so that it stays in its place.
                    text += &std::mem::replace(&mut facts, Table::new(&[])).text(2);
                    text += &block(row);
                }
            }
        }
        text += &facts.text(2);
    }
    text
}

/// A named number: label, value, sum.
fn cells(row: &Row) -> Option<Vec<String>> {
    let with = |sum: &Option<String>| sum.as_ref().map_or(String::new(), |sum| format!("= {sum}"));
    Some(match row {
        Row::Fact { label, value, sum } => vec![label.clone(), value.clone(), with(sum)],
        Row::Measure { label, planned, sum } => vec![label.clone(), planned.clone(), with(sum)],
        Row::Changed { label, was, now, sum } => {
            vec![label.clone(), format!("{now} (was {was})"), with(sum)]
        }
        _ => return None,
    })
}

fn block(row: &Row) -> String {
    match row {
        Row::Tick(what) => format!("  [ ] {what}\n"),
        Row::Caution(what) => format!("  ! {what}\n"),
        Row::Note(what) => format!("  {what}\n"),
        Row::Table { head, rows } => {
            let head: Vec<&str> = head.iter().map(String::as_str).collect();
            let mut table = Table::new(&head);
            rows.iter().for_each(|row| table.row(row.clone()));
            table.text(2)
        }
        Row::Fact { .. } | Row::Measure { .. } | Row::Changed { .. } => String::new(),
    }
}
