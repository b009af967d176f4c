//! The values of one section, for what the job is built of.

use super::fields;
use super::values::{pair, Value};
use super::walk::Walk;
use crate::geom::Point;
use crate::units::limits::{Limit, OUTLINE};
use crate::units::{LengthUnit, Mm};
use std::borrow::Cow;

/// The keys of one section. Every getter gives what is typed or what stands for it; `None` when it cannot be used, is
/// missing, or nothing stands for it: what is wrong has been noted.
#[derive(Clone)]
pub(super) struct SectionReader<'w, 'a> {
    pub walk: &'w Walk<'a>,
    path: String,
}

impl<'a> Walk<'a> {
    /// The keys of one section, whether it stands in the file or not.
    pub(super) fn part(&self, path: impl Into<String>) -> SectionReader<'_, 'a> {
        SectionReader { walk: self, path: path.into() }
    }

    /// The keys of each section of a list.
    pub(super) fn parts(&self, path: &str) -> impl Iterator<Item = SectionReader<'_, 'a>> {
        let path = path.to_string();
        (0..).map(move |i| self.part(format!("{path}[{i}]"))).take_while(SectionReader::is_there)
    }
}

impl<'w, 'a> SectionReader<'w, 'a> {
    /// Whether the section stands in the file.
    pub(super) fn is_there(&self) -> bool {
        self.walk.tables.contains_key(&self.path)
    }

    fn path(&self, key: &str) -> String {
        match self.path.as_str() {
            "" => key.to_string(),
            path => format!("{path}.{key}"),
        }
    }

    /// Whether the key is typed, rightly or not.
    pub(super) fn has(&self, key: &str) -> bool {
        self.walk.tables.get(&self.path).is_some_and(|table| table.has(key))
    }

    /// Notes a problem at a key's value, or at the head of its section.
    pub(super) fn refuse(&self, key: &str, wrong: impl Into<String>, todo: impl Into<String>) {
        self.walk.reader.problem(self.span(key), wrong, todo);
    }

    /// A length in the units of the job.
    pub(super) fn says(&self, mm: Mm) -> String {
        self.units().says(mm.get(), 2)
    }

    pub(super) fn units(&self) -> LengthUnit {
        self.walk.units()
    }

    pub(super) fn span(&self, key: &str) -> std::ops::Range<usize> {
        self.walk.tables.get(&self.path).map_or(0..0, |table| table.span(key))
    }

    /// Notes a value that is none of the known ones.
    pub(super) fn unknown(&self, key: &str, word: &str, known: &[&str]) {
        if let Some(table) = self.walk.tables.get(&self.path) {
            table.unknown(key, word, known);
        }
    }

    fn get(&self, key: &str) -> Option<Value> {
        let path = self.path(key);
        if self.walk.bad.contains(&path) {
            return None;
        }
        self.walk.values.get(&path).map(|(value, _)| value)
    }

    pub(super) fn mm(&self, key: &str) -> Option<Mm> {
        match self.get(key)? {
            Value::Mm(mm) => Some(Mm(mm)),
            _ => None,
        }
    }

    pub(super) fn number(&self, key: &str) -> Option<f64> {
        match self.get(key)? {
            Value::Number(n) => Some(n),
            _ => None,
        }
    }

    pub(super) fn whole(&self, key: &str) -> Option<u32> {
        self.number(key).map(|n| n as u32)
    }

    pub(super) fn yes(&self, key: &str) -> Option<bool> {
        match self.get(key)? {
            Value::Yes(yes) => Some(yes),
            _ => None,
        }
    }

    pub(super) fn word(&self, key: &str) -> Option<Cow<'static, str>> {
        match self.get(key)? {
            Value::Word(word) => Some(word),
            _ => None,
        }
    }

    /// A value of our own for a word.
    pub(super) fn choice<T: Copy>(&self, key: &str, words: &[(&str, T)]) -> Option<T> {
        let word = self.word(key)?;
        words.iter().find(|(known, _)| *known == word).map(|(_, value)| *value)
    }

    pub(super) fn point(&self, key: &str) -> Option<Point> {
        self.two(key).map(|(x, y)| Point::new(x.0, y.0))
    }

    pub(super) fn two(&self, key: &str) -> Option<(Mm, Mm)> {
        match self.get(key)? {
            Value::List(list) => pair(&list),
            _ => None,
        }
    }

    pub(super) fn wholes(&self, key: &str) -> Option<(u32, u32)> {
        match self.get(key)? {
            Value::Numbers(a, b) => Some((a as u32, b as u32)),
            _ => None,
        }
    }

    /// How large a shape that stands here may be.
    pub(super) fn shape_limit(&self) -> Limit {
        fields::section(&self.path).and_then(|s| s.shape).unwrap_or(OUTLINE)
    }

    /// Any value, for keys that may hold several kinds.
    pub(super) fn value(&self, key: &str) -> Option<Value> {
        self.get(key)
    }
}
