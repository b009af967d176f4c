//! The walk over a job file: every value with its place, every problem kept.

use super::keys::{home, ours, suggestion};
use super::syntax;
use crate::error::{Error, Kind, Place, Problem};
use crate::geom::Point;
use crate::units::limits::{Limit, PLACE, PLACES};
use crate::units::{length, LengthUnit, Mm, Unread};
use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use std::ops::Range;
use toml::de::{DeTable, DeValue};
use toml::Spanned;

/// Problems shown at most; the rest are counted. More would hide the first.
const SHOWN: usize = 30;

/// Collects what is wrong with one file.
pub(super) struct Reader<'a> {
    file: &'a str,
    text: &'a str,
    /// Offset of the first byte of each line.
    lines: Vec<usize>,
    /// Lines that do not read at all: what is said of them once is enough.
    unread: BTreeSet<usize>,
    found: RefCell<Vec<(Problem, Kind)>>,
    pub(super) units: Cell<LengthUnit>,
}

impl<'a> Reader<'a> {
    /// Reads the text as TOML; what does not read is noted, the rest can be walked.
    pub(super) fn open(file: &'a str, text: &'a str) -> (Self, Spanned<DeTable<'a>>) {
        let (table, complaints) = DeTable::parse_recoverable(text);
        let lines = std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        let mut reader = Self {
            file,
            text,
            lines,
            unread: BTreeSet::new(),
            found: RefCell::default(),
            units: Cell::new(LengthUnit::Mm),
        };
        for complaint in complaints {
            let span = complaint.span().unwrap_or(0..0);
            let token = text.get(span.clone()).unwrap_or("");
            if reader.unread.insert(reader.place(span.start).line) {
                let (wrong, todo) = syntax::explain(complaint.message(), token);
                reader.note(span, wrong, todo, Kind::Job);
            }
        }
        (reader, table)
    }

    pub(super) fn reads(&self) -> bool {
        self.unread.is_empty()
    }

    fn place(&self, offset: usize) -> Place {
        let line = self.lines.partition_point(|start| *start <= offset).max(1);
        let start = self.lines.get(line - 1).copied().unwrap_or(0);
        let column = self.text.get(start..offset).map_or(1, |before| before.chars().count() + 1);
        Place { file: self.file.to_string(), line, column }
    }

    fn note(&self, span: Range<usize>, wrong: impl Into<String>, todo: impl Into<String>, kind: Kind) {
        let problem = Problem { place: self.place(span.start), wrong: wrong.into(), todo: todo.into() };
        self.found.borrow_mut().push((problem, kind));
    }

    /// Notes a problem at a value, unless its line does not read anyway.
    pub(super) fn problem(&self, span: Range<usize>, wrong: impl Into<String>, todo: impl Into<String>) {
        if !self.unread.contains(&self.place(span.start).line) {
            self.note(span, wrong, todo, Kind::Job);
        }
    }

    /// Notes that a file the job names cannot be read.
    pub(super) fn missing_file(&self, span: Range<usize>, name: &str) {
        self.note(
            span,
            format!("the file \"{name}\" cannot be read"),
            "put it beside the job file, or give its name as seen from there",
            Kind::File,
        );
    }

    /// Takes over the problems of another file that the job names.
    pub(super) fn take(&self, error: Error) {
        let kind = error.kind;
        self.found.borrow_mut().extend(error.problems.into_iter().map(|p| (p, kind)));
    }

    /// All problems in the order of the file, or none.
    pub(super) fn finish(self) -> Result<(), Error> {
        let mut found = self.found.into_inner();
        if found.is_empty() {
            return Ok(());
        }
        let kind = if found.iter().all(|(_, k)| *k == Kind::File) { Kind::File } else { Kind::Job };
        found.sort_by_key(|(problem, _)| (problem.place.line, problem.place.column));
        found.dedup();
        let mut problems: Vec<Problem> = found.into_iter().map(|(p, _)| p).collect();
        if problems.len() > SHOWN {
            let more = problems.len() - SHOWN;
            problems.truncate(SHOWN);
            problems.push(Problem {
                place: Place { file: self.file.to_string(), ..Place::default() },
                wrong: format!("and {more} more like these"),
                todo: "mend the first and try again".to_string(),
            });
        }
        Err(Error { kind, problems })
    }
}

