//! TOML text read with the place of every value: job files and pattern files are walked alike, and every problem is
//! kept, not only the first.

mod nearest;
mod syntax;
mod table;

pub use nearest::{nearest, suggestion, suggestion_of};
pub use table::{is_named, kind, number, Table, TomlValue};

use crate::error::{Error, Kind, Place, Problem};
use std::cell::{Cell, RefCell};
use std::collections::BTreeSet;
use std::ops::Range;
use toml::de::DeTable;
use toml::Spanned;

/// Problems shown at most; the rest are counted. More would hide the first.
const SHOWN: usize = 30;

/// Problems kept at most. A file with more is no job file; looking for the nearest word for each would take long.
const MOST_NOTED: usize = 500;

/// Collects what is wrong with one file.
pub struct Reader<'a> {
    file: &'a str,
    text: &'a str,
    /// Offset of the first byte of each line.
    lines: Vec<usize>,
    /// Lines that cannot be read at all: what is said of them once is enough.
    unread: BTreeSet<usize>,
    found: RefCell<Vec<(Problem, Kind)>>,
    /// Problems that were not kept.
    more: Cell<usize>,
}

impl<'a> Reader<'a> {
    /// Reads the text as TOML; what cannot be read is noted, the rest can be walked. `file` is the name for messages.
    pub fn open(file: &'a str, text: &'a str) -> (Self, Spanned<DeTable<'a>>) {
        let text = text.strip_prefix('\u{feff}').unwrap_or(text);
        let (table, complaints) = DeTable::parse_recoverable(text);
        let lines = std::iter::once(0).chain(text.match_indices('\n').map(|(i, _)| i + 1)).collect();
        let mut reader = Self {
            file,
            text,
            lines,
            unread: BTreeSet::new(),
            found: RefCell::default(),
            more: Cell::default(),
        };
        for complaint in complaints {
            let span = complaint.span().unwrap_or(0..0);
            let token = text.get(span.clone()).unwrap_or("");
            if reader.unread.insert(reader.line(span.start)) {
                let (wrong, todo) = syntax::explain(complaint.message(), token);
                reader.note(span, wrong, todo, Kind::Job);
            }
        }
        (reader, table)
    }

    /// The name of the file, for messages.
    pub fn file(&self) -> &'a str {
        self.file
    }

    /// Whether every line could be read as TOML.
    pub fn reads(&self) -> bool {
        self.unread.is_empty()
    }

    /// Whether nothing is wrong so far.
    pub fn is_clean(&self) -> bool {
        self.found.borrow().is_empty()
    }

    /// Whether so much is wrong that nothing more is kept.
    pub fn is_full(&self) -> bool {
        self.found.borrow().len() >= MOST_NOTED
    }

    fn line(&self, offset: usize) -> usize {
        self.lines.partition_point(|start| *start <= offset).max(1)
    }

    /// Line and column of a byte; an offset inside a letter is taken as that letter's.
    pub fn place(&self, offset: usize) -> Place {
        let line = self.line(offset);
        let start = self.lines.get(line - 1).copied().unwrap_or(0);
        let end = (start..=offset.min(self.text.len())).rev().find(|i| self.text.is_char_boundary(*i));
        let column =
            self.text.get(start..end.unwrap_or(start)).map_or(1, |before| before.chars().count() + 1);
        Place { file: self.file.to_string(), line, column }
    }

    fn note(&self, span: Range<usize>, wrong: impl Into<String>, todo: impl Into<String>, kind: Kind) {
        if self.is_full() {
            self.more.set(self.more.get() + 1);
            return;
        }
        let problem = Problem { place: self.place(span.start), wrong: wrong.into(), todo: todo.into() };
        self.found.borrow_mut().push((problem, kind));
    }

    /// Notes a problem at a value, unless its line cannot be read anyway.
    pub fn problem(&self, span: Range<usize>, wrong: impl Into<String>, todo: impl Into<String>) {
        if !self.unread.contains(&self.line(span.start)) {
            self.note(span, wrong, todo, Kind::Job);
        }
    }

    /// Notes that a file that is named here cannot be read.
    pub fn missing_file(&self, span: Range<usize>, name: &str) {
        self.note(
            span,
            format!("the file \"{name}\" cannot be read"),
            "put it beside the job file, or give its name as seen from there",
            Kind::File,
        );
    }

    /// Takes over the problems of another file that is named here.
    pub fn take(&self, error: Error) {
        let kind = error.kind;
        self.found.borrow_mut().extend(error.problems.into_iter().map(|p| (p, kind)));
    }

    /// All problems in the order of the file, or none.
    pub fn finish(self) -> Result<(), Error> {
        let mut found = self.found.into_inner();
        if found.is_empty() {
            return Ok(());
        }
        let kind = if found.iter().all(|(_, k)| *k == Kind::File) { Kind::File } else { Kind::Job };
        found.sort_by_key(|(problem, _)| (problem.place.line, problem.place.column));
        found.dedup();
        let mut problems: Vec<Problem> = found.into_iter().map(|(p, _)| p).collect();
        let more = problems.len().saturating_sub(SHOWN) + self.more.get();
        if more > 0 {
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

/// A text as it stands in a job file, in quotes.
pub fn quoted(text: &str) -> String {
    toml::Value::String(text.to_string()).to_string()
}

/// A file's name without folder and ending: `kites` from `my patterns/kites.toml`.
pub fn stem(file: &str) -> &str {
    let name = file.rsplit(['/', '\\']).next().unwrap_or(file);
    name.strip_suffix(".toml").unwrap_or(name)
}
