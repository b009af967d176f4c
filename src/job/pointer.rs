//! Where a key stands in a job's text, for what is found wrong after it was read.

use super::Job;
use crate::error::{Error, Kind, Place};
use crate::reader::{Reader, Table};
use toml::de::{DeTable, DeValue};

impl Job {
    /// An error about the value of a key (`pattern.pitch`, `window[2].at`): at the value, or where it is left out at the
    /// head of its section.
    pub fn refused(&self, path: &str, wrong: impl Into<String>, todo: impl Into<String>) -> Error {
        let (reader, table) = Reader::open(&self.file, &self.source.text);
        let offset = offset(&reader, table.get_ref(), path);
        let place = match offset {
            Some(offset) => reader.place(offset),
            None => Place { file: self.file.clone(), ..Place::default() },
        };
        Error::at(Kind::Job, place, wrong, todo)
    }

    /// What is wrong with a part of a job, told without a place, at the key it is about.
    pub fn placed(&self, path: &str, mut error: Error) -> Error {
        if !error.is_our_fault() {
            for problem in error.problems.iter_mut().filter(|p| p.place == Place::default()) {
                let refused = self.refused(path, "", "");
                problem.place = refused.problems.into_iter().next().map_or(Place::default(), |p| p.place);
            }
        }
        error
    }
}

/// The byte at which a key's value begins, or the section nearest to it.
fn offset<'a>(reader: &'a Reader<'a>, table: &'a DeTable<'a>, path: &str) -> Option<usize> {
    let mut at = None;
    let mut table = Table::new(reader, "", table, 0..0);
    for step in path.split('.') {
        let (key, number) = match step.split_once('[') {
            Some((key, number)) => (key, number.trim_end_matches(']').parse::<usize>().ok()),
            None => (step, None),
        };
        let Some(value) = table.get(key) else { return at };
        let value = match (value.get_ref(), number) {
            (DeValue::Array(list), Some(number)) => list.get(number).unwrap_or(value),
            _ => value,
        };
        at = Some(value.span().start);
        let DeValue::Table(inner) = value.get_ref() else { return at };
        table = Table::new(reader, key, inner, value.span());
    }
    at
}