/// One table of the file: its name as it is written, its keys, its place.
pub(super) struct Section<'a> {
    pub(super) reader: &'a Reader<'a>,
    pub(super) name: String,
    table: &'a DeTable<'a>,
    span: Range<usize>,
}

impl<'a> Section<'a> {
    pub(super) fn new(
        reader: &'a Reader<'a>,
        name: impl Into<String>,
        table: &'a DeTable<'a>,
        span: Range<usize>,
    ) -> Self {
        Self { reader, name: name.into(), table, span }
    }

    /// Refuses every key that is not known here, with the nearest that is.
    pub(super) fn knows(&self, known: &[&str]) {
        for key in self.table.keys() {
            let word = key.get_ref().as_ref();
            if known.contains(&ours(word)) {
                continue;
            }
            let todo = match home(ours(word), &self.name) {
                Some(section) => format!("it belongs in {section}"),
                None => suggestion(word, known),
            };
            self.reader.problem(key.span(), format!("\"{word}\" is not a key of {}", self.name), todo);
        }
    }

    fn get(&self, key: &str) -> Option<&'a Spanned<DeValue<'a>>> {
        self.table.iter().find(|(k, _)| ours(k.get_ref()) == key).map(|(_, value)| value)
    }

    pub(super) fn is_empty(&self) -> bool {
        self.table.is_empty()
    }

    pub(super) fn has(&self, key: &str) -> bool {
        self.get(key).is_some()
    }

    /// Where a key's value stands, or the section's head if it is left out.
    pub(super) fn span(&self, key: &str) -> Range<usize> {
        self.get(key).map_or_else(|| self.span.clone(), Spanned::span)
    }

    pub(super) fn refuse(&self, key: &str, wrong: impl Into<String>, todo: impl Into<String>) {
        self.reader.problem(self.span(key), wrong, todo);
    }

    /// Passes on what was read; notes the key as missing if it was not there at all.
    pub(super) fn need<T>(&self, key: &str, read: Option<T>, todo: &str) -> Option<T> {
        if !self.has(key) && self.reader.reads() {
            self.refuse(key, format!("{} has no {key}", self.name), todo);
        }
        read
    }

    fn within(&self, key: &'static str, limit: &Limit, value: f64) -> Option<f64> {
        let named = Limit { name: key, ..*limit };
        self.kept(key, named.check(value))
    }

    fn kept<T>(&self, key: &str, read: Result<T, Unread>) -> Option<T> {
        read.map_err(|unread| self.refuse(key, unread.wrong, unread.todo)).ok()
    }

    /// A length in mm within its limits.
    pub(super) fn length(&self, key: &'static str, limit: &Limit) -> Option<Mm> {
        let value = self.kept(key, self.size(self.get(key)?.get_ref()))?;
        self.within(key, limit, value.0).map(Mm)
    }

    /// A length from any value; the reason it is none.
    fn size(&self, value: &DeValue) -> Result<Mm, Unread> {
        match value {
            DeValue::String(text) => length(text, self.reader.units.get()),
            other => match (number(other), self.reader.units.get()) {
                (Some(n), LengthUnit::Mm) => Ok(Mm(n)),
                (Some(n), LengthUnit::Inch) => Ok(Mm(n * crate::units::MM_PER_INCH)),
                (None, _) => Err(Unread::new(
                    format!("a {} cannot be a size", kind(other)),
                    "write a number, or a text like \"0.8 mm\" or \"20 ga\"",
                )),
            },
        }
    }

