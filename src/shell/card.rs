//! The job card set for the terminal.

use super::table::{wrapped, TextTable};
use crate::plan::card::{CardSection, Row, TableCell};

/// Widest value that gets a column of its own; a longer one runs on with its sum behind it.
const VALUE: usize = 34;

/// All sections, in working order.
pub(super) fn text(sections: &[CardSection]) -> String {
    sections.iter().map(section).collect()
}

fn section(section: &CardSection) -> String {
    let facts = || section.rows.iter().filter_map(fact);
    let label = facts().map(|[label, ..]| label.chars().count()).max().unwrap_or(0);
    let short = |value: &String| Some(value.chars().count()).filter(|n| *n <= VALUE);
    let value = facts().filter_map(|[_, value, _]| short(&value)).max().unwrap_or(0);
    let mut text = format!("\n{}\n", section.title);
    for row in &section.rows {
        text += &match fact(row) {
            Some([name, said, sum]) => {
                wrapped(&format!("  {name:<label$}  {said:<value$}  {sum}"), label + 4)
            }
            None => block(row),
        };
    }
    text
}

/// A named number: label, value, sum.
fn fact(row: &Row) -> Option<[String; 3]> {
    let with = |sum: &Option<String>| sum.as_ref().map_or(String::new(), |sum| format!("= {sum}"));
    Some(match row {
        Row::Fact { label, value, sum } | Row::Numbered { label, value, sum, .. } => {
            [label.clone(), value.clone(), with(sum)]
        }
        Row::Measure { label, planned, sum } => [label.clone(), planned.clone(), with(sum)],
        Row::Changed { label, was, now, sum } => [label.clone(), format!("{now} (was {was})"), with(sum)],
        _ => return None,
    })
}

fn block(row: &Row) -> String {
    match row {
        Row::Tick(what) => wrapped(&format!("  [ ] {what}"), 6),
        Row::Caution(what) => wrapped(&format!("  ! {what}"), 4),
        Row::Note(what) => wrapped(&format!("  {what}"), 2),
        Row::Table { head, rows } => {
            let head: Vec<&str> = head.iter().map(String::as_str).collect();
            let mut table = TextTable::new(&head);
            rows.iter().for_each(|row| table.row(row.iter().map(TableCell::to_string).collect()));
            table.text(2)
        }
        Row::Fact { .. } | Row::Numbered { .. } | Row::Measure { .. } | Row::Changed { .. } => String::new(),
    }
}