    /// A plain number within its limits.
    pub(super) fn number(&self, key: &'static str, limit: &Limit) -> Option<f64> {
        let value = self.get(key)?.get_ref();
        match number(value) {
            Some(n) => self.within(key, limit, n),
            None => {
                self.refuse(key, format!("{key} wants a number, not a {}", kind(value)), "write it like 1.5");
                None
            }
        }
    }

    /// A whole number within its limits.
    pub(super) fn whole(&self, key: &'static str, limit: &Limit) -> Option<u32> {
        let value = self.number(key, limit)?;
        if value.fract() != 0.0 {
            self.refuse(key, format!("{key} wants a whole number"), "leave out what comes after the point");
            return None;
        }
        Some(value as u32)
    }

    /// Two whole numbers in brackets.
    pub(super) fn wholes(&self, key: &'static str, limit: &Limit) -> Option<(u32, u32)> {
        let list = self.get(key)?.get_ref().as_array();
        let read: Vec<f64> = list.into_iter().flatten().filter_map(|v| number(v.get_ref())).collect();
        match (list.map(|l| l.len()), &read[..]) {
            (Some(2), &[a, b]) if a.fract() == 0.0 && b.fract() == 0.0 => {
                Some((self.within(key, limit, a)? as u32, self.within(key, limit, b)? as u32))
            }
            _ => {
                self.refuse(
                    key,
                    format!("{key} wants two whole numbers in brackets"),
                    "write it like [7, 3]",
                );
                None
            }
        }
    }

    pub(super) fn text(&self, key: &str) -> Option<&'a str> {
        match self.get(key)?.get_ref() {
            DeValue::String(text) => Some(text.as_ref()),
            other => {
                let wrong = format!("{key} wants a text, not a {}", kind(other));
                self.refuse(key, wrong, "put it in quotation marks");
                None
            }
        }
    }

    pub(super) fn yes(&self, key: &str) -> Option<bool> {
        match self.get(key)?.get_ref() {
            DeValue::Boolean(yes) => Some(*yes),
            other => {
                self.refuse(
                    key,
                    format!("{key} wants true or false, not a {}", kind(other)),
                    "write true or false",
                );
                None
            }
        }
    }

    /// One of a few words.
    pub(super) fn choice<T: Copy>(&self, key: &str, words: &[(&'static str, T)]) -> Option<T> {
        let word = self.text(key)?;
        let found = words.iter().find(|(known, _)| *known == ours(word)).map(|(_, value)| *value);
        if found.is_none() {
            let known: Vec<&str> = words.iter().map(|(known, _)| *known).collect();
            self.unknown(key, word, &known);
        }
        found
    }

    /// Refuses a value that is none of the known ones.
    pub(super) fn unknown(&self, key: &str, word: &str, known: &[&str]) {
        let word: String = word.chars().take(60).collect();
        self.refuse(key, format!("{key} \"{word}\" is not known"), suggestion(&word, known));
    }

    /// Two lengths in brackets.
    pub(super) fn two(&self, key: &'static str, limit: &Limit) -> Option<(Mm, Mm)> {
        let read = self.lengths(key, limit)?;
        match read[..] {
            [a, b] => Some((a, b)),
            _ => {
                self.refuse(
                    key,
                    format!("{key} wants two numbers, not {}", read.len()),
                    "write it like [12, 30]",
                );
                None
            }
        }
    }

    /// A point, x to the right and y up from the middle.
    pub(super) fn point(&self, key: &'static str) -> Option<Point> {
        self.two(key, &PLACE).map(|(x, y)| Point::new(x.0, y.0))
    }

    /// Any number of lengths in brackets.
    pub(super) fn lengths(&self, key: &'static str, limit: &Limit) -> Option<Vec<Mm>> {
        let value = self.get(key)?.get_ref();
        let Some(list) = value.as_array() else {
            self.refuse(key, format!("{key} wants two numbers in brackets"), "write it like [12, 30]");
            return None;
        };
        let read: Vec<Mm> = list
            .iter()
            .filter_map(|item| self.kept(key, self.size(item.get_ref())))
            .filter_map(|size| self.within(key, limit, size.0).map(Mm))
            .collect();
        (read.len() == list.len()).then_some(read)
    }

    pub(super) fn is_text(&self, key: &str) -> bool {
        self.get(key).is_some_and(|value| value.get_ref().is_str())
    }

    pub(super) fn is_list(&self, key: &str) -> bool {
        self.get(key).is_some_and(|value| value.get_ref().is_array())
    }

    pub(super) fn is_table(&self, key: &str) -> bool {
        self.get(key).is_some_and(|value| value.get_ref().is_table())
    }

    /// A section of its own, or braces behind a key.
    pub(super) fn table(&self, key: &str) -> Option<Section<'a>> {
        let value = self.get(key)?;
        let name = self.label(key);
        match value.get_ref() {
            DeValue::Table(table) => Some(Section::new(self.reader, name, table, value.span())),
            DeValue::Array(_) if self.is_top() => {
                self.refuse(
                    key,
                    format!("there is one {name} only"),
                    format!("write [{key}] with single brackets"),
                );
                None
            }
            other => {
                let wrong = format!("{key} wants its own keys, not a {}", kind(other));
                let how =
                    if self.is_top() { format!("write [{key}] and its keys below") } else { braces(key) };
                self.refuse(key, wrong, how);
                None
            }
        }
    }

    /// Sections that may stand several times.
    pub(super) fn tables(&self, key: &str) -> Vec<Section<'a>> {
        let Some(value) = self.get(key) else { return Vec::new() };
        let name = if self.is_top() { format!("[[{key}]]") } else { key.to_string() };
        let list = match value.get_ref() {
            DeValue::Array(list) => list,
            _ => {
                let how =
                    if self.is_top() { format!("write {name}") } else { "put brackets round it".to_string() };
                self.refuse(key, format!("there may be several {key}"), how);
                return Vec::new();
            }
        };
        if list.len() as f64 > PLACES.most {
            self.refuse(
                key,
                format!("there are {} of {key}", list.len()),
                format!("give at most {}: {}", PLACES.most, PLACES.why),
            );
            return Vec::new();
        }
        list.iter()
            .filter_map(|item| match item.get_ref() {
                DeValue::Table(table) => Some(Section::new(self.reader, name.clone(), table, item.span())),
                other => {
                    let wrong = format!("{key} wants its own keys, not a {}", kind(other));
                    self.reader.problem(item.span(), wrong, braces(key));
                    None
                }
            })
            .collect()
    }

    fn is_top(&self) -> bool {
        self.name == TOP_NAME
    }

    fn label(&self, key: &str) -> String {
        if self.is_top() {
            format!("[{key}]")
        } else {
            key.to_string()
        }
    }
}

/// How the part of the file above the first section is called.
pub(super) const TOP_NAME: &str = "a job file";

fn braces(key: &str) -> String {
    format!("write {key} = {{ ... }}")
}

/// A number from an integer or a decimal; refused later by the limits if it has no end.
fn number(value: &DeValue) -> Option<f64> {
    match value {
        DeValue::Integer(whole) => match i64::from_str_radix(whole.as_str(), whole.radix()) {
            Ok(n) => Some(n as f64),
            Err(_) => Some(f64::INFINITY),
        },
        DeValue::Float(decimal) => decimal.as_str().parse().ok(),
        _ => None,
    }
}

/// What a value is, in plain words.
fn kind(value: &DeValue) -> &'static str {
    match value {
        DeValue::String(_) => "text",
        DeValue::Integer(_) | DeValue::Float(_) => "number",
        DeValue::Boolean(_) => "yes-or-no word",
        DeValue::Datetime(_) => "date",
        DeValue::Array(_) => "list in brackets",
        DeValue::Table(_) => "table of keys",
    }
}
